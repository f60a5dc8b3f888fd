"""Who may ask, and what a page may load: a name pointed at this machine, and a foreign page in the same browser."""

from __future__ import annotations

import re

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.browser.seed import Seeded
from tests.web.answers import assert_error
from web.context import EXTENSION

PAGES = ("/", "/sessions", "/reeds", "/find", "/lessons", "/lessons/new", "/work", "/settings")


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:5000", "localhost.evil.example", "127.0.0.1.evil.example", "evil@localhost"]
)
def test_a_foreign_host_name_is_refused(client: FlaskClient, host: str) -> None:
    answer = client.get("/", headers={"Host": host})
    assert answer.status_code == 403
    assert b"is not a name of this program" in answer.data
    assert_error(client.get("/api/work", headers={"Host": host}), 403, "foreign_host", host.split(":")[0])


@pytest.mark.parametrize("host", ["localhost", "localhost:8765", "127.0.0.1:80", "[::1]:8765", "[::1]", "LOCALHOST:1"])
def test_names_of_this_machine_are_answered(client: FlaskClient, host: str) -> None:
    assert client.get("/", headers={"Host": host}).status_code == 200


def test_another_name_is_answered_only_when_it_was_given(library: object) -> None:
    from annotate.library.store import Library
    from web import create_app

    assert isinstance(library, Library)
    app = create_app(library, hosts=("bench.home",))
    assert app.test_client().get("/", headers={"Host": "bench.home:8000"}).status_code == 200
    assert app.test_client().get("/", headers={"Host": "localhost"}).status_code == 403


def test_another_site_cannot_post(client: FlaskClient) -> None:
    foreign = {"Origin": "https://evil.example", "Content-Type": "application/json"}
    assert_error(client.post("/api/undo", data="{}", headers=foreign), 403, "foreign_page", "evil.example")
    fetched = {"Sec-Fetch-Site": "cross-site", "Content-Type": "application/json"}
    assert_error(client.post("/api/undo", data="{}", headers=fetched), 403, "foreign_page")
    same_site = {"Sec-Fetch-Site": "same-site", "Content-Type": "application/json"}
    assert_error(client.post("/api/undo", data="{}", headers=same_site), 403, "foreign_page")


def test_another_port_of_this_machine_is_another_site(client: FlaskClient) -> None:
    headers = {"Host": "localhost:8765", "Origin": "http://localhost:9999"}
    assert_error(client.post("/api/undo", json={}, headers=headers), 403, "foreign_page")


def test_text_as_json_is_refused(client: FlaskClient) -> None:
    answer = client.post("/api/sessions", data='{"date": "2026-03-01"}', headers={"Content-Type": "text/plain"})
    assert_error(answer, 415, "not_json", "text/plain")
    assert client.get("/api/find?since=2026-01-01").json == {"hits": []}


def test_a_change_needs_the_token_of_this_run(stranger: FlaskClient, app: Flask) -> None:
    sent = {"date": "2026-03-01"}
    assert_error(stranger.post("/api/sessions", json=sent), 403, "foreign_page", "Load the page again")
    assert_error(stranger.post("/api/sessions", json=sent, headers={"X-Page-Token": "wrong"}), 403, "foreign_page")
    token = app.extensions[EXTENSION].token
    assert stranger.post("/api/sessions", json=sent, headers={"X-Page-Token": token}).status_code == 200


def test_every_run_has_its_own_token(library: object) -> None:
    from annotate.library.store import Library
    from web import create_app

    assert isinstance(library, Library)
    tokens = {create_app(library).extensions[EXTENSION].token for _ in range(3)}
    assert len(tokens) == 3 and all(len(token) >= 32 for token in tokens)


def test_no_get_changes_anything(app: Flask, client: FlaskClient, seeded: Seeded) -> None:
    """Every address that takes GET is asked; the library stays as it was."""
    library = app.extensions[EXTENSION].library
    before = [library.sessions.all(), library.tags.all(), library.lessons.all(), library.jobs.all()]
    asked = 0
    for rule in app.url_map.iter_rules():
        if rule.methods and "GET" in rule.methods and rule.endpoint != "static":
            address = re.sub(r"<[^>]+>", "1", rule.rule)
            client.get(address)
            asked += 1
    assert asked >= 20
    assert before == [library.sessions.all(), library.tags.all(), library.lessons.all(), library.jobs.all()]


@pytest.mark.parametrize("path", PAGES)
def test_pages_load_from_themselves_only(client: FlaskClient, seeded: Seeded, path: str) -> None:
    answer = client.get(path)
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'self'" in policy and "unsafe-inline" not in policy and "http" not in policy
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert answer.headers["Cache-Control"] == "no-store"
    assert "Set-Cookie" not in answer.headers
    text = answer.get_data(as_text=True)
    assert " style=" not in text and "<style" not in text
    assert not re.search(r"\son\w+=", text)
    assert not re.search(r"<script(?![^>]*\ssrc=)", text)
    assert not re.search(r"(?:src|href)=\"(?:https?:)?//", text)
