"""Colour: how a high-dynamic-range picture is brought to what an ordinary screen shows (BT.709).

The chain linearises with the transfer the file names (never a guess of a
library), maps BT.2020 primaries to BT.709, compresses the highlights, and
encodes again. Reference: ITU-R BT.2390-11 (why and how to map), BT.709-6.
"""

from __future__ import annotations

from pathlib import Path

from annotate.intake.opening import open_media

# ITU-T H.273 code points -> the names ffmpeg's setparams takes.
_TRANSFERS = {16: "smpte2084", 18: "arib-std-b67"}
_MATRICES = {1: "bt709", 9: "bt2020nc", 10: "bt2020c"}
_PRIMARIES = {1: "bt709", 9: "bt2020", 12: "smpte432"}
_FULL_RANGE = 2
# Luminance in cd/m2 that becomes SDR white: HDR reference white, ITU-R BT.2408.
WHITE_NITS = 203
# Below this share of white nothing is changed; above, highlights are compressed smoothly.
KNEE = 0.6


def to_sdr_filter(path: Path, picture_stream: int) -> str:
    """The ffmpeg filter chain that maps this file's picture to BT.709, limited range, 8 bit 4:2:0."""
    with open_media(path) as container:
        context = next(one for one in container.streams.video if one.index == picture_stream).codec_context
        transfer = _TRANSFERS.get(int(context.color_trc))
        primaries = _PRIMARIES.get(int(context.color_primaries), "bt2020")
        matrix = _MATRICES.get(int(context.colorspace), "bt2020nc")
        extent = "pc" if int(context.color_range) == _FULL_RANGE else "tv"
    return sdr_filter(transfer, primaries, matrix, extent)


def sdr_filter(transfer: str | None, primaries: str, matrix: str, extent: str) -> str:
    """The chain for these colours; ``transfer`` None means wide gamut with ordinary range."""
    said = f"setparams=color_primaries={primaries}:colorspace={matrix}:range={extent}"
    if transfer is None:
        return f"{said}:color_trc=bt709,zscale=t=709:p=709:m=709:r=limited,format=yuv420p"
    return (
        f"{said}:color_trc={transfer},zscale=t=linear:npl={WHITE_NITS},format=gbrpf32le,zscale=p=709,"
        f"tonemap=mobius:param={KNEE}:desat=0,zscale=t=709:m=709:r=limited,format=yuv420p"
    )
