"""Every error has one status and one shape."""

from __future__ import annotations

import inspect
import logging

import pytest
from flask import Flask
from flask.testing import FlaskClient

from annotate import errors
from tests.browser.seed import Seeded
from tests.web.answers import assert_error
from web import refusals
from web.errors import STATUS, status_of

EXPECTED = {
    "NotFound": 404,
    "BadInput": 400,
    "BadTime": 400,
    "BadUnit": 400,
    "BadWord": 400,
    "NotMedia": 400,
    "Unfinished": 400,
    "StillChanging": 400,
    "AlreadyThere": 409,
    "ChangedElsewhere": 409,
    "StepStays": 409,
    "Missing": 404,
    "NoModel": 503,
    "NoSpace": 507,
    "Cancelled": 409,
    "ToolFailed": 500,
    "BenchreelError": 500,
    "ForeignHost": 403,
    "ForeignPage": 403,
    "NotJson": 415,
    "TooLarge": 413,
    "AskFirst": 409,
}


def test_every_class_of_the_tree_has_its_status() -> None:
    kinds = {
        kind
        for module in (errors, refusals)
        for _, kind in inspect.getmembers(module, inspect.isclass)
        if issubclass(kind, errors.BenchreelError)
    }
    assert {kind.__name__: status_of(kind("something happened", "it")) for kind in kinds} == EXPECTED
    assert errors.BenchreelError in STATUS


def test_errors_under_api_are_json(client: FlaskClient) -> None:
    assert_error(client.get("/api/nothing"), 404, "not_found")
    assert_error(client.get("/api/lessons/99"), 404, "not_found", "no lesson 99")
    assert_error(client.get("/api/undo"), 405, "bad_method")
    assert_error(client.post("/api/sessions", json={"date": "yesterday"}), 400, "bad_input", "yesterday", "2026-03-14")
    assert_error(client.post("/api/sessions", json=[1]), 400, "bad_input", "not a JSON object")
    assert_error(client.post("/api/undo", json={}), 404, "not_found", "nothing to undo")


def test_errors_of_pages_are_pages(client: FlaskClient) -> None:
    answer = client.get("/reeds/99")
    assert (answer.status_code, answer.mimetype) == (404, "text/html")
    assert "There is no reed 99 in the library." in answer.get_data(as_text=True)
    assert client.get("/nothing").status_code == 404
    assert_error(client.get("/reeds/99", headers={"Accept": "application/json"}), 404, "not_found", "no reed 99")


def test_what_was_sent_is_escaped(client: FlaskClient) -> None:
    text = client.get("/reeds?state=<script>alert(1)</script>").get_data(as_text=True)
    assert "<script>alert(1)" not in text and "&lt;script&gt;alert(1)" in text


@pytest.mark.logs_errors
def test_an_unexpected_error_is_logged_and_says_nothing_of_the_inside(
    app: Flask, client: FlaskClient, caplog: pytest.LogCaptureFixture
) -> None:
    def fail() -> str:
        raise RuntimeError("secret inside")

    app.add_url_rule("/api/fail", view_func=fail)
    with caplog.at_level(logging.ERROR):
        answer = client.get("/api/fail")
    assert_error(answer, 500, "failed", "Nothing was changed")
    assert b"secret" not in answer.data
    assert "unexpected error at /api/fail" in caplog.text


def test_both_versions_come_back_when_another_window_saved_first(client: FlaskClient, seeded: Seeded) -> None:
    address = f"/api/reeds/{seeded.bassoon.id}"
    assert client.put(address, json={"version": 1, "note": "from one window"}).status_code == 200
    data = assert_error(
        client.put(address, json={"version": 1, "note": "from another"}), 409, "changed_elsewhere", "another window"
    )
    assert data["theirs"]["note"] == "from one window"
    assert data["theirs"]["version"] == 2
    assert data["yours"]["note"] == "from another"
