"""The settings page, and how choices are kept."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from annotate.errors import BadInput
from annotate.library.settings import Choices
from annotate.library.store import Library
from tests.web.answers import assert_error

SENT = {"a4_hz": "442,5", "own_words": ["Grenadilla ", "", "B14"], "signal_word": " Bench ", "language": "EN"}


def test_choices_are_kept(client: FlaskClient, library: Library) -> None:
    assert library.settings.get() == Choices(440.0, (), "", "")
    assert client.put("/api/settings", json=SENT).status_code == 200
    kept = library.settings.get()
    assert (kept.a4_hz, kept.own_words, kept.language) == (442.5, ("Grenadilla", "B14"), "en")
    text = client.get("/settings").get_data(as_text=True)
    assert 'value="442.5"' in text and "Grenadilla\nB14" in text
    with Library.open(library.folder) as again:
        assert again.settings.get() == kept


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"a4_hz": "500"}, "400 to 480 Hz"),
        ({"a4_hz": ""}, "tuning note is empty"),
        ({"a4_hz": "high"}, "is not a number"),
        ({"language": "english!"}, "is not a language code"),
        ({"own_words": ["x" * 61]}, "short phrase"),
        ({"own_words": [str(n) for n in range(201)]}, "More than 200"),
        ({"signal_word": "two words"}, "two words"),
    ],
)
def test_what_does_not_fit_is_refused(
    client: FlaskClient, library: Library, change: dict[str, object], word: str
) -> None:
    assert_error(client.put("/api/settings", json={**SENT, **change}), 400, "bad_input", word)
    assert library.settings.get() == Choices()


def test_a_tuning_outside_the_span_is_no_choice() -> None:
    with pytest.raises(BadInput):
        Choices(a4_hz=399.0)


@pytest.mark.parametrize(("instrument", "zone"), [("bassoon", "Channels"), ("oboe", "Windows")])
def test_spoken_marks_stand_on_a_page_with_the_makers_word(
    client: FlaskClient, library: Library, instrument: str, zone: str
) -> None:
    library.settings.put(Choices(signal_word="pelican"))
    text = client.get(f"/spoken-marks?instrument={instrument}").get_data(as_text=True)
    assert "pelican scrape" in text and zone in text and "Too resistant" in text


def test_spoken_marks_of_an_unknown_instrument_are_refused(client: FlaskClient) -> None:
    assert client.get("/spoken-marks?instrument=kazoo").status_code == 400
