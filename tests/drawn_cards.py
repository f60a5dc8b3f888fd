"""Draws test pictures and films of reed cards held before a bench: cards of our own sheet, in perspective.

The card is rendered from the very PDF that is printed, so what is tested is
what a maker holds. Angles are in degrees, places and sizes in parts of the
picture's height or width; everything random comes from the generator given.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

import av
import cv2
import numpy as np
import pypdfium2
from numpy.typing import NDArray

from annotate.formats import card_sheet

Grey = NDArray[np.uint8]
CARD_DOTS_PER_MM = 12


@dataclass(frozen=True)
class Pose:
    """How a card is held: ``size`` is its height in parts of the picture's height before it is tilted."""

    size: float = 0.125
    tilt_x: float = 0.0
    tilt_y: float = 0.0
    roll: float = 0.0
    x: float = 0.5
    y: float = 0.5


@dataclass(frozen=True)
class Trouble:
    """What else makes a card hard to read. ``blur`` is a Gaussian's sigma in pixels at 1080 lines."""

    blur: float = 0.0
    smear: float = 0.0  # motion in one exposure, pixels at 1080 lines
    noise: float = 2.0  # sigma in grey levels
    shade: float = 0.0  # 1: one side of the picture is black
    dim: float = 1.0  # brightness of everything
    shadow: bool = False  # a hard shadow's edge runs across the card
    hand: bool = False  # fingers over the writing and the edge, beside the code


@cache
def card(name: str) -> Grey:
    """The card as printed, cut out of our sheet."""
    sheet = pypdfium2.PdfDocument(card_sheet.write([card_sheet.Card(name, "bassoon")]))
    dots = CARD_DOTS_PER_MM
    page = sheet[0].render(scale=dots * 25.4 / 72, grayscale=True).to_numpy()
    page = page.reshape(page.shape[0], page.shape[1])
    width, height = card_sheet.PAPERS_MM["a4"]
    left = round((width - card_sheet.COLUMNS * card_sheet.CARD_WIDTH_MM) / 2 * dots)
    top = round((height - card_sheet.ROWS * card_sheet.CARD_HEIGHT_MM) / 2 * dots)
    size = round(card_sheet.CARD_HEIGHT_MM * dots), round(card_sheet.CARD_WIDTH_MM * dots)
    return np.ascontiguousarray(page[top : top + size[0], left : left + size[1]])


