"""The server itself, over a real connection."""

from __future__ import annotations

import http.client
import threading

import pytest

from annotate.errors import BadInput
from annotate.library.store import Library
from web.app import BODY_LIMIT_BYTES
from web.serve import Server, serve


def test_it_answers_on_a_free_port_and_gives_it_back(library: Library) -> None:
    server = Server(library)
    thread = threading.Thread(target=server.run)
    thread.start()
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    connection.request("GET", "/")
    assert connection.getresponse().status == 200
    connection.close()
    server.close()
    thread.join(timeout=10)
    assert not thread.is_alive()
    again = Server(library, port=server.port)
    again.close()


def test_a_port_in_use_is_a_sentence(library: Library) -> None:
    first = Server(library)
    with pytest.raises(BadInput, match=f"Port {first.port} of 127.0.0.1 cannot be used"):
        Server(library, port=first.port)
    first.close()


def test_on_ready_is_told_the_address(library: Library) -> None:
    told: list[str] = []

    def ready(address: str) -> None:
        told.append(address)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        serve(library, on_ready=ready)
    assert told[0].startswith("http://127.0.0.1:") and told[0].endswith("/")


def test_a_body_that_is_too_large_gets_an_answer_not_a_reset(library: Library) -> None:
    server = Server(library)
    thread = threading.Thread(target=server.run)
    thread.start()
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=30)
    headers = {"Content-Type": "application/json", "X-Page-Token": "x"}
    connection.request("POST", "/api/sessions", body=b"x" * (BODY_LIMIT_BYTES + 1), headers=headers)
    answer = connection.getresponse()
    assert answer.status in (403, 413)
    assert b'"message"' in answer.read()
    connection.close()
    server.close()
    thread.join(timeout=10)
    assert not thread.is_alive()
