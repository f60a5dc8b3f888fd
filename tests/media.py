"""Tiny media files of known content for tests, made once per test run.

Every function gives the path of a file that is made on first use and removed
at the end of the run; do not change the files, copy them. The pictures of
``numbered`` files carry their own number as black and white blocks, so that a
test can tell which picture it was given (``read_number``).
"""

from __future__ import annotations

import atexit
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from pathlib import Path

import av
import imageio_ffmpeg
import numpy as np
from numpy.typing import NDArray

WIDTH, HEIGHT = 320, 240
_BITS = 12
_BLOCK = 20


@cache
def folder() -> Path:
    """The folder of this test run's files."""
    made = Path(tempfile.mkdtemp(prefix="benchreel-media-"))
    atexit.register(shutil.rmtree, made, ignore_errors=True)
    return made


def ffmpeg(*arguments: str | Path) -> None:
    """Run the ffmpeg program quietly; a failure shows its words."""
    program = imageio_ffmpeg.get_ffmpeg_exe()
    command = [program, "-hide_banner", "-loglevel", "error", "-nostdin", "-y", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        raise AssertionError(f"{' '.join(command)}\n{done.stderr}")


def make(name: str, *arguments: str | Path) -> Path:
    """The file ``name`` made with ffmpeg from these arguments (its output name is added)."""
    path = folder() / name
    if not path.exists():
        ffmpeg(*arguments, path)
    return path


PICTURE = ("-f", "lavfi", "-i", f"testsrc2=s={WIDTH}x{HEIGHT}:r=30")
TONE = ("-f", "lavfi", "-i", "sine=440")
H264 = ("-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p")


@cache
def base() -> Path:
    """6 s, 320x240, 30 pictures a second, H.264 yuv420p and AAC 440 Hz in MP4: plays anywhere."""
    return make("base.mp4", *PICTURE, *TONE, "-t", "6", *H264, "-bf", "2", "-g", "90", "-c:a", "aac")


@cache
def rotated(turn: int = 90, suffix: str = "mp4") -> Path:
    """``base`` with a display matrix of 0, 90, 180 or 270 degrees counter-clockwise."""
    return make(f"rotated{turn}.{suffix}", "-display_rotation", str(turn), "-i", base(), "-c", "copy")


@cache
def vfr() -> Path:
    """10 s: 30 pictures a second for 5 s, then 10; ``numbered`` by the 1/30 s they belong to; with a tone."""
    numbers = [n for n in range(300) if n < 150 or n % 3 == 0]
    silent = numbered("vfr-silent.mp4", numbers, [Fraction(n, 30) for n in numbers], last=Fraction(1, 10))
    return make("vfr.mp4", "-i", silent, *TONE, "-t", "10", "-map", "0", "-map", "1", "-c:v", "copy", "-c:a", "aac")


@cache
def late_sound() -> Path:
    """The sound of ``base`` starts 2.5 s after the picture."""
    return make("late.mp4", "-i", base(), "-itsoffset", "2.5", "-i", base(), "-map", "0:v", "-map", "1:a", "-c", "copy")


@cache
def late_picture() -> Path:
    """The picture of ``base`` starts 2.5 s after the sound."""
    return make(
        "late-picture.mp4", "-itsoffset", "2.5", "-i", base(), "-i", base(), "-map", "0:v", "-map", "1:a", "-c", "copy"
    )


@cache
def start_offset(suffix: str = "mkv", seconds: float = 5) -> Path:
    """``base`` with all its times moved by some seconds."""
    return make(f"start{seconds}.{suffix}", "-i", base(), "-c", "copy", "-output_ts_offset", str(seconds))


@cache
def hdr() -> Path:
    """2 s of 10-bit HEVC, BT.2020 with HLG transfer, in MOV, with sound."""
    colours = "log-level=none:colorprim=bt2020:transfer=arib-std-b67:colormatrix=bt2020nc"
    coding = ("-c:v", "libx265", "-preset", "ultrafast", "-tag:v", "hvc1", "-pix_fmt", "yuv420p10le")
    return make("hdr.mov", *PICTURE, *TONE, "-t", "2", *coding, "-x265-params", colours, "-c:a", "aac")


@cache
def mkv() -> Path:
    """``base`` in Matroska."""
    return make("base.mkv", "-i", base(), "-c", "copy")


@cache
def webm_live() -> Path:
    """3 s VP9 and Opus as a browser's recorder writes it: no length, no index."""
    coding = ("-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-c:a", "libopus")
    return make("live.webm", "-i", base(), *coding, "-t", "3", "-f", "webm", "-live", "1")


@cache
def webm() -> Path:
    """3 s VP9 and Opus in WebM, with length and index."""
    coding = ("-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-c:a", "libopus")
    return make("plain.webm", "-i", base(), *coding, "-t", "3")


@cache
def no_sound() -> Path:
    """``base`` without its sound."""
    return make("nosound.mp4", "-i", base(), "-an", "-c", "copy")


@cache
def only_sound(suffix: str = "m4a") -> Path:
    """3 s of 440 Hz: m4a, mp3, wav, ogg, flac ..."""
    return make(f"sound.{suffix}", *TONE, "-t", "3")


@cache
def two_tracks() -> Path:
    """4 s with 300 Hz in the first sound track and 3000 Hz in the second, which is the default one."""
    tones = ("-f", "lavfi", "-i", "sine=300", "-f", "lavfi", "-i", "sine=3000")
    names = ("-metadata:s:a:0", "language=deu", "-metadata:s:a:1", "language=eng", "-metadata:s:a:1", "title=Lapel")
    flags = ("-disposition:a:0", "0", "-disposition:a:1", "default")
    maps = ("-map", "0", "-map", "1", "-map", "2")
    return make("two.mkv", *PICTURE, *tones, "-t", "4", *maps, *flags, *names, *H264, "-c:a", "aac")


@cache
def truncated() -> Path:
    """The first 60000 bytes of ``base``: no index."""
    return written("trunc.mp4", base().read_bytes()[:60000])


@cache
def cut_short() -> Path:
    """An MP4 with its index in front, of which the last third is not there."""
    whole = make("faststart.mp4", "-i", base(), "-c", "copy", "-movflags", "+faststart").read_bytes()
    return written("cut-short.mp4", whole[: len(whole) * 2 // 3])


@cache
def picture_file(suffix: str = "png") -> Path:
    """One still picture."""
    return make(f"still.{suffix}", *PICTURE, "-frames:v", "1")


def written(name: str, content: bytes) -> Path:
    """A file of these bytes."""
    path = folder() / name
    path.write_bytes(content)
    return path


@cache
def click(suffix: str = "mp4") -> Path:
    """5 s: at exactly 3.0 s the picture goes from black to white and a 1 kHz tone begins, for 0.2 s."""
    flash = "color=black:s=320x240:r=25,drawbox=c=white:t=fill:enable='gte(t,3)*lt(t,3.2)'"
    beep = "aevalsrc='0.5*sin(2*PI*1000*t)*gte(t,3)*lt(t,3.2)':s=48000"
    inputs = ("-f", "lavfi", "-i", flash, "-f", "lavfi", "-i", beep)
    return make(f"click.{suffix}", *inputs, "-t", "5", *H264, "-c:a", "aac")


def block_picture(number: int) -> NDArray[np.uint8]:
    """A grey picture (height, width, 3) with ``number`` as twelve black or white blocks along its top."""
    picture = np.full((HEIGHT, WIDTH, 3), 128, np.uint8)
    for bit in range(_BITS):
        picture[:_BLOCK, bit * _BLOCK : (bit + 1) * _BLOCK] = 235 if number >> bit & 1 else 20
    return picture


def read_number(picture: NDArray[np.uint8]) -> int:
    """The number in an upright picture of a ``numbered`` file, whatever its size."""
    scale = picture.shape[1] / WIDTH
    middle = round(_BLOCK / 2 * scale)
    return sum(
        1 << bit for bit in range(_BITS) if picture[middle, round((bit + 0.5) * _BLOCK * scale)].mean(axis=-1) > 128
    )


def numbered(
    name: str, numbers: Sequence[int], times: Sequence[Fraction], last: Fraction = Fraction(1, 30), gop: int = 30
) -> Path:
    """Pictures with these numbers, shown from these times (seconds), in H.264 without sound; cached by name."""
    path = folder() / name
    if path.exists():
        return path
    clock = Fraction(1, 90000)
    with av.open(str(path), "w") as out:
        stream = out.add_stream("libx264", rate=30, options={"preset": "ultrafast", "crf": "18"})
        stream.width, stream.height, stream.pix_fmt = WIDTH, HEIGHT, "yuv420p"
        stream.codec_context.time_base = clock
        stream.codec_context.gop_size = gop
        ends = [*times[1:], times[-1] + last]
        for number, start, end in zip(numbers, times, ends, strict=True):
            frame = av.VideoFrame.from_ndarray(block_picture(number), format="rgb24")
            frame.pts, frame.time_base = round(start / clock), clock
            frame.duration = round((end - start) / clock)
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return path


def children() -> list[int]:
    """Process ids of this process's living children but a test browser's: a test compares before and after."""
    import psutil

    found = []
    for child in psutil.Process().children(recursive=True):
        try:
            name = child.name()
        except psutil.NoSuchProcess:
            continue
        if not name.startswith(("chrom", "node", "google-chrome", "headless_shell")):
            found.append(child.pid)
    return found
