"""Turns a laid-out sitting into pictures, one per frame."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from demo_media.beats import Sitting
from demo_media.drawing import bench, lettering, reeds, tools
from demo_media.drawing.camera import Bench, Pose, View, mix, mix_view, put
from demo_media.drawing.shots import ORDER, PARKED, Place, Shot, shots, still_life
from demo_media.drawing.surface import Bytes, Sprite
from demo_media.timeline import Laid, Placed

Item = tuple[Sprite, Pose]

GONE = Pose(0, 300)
MOVE_S = 0.75  # how long hands and camera take into a new shot


def props(sitting: Sitting) -> dict[str, Sprite]:
    """Every sprite the sitting may need, by name; ``after`` is the reed once clipped."""
    rng = np.random.default_rng(zlib.crc32(f"props/{sitting.file}".encode()))
    is_oboe = sitting.instrument == "oboe"
    base, lever = tools.cutter()
    reed_seed = zlib.crc32(sitting.reed.encode())
    draw = reeds.oboe if is_oboe else reeds.bassoon
    cut_before, cut_after = clipped(sitting)
    found = {
        "reed": draw(np.random.default_rng(reed_seed), clipped_mm=cut_before),
        "after": draw(np.random.default_rng(reed_seed), clipped_mm=cut_after),
        "left": tools.holding_hand(),
        "hand": tools.bare_hand(),
        "knife": tools.held(rng, tools.knife_layers, 34),
        "plaque": tools.plaque(is_oboe),
        "rule": tools.rule(rng),
        "cutter": base,
        "lever": lever,
        "dust": tools.dust(rng, 170, 2.0 if is_oboe else 4.5),
        "card": lettering.card(rng, sitting.reed, sitting.instrument),
        "cup": tools.cup(rng),
        "case": tools.case(rng),
        "pencil": tools.pencil(),
    }
    names = {beat.shot for beat in sitting.beats}
    extra: dict[str, Callable[[], Sprite]] = {
        "gauge_12": lambda: tools.gauge(12),
        "gauge_8": lambda: tools.gauge(7.6),
        "tip_front": lambda: tools.tip_front(1.6),
        "pliers": lambda: tools.held(rng, tools.pliers_layers, 44),
    }
    found.update({name: make() for name, make in extra.items() if name in names})
    if "tip_front" in names:
        found["feeler"] = tools.feeler(rng)
    if "file_ready" in names:
        found["file"] = tools.held(rng, tools.file_layers, 34)
    if "paper_ready" in names:
        found["paper"] = tools.held(rng, tools.paper_layers, 4)
    if "lamp" in names:
        found["lamp"] = tools.lamp_plate()
        found["reed_lit"] = reeds.oboe_against_light(np.random.default_rng(reed_seed))
    if "weather" in names:
        found["weather"] = lettering.weather(sitting.temperature_c, sitting.humidity_percent)
    return found


def clipped(sitting: Sitting) -> tuple[float, float]:
    """How much the tip is shorter than drawn whole, before and after the clipping of this sitting, in mm."""
    cut = next((float(reading.value) for reading in sitting.readings if reading.at == "clip"), 0.0)
    return 0.0, cut


@lru_cache(maxsize=300)
def _tuner(midi: int | None, cents: int) -> Sprite:
    return lettering.tuner(midi, cents)


def ease(share: float) -> float:
    """Smooth start and stop."""
    share = min(1.0, max(0.0, share))
    return share * share * (3 - 2 * share)


@dataclass(frozen=True)
class Moment:
    """A point in time: the shot before, the shot now, and how far the way from one to the other is gone."""

    before: Shot
    shot: Shot
    share: float
    placed: Placed
    time_s: float

    @property
    def local_s(self) -> float:
        return self.time_s - self.placed.start_ms / 1000


class Stage:
    """Draws the frames of one sitting."""

    def __init__(self, laid: Laid) -> None:
        sitting = laid.sitting
        self.laid = laid
        self.size = (540, 960) if sitting.is_portrait else (960, 540)
        self.roll = -87.0 if sitting.is_portrait else 0.0
        self.sprites = props(sitting)
        rng = np.random.default_rng(zlib.crc32(f"bench/{sitting.look}".encode()))
        self.bench = Bench(bench.top(rng, sitting.look))
        self.gain = bench.gain(*self.size, sitting.look)
        x, y = np.meshgrid(np.linspace(0, 1, self.size[0]), np.linspace(0, 1, self.size[1]))
        self.head = np.exp(-(((x - 0.5) / 0.42) ** 2) - (((y - 1.12) / 0.55) ** 2))[..., None].astype(np.float32)
        oboe = sitting.instrument == "oboe"
        before, after = (Place(oboe, cut) for cut in clipped(sitting))
        self.tables = shots(before, self.roll), shots(after, self.roll)
        never = laid.duration_ms + 1
        self.clip_ms = next((p.start_ms + 560 for p in laid.beats if p.beat.shot == "cutter_down"), never)
        self.kept_view: tuple[View, float] | None = None
        self.kept: list[tuple[Item | None, Bytes]] = []

    def frames(self) -> Iterator[Bytes]:
        """All pictures in order, RGB."""
        rate = self.laid.sitting.rate
        for number in range(round(self.laid.duration_ms * rate / 1000)):
            yield self.frame(number / rate)

    def _shot(self, placed: Placed) -> Shot:
        return self.tables[placed.start_ms > self.clip_ms][placed.beat.shot]

    def _at(self, time_s: float) -> int:
        starts = [placed.start_ms for placed in self.laid.beats]
        return max(0, int(np.searchsorted(starts, time_s * 1000 + 0.5, side="right")) - 1)

    def frame(self, time_s: float) -> Bytes:
        """The picture at a time."""
        number = self._at(time_s)
        placed = self.laid.beats[number]
        shot = self._shot(placed)
        before = (
            self._shot(self.laid.beats[number - 1]) if number else replace(shot, poses={"reed": shot.poses["reed"]})
        )
        local = time_s - placed.start_ms / 1000
        share = 1.0 if shot.is_cut or before.is_cut else ease(local / MOVE_S)
        view = mix_view(before.view, shot.view, share)
        dim = before.dim + (shot.dim - before.dim) * share
        head = before.head + (shot.head - before.head) * share
        moving = Moment(before, shot, share, placed, time_s)
        items = [(self._tuner(moving), still_life(self.roll)["tuner"])]
        items += [item for name in ORDER if (item := self._item(name, moving)) is not None]
        picture = self._painted(view, dim, items)
        light = self.gain * (1 - head * self.head) if head > 0.01 else self.gain
        return np.asarray(np.clip(picture * light, 0, 255), np.uint8)

    def _painted(self, view: View, dim: float, items: list[Item]) -> Bytes:
        """Draw the items over the bench top; what lies below the first thing that moved is kept from the last frame."""
        if self.kept_view != (view, dim):
            self.kept_view, self.kept = (view, dim), [(None, self._floor(view, dim))]
        same = 1
        while same < len(self.kept) and same <= len(items) and self.kept[same][0] == items[same - 1]:
            same += 1
        del self.kept[same:]
        for item in items[same - 1 :]:
            picture = self.kept[-1][1].copy()
            put(picture, view, *item)
            self.kept.append((item, picture))
        return self.kept[-1][1]

    def _floor(self, view: View, dim: float) -> Bytes:
        """Bench top with the things that never move."""
        picture = self.bench.seen(view, *self.size)
        for name, pose in still_life(self.roll).items():
            if name in self.sprites:
                put(picture, view, self.sprites[name], pose)
        return picture if dim == 1 else (picture * np.float32(dim)).astype(np.uint8)

    def _item(self, name: str, now: Moment) -> Item | None:
        """A sprite and where it lies now, or None when this shot has no use for it."""
        is_seen = name in now.before.poses or name in now.shot.poses
        if name not in self.sprites or not is_seen or (now.shot.is_cut and name not in now.shot.poses):
            return None
        if name == "dust":
            pose = self._swarf(now)
        else:
            away = PARKED.get(name, GONE)
            pose = mix(now.before.poses.get(name, away), now.shot.poses.get(name, away), now.share)
        is_clipped = name == "reed" and now.time_s * 1000 > self.clip_ms
        return self.sprites["after" if is_clipped else name], self._alive(name, pose, now)

    def _swarf(self, now: Moment) -> Pose:
        """Swarf gathers while the tool works, around the reed, and is brushed away with the next shot."""
        if "dust" not in now.shot.poses:
            return replace(now.before.poses["dust"], shown=float(now.local_s < 0.1))
        done = sum(end < now.time_s for _, end in now.placed.strokes) / max(len(now.placed.strokes), 1)
        return replace(now.shot.poses["dust"], shown=min(1.0, done * 1.2))

    def _tuner(self, now: Moment) -> Sprite:
        """The tuner, with what it hears while a note is played."""
        length_s = (now.placed.end_ms - now.placed.start_ms) / 1000
        if not (now.shot.shows_note and now.placed.beat.kind == "play" and 0.12 < now.local_s < length_s):
            return _tuner(None, 0)
        _, midi, middle, sag = now.placed.beat.recipe.split(":")
        return _tuner(int(midi), round(int(middle) + int(sag) * (now.local_s / length_s - 0.5) * 1.5))

    def _alive(self, name: str, pose: Pose, now: Moment) -> Pose:
        """Strokes, small movements, and the turning over of the reed."""
        if name in now.shot.nod:
            dx, dy, hz = now.shot.nod[name]
            swing = float(np.sin(2 * np.pi * hz * now.local_s))
            pose = pose.moved(dx * swing, dy * swing)
        if now.shot.is_turned and name == "reed" and 0.4 < now.local_s < 1.2:
            edge = abs(float(np.cos(np.pi * ease((now.local_s - 0.4) / 0.8))))
            pose = replace(pose, across=max(0.12, edge))
        if now.shot.stroke and name == now.shot.stroke[0]:
            return _stroke(pose, now.shot.stroke, now)
        return pose


def _lane(tool: str, number: int) -> float:
    """Which way across the reed a stroke lies: the paper takes one rail after the other."""
    if tool == "paper":
        return float(number % 2)
    return (0.0, -1.0, 1.0, -0.5, 0.7)[number % 5]


def _stroke(pose: Pose, stroke: tuple[str, float, float], now: Moment) -> Pose:
    """The tool goes forward with each stroke that is heard, and comes back lifted between them."""
    tool, along, across = stroke
    last_end, last = now.placed.start_ms / 1000, 0
    for number, (start, end) in enumerate(now.placed.strokes):
        if start <= now.time_s < end:
            share = (now.time_s - start) / (end - start)
            return pose.moved(along * (share - 0.5), across * _lane(tool, number))
        if now.time_s < start:
            share = ease((now.time_s - last_end) / max(start - last_end, 1e-3))
            lane = _lane(tool, last) * (1 - share) + _lane(tool, number) * share
            return pose.moved(along * (0.5 - share), across * lane, 3.0 * float(np.sin(np.pi * share)))
        last_end, last = end, number
    rest = ease((now.time_s - last_end) / 0.3)
    return pose.moved(along * 0.5, across * _lane(tool, last), 3.0 * rest)
