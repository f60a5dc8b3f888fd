"""Colour: how a high-dynamic-range picture is brought to what an ordinary screen shows (BT.709).

The chain linearises with the transfer the file names (never a guess of a
library), maps BT.2020 primaries to BT.709, compresses the highlights, and
encodes again. Reference: ITU-R BT.2390-11 (why and how to map), BT.709-6.
"""

from __future__ import annotations

from pathlib import Path

from annotate.intake.opening import open_media

# ITU-T H.273 code points -> zscale's names.
_TRANSFERS = {16: "smpte2084", 18: "arib-std-b67"}
_MATRICES = {1: "709", 9: "2020_ncl", 10: "2020_cl"}
_PRIMARIES = {1: "709", 9: "2020", 12: "smpte432"}
_FULL_RANGE = 2
# Nominal peak: the luminance in cd/m2 that counts as SDR white; BT.2408 puts graphics white at 203.
PEAK_NITS = 203


def to_sdr_filter(path: Path, picture_stream: int) -> str:
    """The ffmpeg filter chain that maps this file's picture to BT.709, limited range, 8 bit 4:2:0."""
    with open_media(path) as container:
        context = container.streams.video[0].codec_context
        for one in container.streams.video:
            if one.index == picture_stream:
                context = one.codec_context
        transfer = _TRANSFERS.get(int(context.color_trc))
        primaries = _PRIMARIES.get(int(context.color_primaries), "2020")
        matrix = _MATRICES.get(int(context.colorspace), "2020_ncl")
        given = f"pin={primaries}:min={matrix}:rin={'full' if int(context.color_range) == _FULL_RANGE else 'limited'}"
    if transfer is None:  # wide gamut, ordinary range
        return f"zscale=tin=709:{given}:t=709:p=709:m=709:r=limited,format=yuv420p"
    return (
        f"zscale=tin={transfer}:{given}:t=linear:npl={PEAK_NITS},format=gbrpf32le,zscale=p=709,"
        "tonemap=mobius:desat=0,zscale=t=709:m=709:r=limited,format=yuv420p"
    )
