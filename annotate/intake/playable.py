"""Makes the copy a browser plays when it cannot play the original: H.264 and AAC in MP4, on the recording's clock.

The copy is upright, 8 bit, in ordinary colours, with even sides and an index
in front. Its time 0 is the recording's time 0: a sound or picture that begins
later is led in by silence, or by its first picture. Pictures keep their own
times, so a changing rate stays what it was. Streams that are right already are
taken over as they are. Nothing the camera noted (place, owner) is carried
over.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path, PurePosixPath

from annotate.errors import NotMedia, ToolFailed
from annotate.intake import encoder
from annotate.intake.colours import to_sdr_filter
from annotate.intake.fingerprint import never, nothing
from annotate.intake.opening import OPTIONS, ffmpeg_name
from annotate.intake.parts import written_whole
from annotate.intake.probe import probe
from annotate.model import Probe, Stream

FOLDER = "playable"
SHORT_SIDE = 1080  # pixels; a tablet shows no more, and 4K stutters on one
TICKS = 90000  # time base of the copy; holds 1/24, 1/25, 1/30, 1001/30000 s and whole milliseconds
KEY_EVERY_S = 2  # key pictures, so that a jump in the player is quick
EXACT_S = Fraction(1, 1000)
LONGER_MS = 100  # the last sound packet is filled up to its full length
SHORTER_MS = 2000  # the end of a recording that was cut off may not decode
_TURNS = {0: "", 90: "transpose=clock", 180: "hflip,vflip", 270: "transpose=cclock"}
_COPY_PICTURE_FROM = {"mp4", "mov", "mkv"}
_COPY_SOUND_FROM = {"mp4", "mov"}
_MAX_RATE_HZ = 48000


@dataclass(frozen=True)
class _Plan:
    """What is taken over as it is."""

    copies_picture: bool
    copies_sound: bool


def playable_path(mark: str, probed: Probe) -> str:
    """Where the copy of the recording with fingerprint ``mark`` lies, relative to the library's folder."""
    ending = "mp4" if probed.picture_stream is not None else "m4a"
    return str(PurePosixPath(FOLDER) / f"{own_name(mark, probed)}.{ending}")


def own_name(mark: str, probed: Probe) -> str:
    """What the files made from a recording are called: with the number of its sound track where there are several."""
    tracks = sum(one.kind == "sound" for one in probed.streams)
    return mark[:16] if tracks < 2 else f"{mark[:16]}-{probed.sound_stream}"


def make_playable(
    path: Path,
    probed: Probe,
    target: Path,
    progress: Callable[[float], None] = nothing,
    cancelled: Callable[[], bool] = never,
) -> None:
    """Write the copy to ``target`` (by a part file beside it).

    Raises
    ------
    Cancelled, NoSpace, ToolFailed, NotMedia
        With nothing left at or beside ``target``.
    """
    plan = _plan(probed)
    with written_whole(target) as part:
        try:
            _write(path, probed, plan, part, progress, cancelled)
        except ToolFailed:
            if not (plan.copies_picture or plan.copies_sound):
                raise
            # What was taken over did not fit after all: encode everything.
            _write(path, probed, _Plan(False, False), part, progress, cancelled)


def _write(
    path: Path,
    probed: Probe,
    plan: _Plan,
    part: Path,
    progress: Callable[[float], None],
    cancelled: Callable[[], bool],
) -> None:
    arguments = _arguments(path, probed, plan, part)
    encoder.run(arguments, path, probed.duration_ms, progress, cancelled)
    _check(part, path, probed)


def _check(part: Path, path: Path, probed: Probe) -> None:
    """Believe no encoder: the copy must probe as directly playable, from 0, and about as long as the recording."""
    try:
        copy = probe(part)
    except NotMedia as error:
        raise ToolFailed(f"the copy cannot be read ({error.what})", path.name) from None
    wrong = copy.why_playable
    if not -SHORTER_MS <= copy.duration_ms - probed.duration_ms <= LONGER_MS:
        wrong = f"it is {copy.duration_ms} ms long instead of {probed.duration_ms} ms"
    if wrong:
        raise ToolFailed(f"the copy did not come out right: {wrong}", path.name, "Please report this file's kind.")


