"""Notes and crows in words: every number with its unit, rounded to what the measurement can tell."""

from __future__ import annotations

from typing import Any

from annotate.measure.tuning import cents_text, shown

MOST_NAMES = 8  # notes named in the short line of a scale
COMPUTED_FROM = "Computed from the sound at 16 kHz"
LONG_CROW = "Of a crow longer than a minute the first minute is measured."
PHONE = "A phone that suppresses noise can ruin a crow."
CLIPPED = "Clipped: the tops of the wave are cut off, so level, brightness and noise cannot be trusted."
GATED = "Gated: hush is cut to nothing, so attack, level and the end of the sound cannot be trusted."

NOTE_WORDS = (
    ("Pitch", "the middle pitch of the held part, as the nearest equal-tempered note and the cents from it"),
    ("Steadiness", "standard deviation of the pitch over the held part; a small one is steady"),
    ("Sag", "pitch of the last third of the held part less that of the first; below zero it sags"),
    (
        "Attack",
        "time in which the loudness (amplitude) rises from 10 to 90 % of that of the held part; one under 10 ms, "
        "or under the period of a low note (17 ms for B♭1), reads longer than it is; a slurred note has none",
    ),
    ("Level", "root mean square of the held part; 0 dBFS is the loudest the file can hold"),
    (
        "Brightness",
        "mean frequency of the partials, the stronger counting for more by their amplitude, also in multiples of the "
        "fundamental; partials that drown in hiss are not counted",
    ),
    (
        "Noise",
        "harmonics-to-noise ratio: what repeats with the pitch over all the rest up to 8 kHz; a high one is clean, "
        "40 the most",
    ),
)
CROW_WORDS = (
    ("Lowest pitch", "the lowest of the strong partials; the side tones that roughness makes are left out"),
    ("Strongest partials", "strongest first, with how far each lies below the strongest"),
    (
        "Roughness",
        "how deep and how fast the strongest partial swells, between 15 and 150 times a second; "
        "a crow under a third of a second is too short to tell",
    ),
    ("Pitches", "one, if all strong partials belong to one tone and nothing beats; else several"),
    ("Brightness", "mean frequency of the partials, the stronger counting for more by their amplitude"),
    ("Level", "root mean square; 0 dBFS is the loudest the file can hold"),
)


def signed(value: float, digits: int = 1) -> str:
    """A number with a true minus or plus sign; zero has none."""
    text = f"{abs(value):.{digits}f}"
    if float(text) == 0:
        return text
    return f"{'+' if value > 0 else '−'}{text}"


def hertz(value: float) -> str:
    """Whole Hz from 100 on, tenths below."""
    return f"{value:.0f} Hz" if value >= 100 else f"{value:.1f} Hz"


def pitch(part: dict[str, Any]) -> str:
    """``C♯3 −12 cents``."""
    return f"{shown(part['note'])} {cents_text(part['cents'])}"


def steadiness(note: dict[str, Any]) -> str:
    return f"{note['steadiness_cents']:.1f} cents"


def sag(note: dict[str, Any]) -> str:
    return f"{signed(note['sag_cents'])} cents"


def attack(note: dict[str, Any]) -> str:
    """``42 ms``; a note without one was slurred to."""
    if note["attack_ms"] is None:
        return "slurred"
    return f"{note['attack_ms']:.0f} ms"


def level(part: dict[str, Any]) -> str:
    return f"{signed(part['level_dbfs']).removeprefix('+')} dBFS"


def brightness(part: dict[str, Any]) -> str:
    """In Hz to the nearest ten; of a note also in multiples of its pitch."""
    text = f"{round(part['brightness_hz'], -1):.0f} Hz"
    if "brightness_harmonic" in part:
        text += f" ({part['brightness_harmonic']:.1f} × the fundamental)"
    return text


def noise(note: dict[str, Any]) -> str:
    return f"{note['hnr_db']:.0f} dB"


def length(part: dict[str, Any]) -> str:
    return f"{(part['end_ms'] - part['start_ms']) / 1000:.1f} s"


def partial(part: dict[str, Any]) -> str:
    """``F4 +12 cents (352 Hz), 6 dB below``."""
    below = round(-part["level_db"])
    text = f"{pitch(part)} ({hertz(part['hz'])})"
    return f"{text}, {below} dB below" if below else text


def roughness(crow: dict[str, Any]) -> str:
    """Depth and rate, or that nothing beats, or that it cannot be told."""
    if crow["roughness_depth"] is None:
        return "too short to tell"
    depth = round(100 * crow["roughness_depth"])
    if not crow["roughness_rate_hz"] or not depth:
        return "nothing beats"
    return f"{depth} % deep at {hertz(crow['roughness_rate_hz'])}"


def pitches(crow: dict[str, Any]) -> str:
    return "a single clear pitch" if crow["pitches"] == "one" else "several pitches at once"


def summary(kind: str, measures: dict[str, Any]) -> str:
    """A sound in one short line; empty when nothing was measured in it."""
    if kind == "crow" and "crow" in measures:
        crow = measures["crow"]
        return f"lowest {pitch(crow['lowest'])}, roughness {roughness(crow)}, {pitches(crow)}"
    if kind == "crow":
        return "no pitch in it that can be named" if measures else ""
    notes = measures.get("notes")
    if not notes:
        return "no note in it that holds" if notes is not None else ""
    if len(notes) == 1:
        return f"{pitch(notes[0])}, steadiness {steadiness(notes[0])}, sag {sag(notes[0])}"
    if len(notes) <= 3:
        return ", ".join(pitch(note) for note in notes)
    names = [shown(note["note"]) for note in notes[:MOST_NAMES]]
    return f"{len(notes)} notes: {' '.join(names)}{' …' if len(notes) > MOST_NAMES else ''}"


def warnings(measures: dict[str, Any]) -> list[str]:
    """What the microphone or an encoder did to the sound."""
    marks = measures.get("marks") or {}
    return [text for name, text in (("is_clipped", CLIPPED), ("is_gated", GATED)) if marks.get(name)]
