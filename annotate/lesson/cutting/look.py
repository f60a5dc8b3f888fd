"""Makes any decoded picture fit the film: upright, one size, SDR BT.709, yuv420p.

Colour: H.264 and HEVC code points are those of ITU-T H.273. A picture that does
not say its matrix is taken as BT.601 below 720 lines and BT.709 from there on,
as players do. HDR is mapped to SDR by the house's table (``tone``).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import av
from av.filter import Graph
from av.video.frame import VideoFrame

from annotate.lesson.cutting import tone

BT709, UNSPECIFIED, BT2020, PQ, HLG = 1, 2, 9, 16, 18
LIMITED, FULL = 1, 2
HDR_TRANSFERS = (PQ, HLG)
_MATRICES = {1: "bt709", 4: "fcc", 5: "bt601", 6: "smpte170m", 7: "smpte240m", 9: "bt2020", 10: "bt2020"}
_TURNS = {90: ("transpose=cclock",), 180: ("hflip", "vflip"), 270: ("transpose=clock",)}
_NEARLY = 0.02  # a shape within 2 % of the film's is stretched rather than given bars
HD_LINES = 720
# A filter as one reads it; or, where a value is a path that must not be parsed, its name and options.
Filter = str | tuple[str, dict[str, str]]


@dataclass(frozen=True)
class Shape:
    """What decides how a picture must be treated."""

    width: int
    height: int
    pixel_format: str
    turn: int  # degrees counter-clockwise, as the display matrix says
    aspect: Fraction
    matrix: int
    transfer: int
    primaries: int
    range: int
    is_interlaced: bool

    @property
    def is_hdr(self) -> bool:
        return self.transfer in HDR_TRANSFERS or self.primaries == BT2020

    @property
    def upright(self) -> tuple[Fraction, Fraction]:
        """Width and height as shown, with square pixels."""
        wide, high = self.width * self.aspect, Fraction(self.height)
        return (high, wide) if self.turn in (90, 270) else (wide, high)

    @property
    def is_bt709(self) -> bool:
        """Whether players show it as SDR BT.709 with limited range."""
        known = self.matrix == BT709 or (self.matrix == UNSPECIFIED and min(self.width, self.height) >= HD_LINES)
        return known and self.range != FULL and not self.is_hdr and not self.pixel_format.startswith("yuvj")


def shape_of(frame: VideoFrame, aspect: Fraction | None) -> Shape:
    """The shape of a decoded picture; ``aspect`` is its stream's sample aspect ratio."""
    return Shape(
        width=frame.width,
        height=frame.height,
        pixel_format=frame.format.name,
        turn=round(frame.rotation / 90) * 90 % 360,
        aspect=aspect or Fraction(1),
        matrix=int(frame.colorspace),
        transfer=int(frame.color_trc),
        primaries=int(frame.color_primaries),
        range=int(frame.color_range),
        is_interlaced=bool(frame.interlaced_frame),
    )


def fit(shape: Shape, width: int, height: int) -> tuple[int, int]:
    """Even width and height of the picture inside a film of this size, its proportions kept."""
    wide, high = shape.upright
    scale = min(width / wide, height / high)
    inner_width, inner_height = (max(2, 2 * round(side * scale / 2)) for side in (wide, high))
    if inner_width >= width * (1 - _NEARLY) and inner_height >= height * (1 - _NEARLY):
        return width, height
    return min(inner_width, width), min(inner_height, height)


def fits_already(shape: Shape, width: int, height: int) -> bool:
    """Whether the stored picture is the film's picture as it is."""
    return (
        (shape.width, shape.height) == (width, height)
        and shape.pixel_format == "yuv420p"
        and shape.turn == 0
        and shape.aspect == 1
        and shape.is_bt709
        and not shape.is_interlaced
    )


def chain(shape: Shape, width: int, height: int, pixel_format: str = "yuv420p") -> list[Filter]:
    """The filters, in order, that bring a picture of this shape into a film of this size."""
    inner_width, inner_height = fit(shape, width, height)
    # With square pixels turned upright first, one scaling does size, matrix and range.
    matrix = _MATRICES.get(shape.matrix) or ("bt709" if min(shape.width, shape.height) >= HD_LINES else "bt601")
    is_full = shape.range == FULL or shape.pixel_format.startswith("yuvj")
    scale = f"scale={inner_width}:{inner_height}:flags=bicubic+accurate_rnd+full_chroma_int"
    if not shape.pixel_format.startswith(("rgb", "bgr", "gbr", "gray", "pal")):
        scale += f":in_color_matrix={matrix}:in_range={'pc' if is_full else 'tv'}"
    filters: list[Filter] = ["estdif=mode=frame"] if shape.is_interlaced else []
    filters += _TURNS.get(shape.turn, ())
    if shape.is_hdr:
        table = {"file": str(tone.table_file(shape.transfer, shape.primaries)), "interp": "tetrahedral"}
        filters += [scale, "format=gbrp10le", ("lut3d", table), "scale=out_color_matrix=bt709:out_range=tv"]
    else:
        filters.append(f"{scale}:out_color_matrix=bt709:out_range=tv")
    filters += [f"format={pixel_format}", "setsar=1"]
    if (inner_width, inner_height) != (width, height):
        left, top = (width - inner_width) // 4 * 2, (height - inner_height) // 4 * 2
        filters.append(f"pad={width}:{height}:{left}:{top}:black")
    return filters


class Fitter:
    """Brings one stream's pictures into the film's shape, whatever changes on the way."""

    def __init__(self, width: int, height: int, aspect: Fraction | None = None) -> None:
        self._size = (width, height)
        self._aspect = aspect
        self._shape: Shape | None = None
        self._graph: Graph | None = None

    def __call__(self, frame: VideoFrame) -> VideoFrame:
        """The picture in the film's shape: a new one, or the same if nothing has to be done."""
        shape = shape_of(frame, self._aspect)
        if fits_already(shape, *self._size):
            return frame
        if shape != self._shape or self._graph is None:
            self._graph, self._shape = build(frame, chain(shape, *self._size)), shape
        return through(self._graph, frame)


def build(frame: VideoFrame, filters: list[Filter]) -> Graph:
    """A filter graph that takes pictures like ``frame``."""
    graph = Graph()
    first = graph.add_buffer(
        width=frame.width, height=frame.height, format=frame.format, time_base=frame.time_base or Fraction(1, 1000)
    )
    nodes = [first]
    for one in filters:
        if isinstance(one, tuple):
            nodes.append(graph.add(one[0], **one[1]))
        else:
            name, _, arguments = one.partition("=")
            nodes.append(graph.add(name, arguments or None))
    graph.link_nodes(*nodes, graph.add("buffersink")).configure()
    return graph


def through(graph: Graph, frame: VideoFrame) -> VideoFrame:
    """One picture through a graph that gives one picture for each."""
    graph.push(frame)
    made = graph.pull()
    assert isinstance(made, VideoFrame)
    return made


def from_rgb(picture: object) -> VideoFrame:
    """A video picture from an RGB array."""
    return av.VideoFrame.from_ndarray(picture, format="rgb24")  # type: ignore[arg-type]
