"""Whether a browser plays a file as it is, on the recording's own clock; if not, why.

What plays everywhere: H.264 (8 bit, 4:2:0) with AAC or MP3 in MP4; VP8, VP9 or
AV1 with Opus or Vorbis in WebM; plain sound files. Source: Mozilla's "Media
type and format guide" (developer.mozilla.org), containers and codecs pages.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from annotate.model import Stream

# Encoder delay of an MP3 is at most this; players leave it out by themselves.
ORIGIN_TOLERANCE_S = Fraction(30, 1000)
# A sound or picture that begins later than this is not left to the player's idea of a gap.
LATE_START_S = Fraction(40, 1000)

_PICTURE = {"mp4": {"h264"}, "webm": {"vp8", "vp9", "av1"}}
_SOUND = {
    "mp4": {"aac", "mp3"},
    "webm": {"opus", "vorbis"},
    "mp3": {"mp3"},
    "wav": {"pcm_s16le"},
    "ogg": {"opus", "vorbis"},
    "flac": {"flac"},
}
_PIXELS = {"yuv420p", "yuvj420p"}


@dataclass(frozen=True)
class Facts:
    """What the answer depends on. ``container`` is our short name; ``origin`` the clock's zero in file seconds."""

    container: str
    picture: Stream | None
    sound: Stream | None
    sound_count: int
    origin: Fraction
    states_length: bool
    is_hdr: bool


def reasons(facts: Facts) -> list[str]:
    """Why a copy is needed, as short phrases; empty if the file plays as it is."""
    return list(_reasons(facts))


def _reasons(facts: Facts) -> Iterator[str]:
    kind, picture, sound = facts.container, facts.picture, facts.sound
    if kind not in _SOUND:
        yield f"browsers do not open {kind} files"
    elif picture and picture.codec not in _PICTURE.get(kind, set()):
        yield f"browsers may not show {picture.codec} pictures in {kind} files"
    if picture and picture.pixel_format not in _PIXELS:
        yield f"the picture is stored as {picture.pixel_format or 'an unknown pixel format'}"
    if facts.is_hdr:
        yield "the picture has high dynamic range"
    if sound and kind in _SOUND and sound.codec not in _SOUND[kind]:
        yield f"browsers may not play {sound.codec} sound in {kind} files"
    if facts.sound_count > 1:
        yield f"there are {facts.sound_count} sound tracks and a browser may take another one"
    if abs(facts.origin) > ORIGIN_TOLERANCE_S:
        yield f"its times begin at {float(facts.origin):.3f} s instead of 0"
    if picture and sound and abs(picture.start - sound.start) > LATE_START_S:
        later = "sound" if sound.start > picture.start else "picture"
        yield f"the {later} begins {abs(float(picture.start - sound.start)):.3f} s late"
    if not facts.states_length:
        yield "it does not state its length, so a browser cannot seek in it"
