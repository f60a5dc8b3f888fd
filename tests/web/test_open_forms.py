"""Readings and tags as files on the pages."""

from __future__ import annotations

from decimal import Decimal

from flask.testing import FlaskClient

from annotate.library import Library
from annotate.model import Reading, Reed
from tests.making import a_recording, a_tag
from tests.web.answers import assert_error

BYTES = "application/octet-stream"


def test_a_table_of_readings_goes_out_and_in(client: FlaskClient, library: Library) -> None:
    reed = library.reeds.add(Reed("B-14/ä"))
    library.readings.add(Reading("tip_opening", Decimal("1.6"), "mm", reed_id=reed.id))
    answer = client.get(f"/readings.csv?reed={reed.id}")
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8; header=present"
    assert "attachment" in answer.headers["Content-Disposition"]
    library.readings.remove(1)
    brought = client.put("/api/readings/table", data=answer.data, content_type=BYTES).json
    assert brought is not None
    assert (brought["made"], brought["message"]) == (1, "1 reading brought in.")
    assert_error(
        client.put("/api/readings/table", data=b"a,b\n1,2\n", content_type=BYTES), 400, "bad_input", "no column"
    )
    assert 'data-bring-file="/api/readings/table"' in client.get("/reeds").text


def test_tags_go_out_and_in(client: FlaskClient, library: Library) -> None:
    tag = a_tag(library, a_recording(library))
    answer = client.get("/sessions/1/tags.jsonld")
    assert answer.headers["Content-Type"] == "application/ld+json"
    library.tags.remove(tag.id)
    brought = client.put("/api/tags/annotations", data=answer.data, content_type=BYTES).json
    assert brought is not None
    assert brought["message"] == "1 tag brought in."
    assert_error(client.put("/api/tags/annotations", data=b"{", content_type=BYTES), 400, "bad_input", "is not JSON")
    assert client.get("/sessions/9/tags.jsonld").status_code == 404