def _plan(probed: Probe) -> _Plan:
    picture, sound = stream(probed, probed.picture_stream), stream(probed, probed.sound_stream)
    copies_picture = (
        picture is not None
        and probed.container in _COPY_PICTURE_FROM
        and picture.codec == "h264"
        and picture.pixel_format in ("yuv420p", "yuvj420p")
        and not probed.is_hdr
        and abs(picture.start - probed.origin) <= EXACT_S
        and (probed.rotation == 0 or probed.container != "mkv")
    )
    copies_sound = (
        sound is not None
        and probed.container in _COPY_SOUND_FROM
        and sound.codec == "aac"
        and abs(sound.start - probed.origin) <= EXACT_S
    )
    return _Plan(copies_picture, copies_sound)


def stream(probed: Probe, index: int | None) -> Stream | None:
    """The stream with this index, or None."""
    return next((one for one in probed.streams if one.index == index), None)


def _arguments(path: Path, probed: Probe, plan: _Plan, part: Path) -> list[str]:
    # -copyts keeps the file's own times and -itsoffset moves the clock's zero to 0, for all streams alike.
    # Pictures are turned by our own filter, not by the program's habit, so the stored turn is set to none.
    turned = [] if plan.copies_picture or probed.picture_stream is None else ["-noautorotate", "-display_rotation", "0"]
    whitelists = [word for key, value in OPTIONS.items() for word in (f"-{key}", value)]
    source = ["-copyts", "-itsoffset", f"{float(-probed.origin):.6f}", *turned, *whitelists, "-i", ffmpeg_name(path)]
    kept_nothing = ["-map_metadata", "-1", "-map_metadata:s", "-1", "-map_chapters", "-1"]
    return [
        *source,
        *_picture_arguments(path, probed, plan),
        *_sound_arguments(probed, plan),
        *kept_nothing,
        *("-dn", "-sn", "-movflags", "+faststart", "-f", "mp4"),
        ffmpeg_name(part),
    ]


def _picture_arguments(path: Path, probed: Probe, plan: _Plan) -> list[str]:
    if probed.picture_stream is None:
        return ["-vn"]
    chosen = ["-map", f"0:{probed.picture_stream}"]
    if plan.copies_picture:
        return [*chosen, "-c:v", "copy"]
    width, height = even_size(probed.width, probed.height)
    chain = [
        _TURNS[probed.rotation],
        f"scale={width}:{height}:flags=area",
        "setsar=1",
        to_sdr_filter(path, probed.picture_stream) if probed.is_hdr else "format=yuv420p",
        # The first picture is held from 0; all others keep their time.
        f"settb=1/{TICKS},setpts='if(eq(N,0),0,PTS)'",
    ]
    coding = ["-c:v", "libx264", "-preset", "veryfast", "-crf", "21", "-profile:v", "high"]
    timing = ["-fps_mode", "vfr", "-enc_time_base", f"1:{TICKS}", "-video_track_timescale", str(TICKS)]
    keys = ["-force_key_frames", f"expr:gte(t,n_forced*{KEY_EVERY_S})"]
    return [*chosen, "-vf", ",".join(filter(None, chain)), *coding, *timing, *keys]


def _sound_arguments(probed: Probe, plan: _Plan) -> list[str]:
    sound = stream(probed, probed.sound_stream)
    if sound is None:
        return ["-an"]
    chosen = ["-map", f"0:{sound.index}"]
    if plan.copies_sound:
        return [*chosen, "-c:a", "copy"]
    rate_hz = min(int(sound.rate or _MAX_RATE_HZ), _MAX_RATE_HZ)
    channels = min(max(sound.channels, 1), 2)
    # first_pts=0 leads in with silence; async fills gaps in which a recorder was stopped.
    fill = f"aresample={rate_hz}:async=1:first_pts=0"
    return [*chosen, "-af", fill, "-c:a", "aac", "-b:a", f"{96 * channels}k", "-ac", str(channels)]


def even_size(width: int, height: int, short_side: int = SHORT_SIDE) -> tuple[int, int]:
    """Width and height with both sides even (as 4:2:0 needs) and the shorter at most ``short_side``, same shape."""
    shrink = min(Fraction(1), Fraction(short_side, min(width, height)))
    return max(2, round(width * shrink / 2) * 2), max(2, round(height * shrink / 2) * 2)