@cache
def bench(width: int = 1920, height: int = 1080, seed: int = 1, *, printed: bool = False) -> Grey:
    """A wooden bench from above: grain, tools, cane, wound thread, a rule; ``printed``: text and a chequered cloth."""
    rng = np.random.default_rng(seed)
    grain = cv2.resize(rng.normal(0, 1, (height // 3, max(2, width // 90))).astype(np.float32), (width, height))
    picture = 110 + 14 * grain + cv2.resize(rng.normal(0, 9, (6, 9)).astype(np.float32), (width, height))
    unit = height / 100
    for _ in range(14):  # cane, knives, mandrels
        at, turn = rng.uniform((0, 0), (width, height)), rng.uniform(0, 180)
        size = rng.uniform(15, 60) * unit, rng.uniform(1, 4) * unit
        box = cv2.boxPoints((at.tolist(), size, turn)).astype(np.int32)
        cv2.fillConvexPoly(picture, box, float(rng.uniform(30, 225)), cv2.LINE_AA)
    for _ in range(3):  # windings of thread
        x, y = rng.uniform((0.1, 0.1), (0.9, 0.9)) * (width, height)
        for turn in range(12):
            place = (round(x + turn * unit * 0.6), round(y)), (round(x + turn * unit * 0.6), round(y + 8 * unit))
            cv2.line(picture, *place, 30.0 if turn % 2 else 190.0, max(1, round(unit * 0.3)), cv2.LINE_AA)
    _rule(picture, unit, round(0.1 * width), round(0.88 * height))
    still = np.clip(picture, 0, 255).astype(np.uint8)
    if printed:
        _page(still, unit, rng)
    return np.clip(still + rng.normal(0, 1.5, still.shape), 0, 255).astype(np.uint8)


def _rule(picture: NDArray[np.float32], unit: float, x: int, y: int) -> None:
    """A steel rule with its marks."""
    cv2.rectangle(picture, (x, y), (x + round(70 * unit), y + round(6 * unit)), 205.0, -1)
    for mark in range(140):
        at = x + round(mark * unit / 2)
        long = round((4 if mark % 10 == 0 else 3 if mark % 5 == 0 else 2) * unit)
        cv2.line(picture, (at, y), (at, y + long), 40.0, 1)


def _page(picture: Grey, unit: float, rng: np.random.Generator) -> None:
    """A sheet of print, a chequered cloth and three nested squares: the nearest a bench comes to a code."""
    x, y = round(8 * unit), round(8 * unit)
    cv2.rectangle(picture, (x, y), (x + round(50 * unit), y + round(60 * unit)), 235.0, -1)
    for line in range(18):
        words = "".join(rng.choice(list("abcdefghiklmnoprstuvw    "), 34))
        cv2.putText(picture, words, (x + 9, y + round((4 + 3 * line) * unit)), cv2.FONT_HERSHEY_PLAIN, unit / 7, 25)
    side = round(1.3 * unit)
    for row in range(26):
        for column in range(26):
            at = round(110 * unit) + column * side, round(20 * unit) + row * side
            cv2.rectangle(picture, at, (at[0] + side, at[1] + side), 40.0 if rng.random() < 0.5 else 225.0, -1)
    for number in range(3):
        at = np.array((round((118 + 22 * number) * unit), round(72 * unit)))
        for half, shade in ((7, 30.0), (5, 230.0), (3, 30.0)):
            reach = np.array((round(half * unit * 0.5),) * 2)
            cv2.rectangle(picture, (at - reach).tolist(), (at + reach).tolist(), shade, -1)


def corners(pose: Pose, width: int, height: int) -> NDArray[np.float64]:
    """Where the card's corners fall (4, 2) in pixels: clockwise from upper left, seen from eight card heights away."""
    shape = card_sheet.CARD_WIDTH_MM / card_sheet.CARD_HEIGHT_MM
    flat = np.array([[-shape, -1, 0], [shape, -1, 0], [shape, 1, 0], [-shape, 1, 0]]) / 2
    turns = [cv2.Rodrigues(np.radians(turn))[0] for turn in np.diag([pose.tilt_x, pose.tilt_y, pose.roll])]
    solid = flat @ (turns[0] @ turns[1] @ turns[2]).T
    seen = solid[:, :2] / (1 + solid[:, 2:] / 8) * pose.size * height
    return np.asarray(seen + np.array([pose.x * width, pose.y * height]))


def held(background: Grey, name: str, pose: Pose, trouble: Trouble, rng: np.random.Generator) -> Grey:
    """The picture with the card in it, spoilt as told."""
    height, width = background.shape
    places = corners(pose, width, height)
    picture = _pasted(background, card(name), places)
    scale = height / 1080
    if trouble.hand:
        picture = _with_hand(picture, places)
    light = np.full(picture.shape, trouble.dim, np.float32)
    if trouble.shade:
        light *= np.linspace(1, 1 - trouble.shade, width, dtype=np.float32)
    if trouble.shadow:
        middle = places.mean(axis=0)
        light[:, : round(middle[0] - 0.15 * np.ptp(places[:, 0]))] *= 0.4
        light = cv2.GaussianBlur(light, (0, 0), max(1.0, 2 * scale))
    spoilt = picture.astype(np.float32) * light
    if trouble.blur:
        spoilt = cv2.GaussianBlur(spoilt, (0, 0), trouble.blur * scale)
    if trouble.smear * scale >= 1.5:
        spoilt = cv2.blur(spoilt, (round(trouble.smear * scale), 1))
    return np.clip(spoilt + rng.normal(0, trouble.noise, picture.shape), 0, 255).astype(np.uint8)


def _pasted(background: Grey, flat: Grey, places: NDArray[np.float64]) -> Grey:
    """The flat card in its place, drawn four times as large and averaged, as a lens would."""
    low = np.floor(places.min(axis=0)).astype(int) - 2
    high = np.ceil(places.max(axis=0)).astype(int) + 2
    low, high = np.maximum(low, 0), np.minimum(high, background.shape[::-1])
    fine, size = 4, (int((high - low)[0]) * 4, int((high - low)[1]) * 4)
    tall, wide = flat.shape
    ends = np.float32([[0, 0], [wide, 0], [wide, tall], [0, tall]])
    way = cv2.getPerspectiveTransform(ends, np.float32((places - low) * fine))
    drawn = cv2.warpPerspective(flat, way, size, flags=cv2.INTER_AREA)
    there = cv2.warpPerspective(np.full_like(flat, 255), way, size)
    small = cv2.resize(drawn, None, fx=1 / fine, fy=1 / fine, interpolation=cv2.INTER_AREA).astype(np.float32)
    share = cv2.resize(there, None, fx=1 / fine, fy=1 / fine, interpolation=cv2.INTER_AREA).astype(np.float32) / 255
    picture = background.copy()
    part = picture[low[1] : high[1], low[0] : high[0]]
    part[:] = np.clip(small * 0.9 + part * (1 - share), 0, 255)
    return picture


def _with_hand(picture: Grey, places: NDArray[np.float64]) -> Grey:
    """A thumb and a finger hold the card at its right side, over the writing."""
    picture = picture.copy()
    upper, lower = places[1] * 0.75 + places[2] * 0.25, places[2] * 0.75 + places[1] * 0.25
    inward = (places[0] - places[1]) * 0.25
    thick = max(3, round(float(np.linalg.norm(places[2] - places[1])) * 0.3))
    for at in (upper, lower):
        ends = (at + inward).astype(int).tolist(), (at - 4 * inward).astype(int).tolist()
        cv2.line(picture, *ends, 165, thick, cv2.LINE_AA)
    return picture


@dataclass(frozen=True)
class Shown:
    """A card shown in a film from ``start_s`` to ``end_s``; ``drift`` is how far it moves, widths per second."""

    name: str
    start_s: float
    end_s: float
    pose: Pose = Pose()
    trouble: Trouble = Trouble()
    drift: float = 0.0


@dataclass(frozen=True)
class Coding:
    """How a film is coded."""

    codec: str = "libx264"
    options: tuple[tuple[str, str], ...] = (("preset", "ultrafast"), ("crf", "26"))
    key_every: int = 250
    rate: int = 30
    pixel_format: str = "yuv420p"


def film(
    path: Path,
    shown: Sequence[Shown],
    duration_s: float,
    coding: Coding = Coding(),
    backgrounds: Callable[[float], Grey] = lambda _: bench(),
    seed: int = 7,
) -> Path:
    """Write the film: a bench, and the cards at their times."""
    rng = np.random.default_rng(seed)
    with av.open(str(path), "w") as out:
        stream = out.add_stream(coding.codec, rate=coding.rate, options=dict(coding.options))
        stream.height, stream.width = backgrounds(0).shape
        stream.pix_fmt = coding.pixel_format
        stream.codec_context.gop_size = coding.key_every
        for number in range(round(duration_s * coding.rate)):
            at_s = number / coding.rate
            picture = _moment(backgrounds(at_s), shown, at_s, rng)
            frame = av.VideoFrame.from_ndarray(picture, format="gray")
            frame.pts, frame.time_base = number, Fraction(1, coding.rate)
            out.mux(stream.encode(frame.reformat(format=coding.pixel_format)))
        out.mux(stream.encode(None))
    return path


def _moment(picture: Grey, shown: Sequence[Shown], at_s: float, rng: np.random.Generator) -> Grey:
    for one in shown:
        if one.start_s <= at_s < one.end_s:
            told = {**vars(one.pose), "x": one.pose.x + one.drift * (at_s - one.start_s)}
            picture = held(picture, one.name, Pose(**told), one.trouble, rng)
    return picture


def hard_cases() -> list[tuple[str, Pose, Trouble]]:
    """Sixty-six ways to hold a card at an eighth of the picture's height, each named.

    Eleven turns (up to 40 degrees about either axis or both, any roll), each in
    six conditions. 28 and 28 degrees about two axes tilt the card by 38.8.
    """
    turns = (
        ("flat", (0, 0, 0)),
        ("back 40", (40, 0, 0)),
        ("forth 40", (-40, 0, 30)),
        ("left 40", (0, 40, 0)),
        ("right 40 at 45", (0, -40, 45)),
        ("both 28", (28, 28, 15)),
        ("both 28 other way", (-28, 28, 70)),
        ("slanted", (0, 0, 45)),
        ("upside down, back 30", (30, 0, 180)),
        ("on its side, left 30", (0, 30, 90)),
        ("25 and 30", (25, -30, 200)),
    )
    conditions = (
        ("plain", Trouble()),
        ("out of focus", Trouble(blur=1.2, noise=3)),
        ("moving", Trouble(smear=4, noise=3)),
        ("noisy", Trouble(noise=9)),
        ("dark on one side", Trouble(dim=0.4, shade=0.6, noise=4)),
        ("half in shadow, held by fingers", Trouble(shadow=True, hand=True, blur=0.6, noise=4)),
    )
    places = ((0.5, 0.5), (0.2, 0.25), (0.8, 0.3), (0.3, 0.8), (0.75, 0.7))
    return [
        (f"{turn}, {condition}", Pose(0.125, *angles, *places[(row + column) % 5]), trouble)
        for row, (turn, angles) in enumerate(turns)
        for column, (condition, trouble) in enumerate(conditions)
    ]
