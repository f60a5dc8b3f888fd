"""HDR to SDR as a table: the house's one colour mapping, fast enough for every picture of a film.

``intake.colours`` says how HDR colours become BT.709. That chain is run once
over a grid of colours; films and stills then look their colours up. So the
playable copy, the stills and the film show the same colours.

Conventions: colours are non-linear R'G'B' in 0..1; the grid has ``GRID`` steps
along each axis, red fastest in the file, as the ``.cube`` format wants.
"""

from __future__ import annotations

import atexit
import shutil
import subprocess
import tempfile
from functools import lru_cache
from pathlib import Path

import imageio_ffmpeg
import numpy as np
from numpy.typing import NDArray

from annotate.errors import ToolFailed
from annotate.intake.colours import sdr_filter

GRID = 33
_BLOCK = 8  # each colour is a block of pixels, so that neighbours do not touch its middle
# Luma weights of R'G'B': ITU-R BT.2020-2 table 4 and BT.709-6 item 3.2.
_BT2020 = (0.2627, 0.6780, 0.0593)
_BT709 = (0.2126, 0.7152, 0.0722)
# ITU-T H.273 code points, tables 2 and 3.
_TRANSFERS = {16: "smpte2084", 18: "arib-std-b67"}
_PRIMARIES = {1: "bt709", 9: "bt2020", 12: "smpte432"}

Colours = NDArray[np.float64]


@lru_cache(maxsize=8)
def table_file(transfer: int, primaries: int) -> Path:
    """The table for pictures of these H.273 code points, as a ``.cube`` file kept for this run of the program."""
    mapped = mapped_grid(_TRANSFERS.get(transfer), _PRIMARIES.get(primaries, "bt2020"))
    path = _folder() / f"{transfer}-{primaries}.cube"
    lines = "\n".join(f"{red:.6f} {green:.6f} {blue:.6f}" for red, green, blue in mapped)
    path.write_text(f"LUT_3D_SIZE {GRID}\n{lines}\n")
    return path


@lru_cache(maxsize=1)
def _folder() -> Path:
    made = Path(tempfile.mkdtemp(prefix="benchreel-tone-"))
    atexit.register(shutil.rmtree, made, ignore_errors=True)
    return made


def grid() -> Colours:
    """All colours of the grid, float64 (GRID**3, 3), red fastest."""
    steps = np.linspace(0, 1, GRID)
    blue, green, red = np.meshgrid(steps, steps, steps, indexing="ij")
    return np.stack([red, green, blue], axis=-1).reshape(-1, 3)


def mapped_grid(transfer: str | None, primaries: str) -> Colours:
    """The grid's colours after the house's mapping, float64 (GRID**3, 3), BT.709 R'G'B' in 0..1."""
    height, width = GRID * GRID, GRID
    planes = to_yuv(grid(), _BT2020).reshape(height, width, 3)
    coded = np.rint((planes * (219, 224, 224) + (16, 128, 128)) * 256).astype("<u2")
    blocks = np.repeat(np.repeat(coded, _BLOCK, axis=0), _BLOCK, axis=1)
    made = _run(
        np.ascontiguousarray(blocks.transpose(2, 0, 1)).tobytes(),
        f"{width * _BLOCK}x{height * _BLOCK}",
        sdr_filter(transfer, primaries, "bt2020nc", "tv"),
    )
    values = np.frombuffer(made, np.uint8).astype(np.float64)
    area = height * width * _BLOCK * _BLOCK
    middle = [
        _middles(values[:area], height, width, _BLOCK),
        _middles(values[area : area * 5 // 4], height, width, _BLOCK // 2),
        _middles(values[area * 5 // 4 :], height, width, _BLOCK // 2),
    ]
    yuv = (np.stack(middle, axis=-1) - (16, 128, 128)) / (219, 224, 224)
    return from_yuv(yuv, _BT709).clip(0, 1)


def _middles(plane: Colours, height: int, width: int, block: int) -> Colours:
    blocks = plane.reshape(height, block, width, block)
    return blocks[:, block // 2, :, block // 2].reshape(-1)


def to_yuv(colours: Colours, weights: tuple[float, float, float]) -> Colours:
    """Y', Cb, Cr (0..1, -0.5..0.5) of non-linear colours (n, 3): ITU-R BT.709-6, items 3.2 and 3.3."""
    luma = colours @ np.array(weights)
    blue = (colours[:, 2] - luma) / (2 * (1 - weights[2]))
    red = (colours[:, 0] - luma) / (2 * (1 - weights[0]))
    return np.stack([luma, blue, red], axis=-1)


def from_yuv(yuv: Colours, weights: tuple[float, float, float]) -> Colours:
    """The inverse of ``to_yuv``."""
    luma, blue_part, red_part = yuv.T
    red = luma + 2 * (1 - weights[0]) * red_part
    blue = luma + 2 * (1 - weights[2]) * blue_part
    green = (luma - weights[0] * red - weights[2] * blue) / weights[1]
    return np.stack([red, green, blue], axis=-1)


def _run(pixels: bytes, size: str, chain: str) -> bytes:
    told = ["-f", "rawvideo", "-pix_fmt", "yuv444p16le", "-s", size, "-i", "-", "-vf", chain]
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", *told, "-f", "rawvideo", "-pix_fmt", "yuv420p", "-"]
    done = subprocess.run(command, input=pixels, capture_output=True, check=False)
    if done.returncode or len(done.stdout) != len(pixels) // 4:
        raise ToolFailed("The colours of an HDR recording could not be mapped", next_step="Report this file's kind.")
    return done.stdout
