"""The three forms of a transcript, told apart by what is in them."""

from __future__ import annotations

import pytest

from annotate.errors import BadInput
from annotate.formats import transcript
from annotate.formats.cues import Cue
from annotate.model import Line

CUES = [Cue(1500, 3000, "First the plaque."), Cue(6000, 7250, "Then the knife.")]


@pytest.mark.parametrize("form", transcript.FORMS)
def test_out_and_in_again(form: transcript.Form) -> None:
    lines = [Line(1, cue.start_ms, cue.end_ms, cue.text) for cue in CUES]
    found = transcript.read(transcript.write(form, lines, 9000), 9000)
    assert [(cue.start_ms, cue.text) for cue in found] == [(1500, "First the plaque."), (6000, "Then the knife.")]


def test_text_comes_back_whatever_is_said_and_however_close() -> None:
    lines = [Line(1, 1500, 1580, "flat --> soft"), Line(1, 1580, 1585, "Yes."), Line(1, 1600, 3000, "And again.")]
    text = transcript.write("text", lines, 9000)
    assert text == "0:01.5 flat --> soft\n0:01.580 Yes.\n0:01.6 And again.\n"
    assert [(cue.start_ms, cue.text) for cue in transcript.read(text, 9000)] == [
        (1500, "flat --> soft"), (1580, "Yes."), (1600, "And again.")
    ]  # fmt: skip


def test_encodings_of_older_programs() -> None:
    text = "1\r\n00:00:01,500 --> 00:00:03,000\r\nHeld B♭, said André.\r\n"
    assert transcript.read(transcript.decoded(text.encode("utf-16")))[0].text == "Held B♭, said André."
    assert transcript.read(transcript.decoded(text.encode("utf-8-sig")))[0].text == "Held B♭, said André."
    assert transcript.decoded("André".encode("cp1252")) == "André"


def test_what_is_no_transcript() -> None:
    for data in (
        b"",
        b"WEBVTT\n",
        b"just words",
        b"MZ\x00\x01",
        b"a --> b",
        b"00:00:01,500 --> 00:00:03,000\nno number",
    ):
        with pytest.raises(BadInput):
            transcript.read(transcript.decoded(data))
