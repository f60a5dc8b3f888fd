"""What was measured in sounds, in the diary, on the reed's page, and two of them side by side."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask.testing import FlaskClient

from annotate.library.store import Library
from annotate.model import Sound, Tag
from annotate.work.comparing import compare, pairs
from annotate.work.reed_sounds import held_notes, sound_by_id, sounds_of_reed
from tests.browser.seed import Seeded
from web import sound_words

NOTE: dict[str, Any] = {
    **{"start_ms": 2100, "end_ms": 4100, "hz": 137.63, "note": "C#3", "cents": -12.4, "a4_hz": 440.0},
    **{"steadiness_cents": 3.14, "sag_cents": -7.26, "attack_ms": 41.8, "level_dbfs": -18.31},
    **{"brightness_hz": 1234.5, "brightness_harmonic": 8.97, "hnr_db": 17.6},
}
LOW = {"hz": 270.0, "note": "C#4", "cents": -45.4, "level_db": -6.2}
HIGH = {"hz": 540.0, "note": "C#5", "cents": -45.4, "level_db": 0.0}
CROW: dict[str, Any] = {
    **{"start_ms": 4200, "end_ms": 6000, "lowest": LOW, "partials": [HIGH, LOW], "roughness_depth": 0.382},
    **{"roughness_rate_hz": 24.3, "brightness_hz": 2081.0, "level_dbfs": -20.4, "pitches": "several", "a4_hz": 440.0},
}
CLEAN = {"is_clipped": False, "is_gated": False, "flat_tops_per_s": 0.0, "drops_to_silence": 0}


def hear(library: Library, recording_id: int, note: dict[str, Any] | None = None) -> list[int]:
    """Put a held note and a gated crow into a recording; the ids of the two sounds."""
    measured = [
        (Sound(0, 2000, "speech"), {}),
        (Sound(2000, 4200, "play"), {"notes": [note or NOTE], "marks": CLEAN, "rate_hz": 16000}),
        (Sound(4200, 6000, "crow"), {"crow": CROW, "marks": {**CLEAN, "is_gated": True}, "rate_hz": 16000}),
    ]
    library.recordings.hear(recording_id, measured)
    return [row["id"] for row in library.recordings.measures(recording_id)][1:]


def test_numbers_are_rounded_and_have_units() -> None:
    assert sound_words.pitch(NOTE) == "C♯3 −12 cents"
    assert sound_words.steadiness(NOTE) == "3.1 cents"
    assert sound_words.sag(NOTE) == "−7.3 cents"
    assert sound_words.attack(NOTE) == "42 ms"
    assert sound_words.level(NOTE) == "−18.3 dBFS"
    assert sound_words.brightness(NOTE) == "1230 Hz (9.0 × the fundamental)"
    assert sound_words.noise(NOTE) == "18 dB"
    assert sound_words.partial(LOW) == "C♯4 −45 cents (270 Hz), 6 dB below"
    assert sound_words.roughness(CROW) == "38 % deep at 24.3 Hz"
    assert sound_words.signed(-0.04) == "0.0"
    assert sound_words.attack({**NOTE, "attack_ms": None}) == "slurred"
    assert sound_words.roughness({**CROW, "roughness_depth": None, "roughness_rate_hz": None}) == "too short to tell"


def test_short_lines_of_sounds() -> None:
    assert sound_words.summary("play", {"notes": [NOTE]}) == "C♯3 −12 cents, steadiness 3.1 cents, sag −7.3 cents"
    scale = [{**NOTE, "note": name} for name in ("C3", "D3", "Eb3", "F3", "G3", "A3", "Bb3", "C4", "D4")]
    assert sound_words.summary("play", {"notes": scale}) == "9 notes: C3 D3 E♭3 F3 G3 A3 B♭3 C4 …"
    assert sound_words.summary("crow", {"crow": CROW}) == (
        "lowest C♯4 −45 cents, roughness 38 % deep at 24.3 Hz, several pitches at once"
    )
    assert sound_words.summary("play", {}) == ""
    assert sound_words.summary("crow", {"marks": CLEAN}) == "no pitch in it that can be named"


def test_the_diary_shows_sounds_beside_the_lines(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    play, crow = hear(library, seeded.recording.id)
    page = client.get(f"/sessions/{seeded.first.id}").text
    assert f'data-sound="{play}"' in page
    assert "C♯3 −12 cents, steadiness 3.1 cents" in page
    assert '<span class="sound-mark">gated</span>' in page
    html = client.get(f"/api/sounds/{crow}").json["html"]
    assert "C♯5 −45 cents (540 Hz)" in html
    assert "A phone that suppresses noise can ruin a crow." in html
    assert "Computed from the sound at 16 kHz, against A4 = 440 Hz" in html
    assert "8.97" not in client.get(f"/api/sounds/{play}").json["html"]
    assert client.get("/api/sounds/999").status_code == 404


def test_the_reed_s_page_tells_how_it_sounded(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    hear(library, seeded.recording.id)
    hear(library, seeded.later.id, {**NOTE, "hz": 138.83, "cents": 3.0, "sag_cents": -1.0})
    page = client.get(f"/reeds/{seeded.bassoon.id}").text
    story = page[page.index("What it sounded like") : page.index("Readings over time")]
    assert story.index("C♯3 −12 cents") < story.index("C♯3 +3 cents")
    assert "Pitch, cents from C♯3: C♯3 −12 cents on 2 Mar 2026 to C♯3 +3 cents on 9 Mar 2026, 2 in all" in story
    assert "Not held for a second in any recording yet." in story  # E3
    assert "common practice, no source" in story
    assert story.count('C♯4 −45 cents</span> <span class="number">(270 Hz)') == 2
    assert "262 Hz to 277 Hz, about C4 to C♯4" in story
    assert "256 Hz or higher, about C4 or higher" in story
    assert "Sources disagree" in story
    assert "These are no verdict on a reed." in story


def test_an_oboe_reed_has_no_test_notes(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    oboe = next(one for one in library.recordings.all() if one.reed_id == seeded.oboe.id)
    library.recordings.hear(oboe.id, [(Sound(0, 900, "crow"), {"crow": CROW, "marks": CLEAN})])
    page = client.get(f"/reeds/{seeded.oboe.id}").text
    assert "classic test" not in page
    assert "523 Hz, about C5" in page


def test_a_tag_says_whose_sound_it_is(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    play, _ = hear(library, seeded.recording.id)
    library.tags.add(Tag(seeded.recording.id, 2500, 4100, "play", reed_id=seeded.oboe.id))
    assert f'href="/reeds/{seeded.oboe.id}/sounds' in client.get(f"/api/sounds/{play}").json["html"]


def test_two_sounds_side_by_side(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    play, crow = hear(library, seeded.recording.id)
    other, _ = hear(library, seeded.later.id, {**NOTE, "hz": 138.59, "sag_cents": -1.0})
    page = client.get(f"/reeds/{seeded.bassoon.id}/sounds?first={play}&second={other}").text
    assert "C♯3 in numbers" in page
    assert '<td class="number">C♯3 −12 cents</td>' in page  # the pitch itself, not 0 cents from itself
    assert "+12.0 cents" in page  # 1200 log2(138.59 / 137.63)
    assert "+6.3 cents" in page  # sag: -1.0 less -7.26
    assert "At the same loudness the first sound is strongest near" in page
    assert f'<option value="{other}" selected>' in page
    mixed = client.get(f"/reeds/{seeded.bassoon.id}/sounds?first={play}&second={crow}").text
    assert "A crow and playing have no numbers in common." in mixed
    assert client.get(f"/reeds/{seeded.bassoon.id}/sounds?first=999").status_code == 404
    assert "Two sounds are needed" in client.get(f"/reeds/{seeded.oboe.id}/sounds").text


def test_the_louder_sound_is_turned_down(library: Library, seeded: Seeded) -> None:
    play, crow = hear(library, seeded.recording.id)
    found = compare(library, sound_by_id(library, play), sound_by_id(library, crow))
    gains = sorted((found.matched.first_gain_db, found.matched.second_gain_db))
    assert gains[1] == 0
    assert gains[0] == -abs(found.matched.first_lufs - found.matched.second_lufs)


def test_a_very_flat_test_note_stays_in_its_line(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    # 55 cents flat of C#3 at A4 = 440; its nearest note is C3, 45 cents sharp.
    flat = {**NOTE, "hz": 134.26, "note": "C3", "cents": 45.0}
    hear(library, seeded.recording.id, flat)
    hear(library, seeded.later.id)
    page = client.get(f"/reeds/{seeded.bassoon.id}").text
    story = page[page.index("C♯3 held") : page.index("<h3>Crows</h3>")]
    assert 'C♯3 −55 cents <span class="soft">nearer C3</span>' in story
    assert "C♯3 −55 cents on 2 Mar 2026 to C♯3 −12 cents on 9 Mar 2026, 2 in all" in story
    # In the diary it is told as what it is nearest to.
    play = library.recordings.measures(seeded.recording.id)[1]["id"]
    assert "C3 +45 cents" in client.get(f"/api/sounds/{play}").json["html"]


def test_a_note_in_tune_goes_before_a_longer_one_that_is_a_semitone_lower(library: Library, seeded: Seeded) -> None:
    longer = {**NOTE, "hz": 132.7, "note": "C3", "cents": 24.7, "end_ms": 9000}
    hear(library, seeded.recording.id)
    library.recordings.hear(seeded.later.id, [(Sound(2000, 9000, "play"), {"notes": [longer, NOTE]})])
    found = held_notes(sounds_of_reed(library, seeded.bassoon.id), "C#3")
    assert [one.nearest for one in found] == ["C#3", "C#3"]


def test_cents_of_all_sessions_are_from_one_a4(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    hear(library, seeded.recording.id)
    hear(library, seeded.later.id, {**NOTE, "a4_hz": 442.0, "cents": -19.8})
    library.settings.put(replace(library.settings.get(), a4_hz=442.0))
    page = client.get(f"/reeds/{seeded.bassoon.id}").text
    # 137.63 Hz lies 12.0 cents under C#3 at 440; 442 is 7.85 cents higher (ISO 16 and equal temperament).
    assert "C♯3 −20 cents on 2 Mar 2026 to C♯3 −20 cents on 9 Mar 2026" in page
    assert "C4 +47 cents" in page  # 270 Hz at 442, as in tests/outside/test_tuning
    # The diary keeps to the A4 that the recording was listened to with, in its line and in what opens from it.
    play = library.recordings.measures(seeded.recording.id)[1]["id"]
    html = client.get(f"/api/sounds/{play}").json["html"]
    assert "C♯3 −12 cents" in html and "against A4 = 440 Hz" in html
    found = pairs(*(sound.measures for sound in sounds_of_reed(library, seeded.bassoon.id) if sound.kind == "play"))
    assert [pair.what for pair in found] == ["C#3"]
