"""Makes the demo's media and the files that describe them: ``python -m demo_media.make``.

Needs ``flite`` (Debian) and the DejaVu fonts on the machine, and Benchreel's own
libraries. Seeded: the same inputs give the same pictures and sounds.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import imageio_ffmpeg
import numpy as np
import soundfile  # type: ignore[import-untyped]

from demo_media import written
from demo_media.beats import SITTINGS
from demo_media.sounds import RATE_HZ
from demo_media.stage import Stage
from demo_media.timeline import Laid, lay

FOLDER = Path(__file__).parent
COLOUR = ["-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", "tv"]
EXACT = ["-map_metadata", "-1", "-fflags", "+bitexact", "-flags:v", "+bitexact", "-flags:a", "+bitexact"]
QUALITY = {".mp4": "30", ".mkv": "31"}


def _codec(laid: Laid) -> list[str]:
    rate = laid.sitting.rate
    if laid.sitting.file.endswith(".mkv"):
        return [
            "-c:v",
            "libx265",
            "-preset",
            "medium",
            "-x265-params",
            f"log-level=error:keyint={rate * 8}:pools=2",
            "-crf",
            QUALITY[".mkv"],
        ]
    return ["-c:v", "libx264", "-preset", "slow", "-tune", "animation", "-g", str(rate * 8), "-crf", QUALITY[".mp4"]]


def encode(laid: Laid, target: Path) -> None:
    """Draw the pictures and encode them with the sound. A portrait file is stored lying, with a display matrix."""
    sitting = laid.sitting
    stage = Stage(laid)
    ffmpeg = imageio_ffmpeg.get_ffmpeg_exe()
    with tempfile.TemporaryDirectory() as folder:
        sound, lying = Path(folder) / "sound.wav", Path(folder) / f"lying{target.suffix}"
        soundfile.write(sound, laid.samples, RATE_HZ, subtype="PCM_16")
        command = [
            ffmpeg,
            "-y",
            "-v",
            "error",
            "-f",
            "rawvideo",
            "-pix_fmt",
            "rgb24",
            "-s",
            "960x540",
            "-r",
            str(sitting.rate),
            "-i",
            "-",
            "-i",
            str(sound),
            "-vf",
            "scale=out_color_matrix=bt709:out_range=tv,format=yuv420p",
            *_codec(laid),
            *COLOUR,
            "-c:a",
            "aac",
            "-b:a",
            "56k",
            "-ac",
            "1",
            *EXACT,
            "-metadata",
            f"creation_time={sitting.date}T09:30:00Z",
            *(["-movflags", "+faststart"] if target.suffix == ".mp4" else []),
            str(lying),
        ]
        with subprocess.Popen(command, stdin=subprocess.PIPE) as process:
            assert process.stdin is not None
            for picture in stage.frames():
                stored = np.rot90(picture, -1) if sitting.is_portrait else picture
                process.stdin.write(np.ascontiguousarray(stored).tobytes())
            process.stdin.close()
        if process.returncode:
            raise SystemExit(f"Encoding {target.name} failed.")
        part = target.with_name(f"{target.stem}.part{target.suffix}")
        if sitting.is_portrait:
            when = f"creation_time={sitting.date}T18:10:00Z"
            turn = [ffmpeg, "-y", "-v", "error", "-display_rotation", "90", "-i", str(lying), "-c", "copy", *EXACT]
            subprocess.run([*turn, "-metadata", when, "-movflags", "+faststart", str(part)], check=True)
        else:
            shutil.copyfile(lying, part)
        part.replace(target)


def main(names: list[str]) -> None:
    """Make everything, or only the named media files; scenario.toml and truth.json always."""
    known = {sitting.file for sitting in SITTINGS} | {"--words"}
    if unknown := sorted(set(names) - known):
        raise SystemExit(f"{', '.join(unknown)} is not a film of the scenario. Name one of {', '.join(sorted(known))}.")
    laid = [lay(sitting) for sitting in SITTINGS]
    written.write(laid, FOLDER)
    for one in laid:
        if names and one.sitting.file not in names:
            continue
        if names == ["--words"]:
            continue
        encode(one, FOLDER / one.sitting.file)
        size = (FOLDER / one.sitting.file).stat().st_size
        print(f"{one.sitting.file}: {one.duration_ms / 1000:.1f} s, {size / 1e6:.2f} MB")


if __name__ == "__main__":
    main(sys.argv[1:])
