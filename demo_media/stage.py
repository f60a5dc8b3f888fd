"""Turns a laid-out sitting into pictures, one per frame."""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

import numpy as np

from demo_media.beats import Sitting
from demo_media.drawing import bench, lettering, reeds, tools
from demo_media.drawing.camera import Bench, Pose, View, mix, mix_view, put
from demo_media.drawing.shots import ORDER, PARKED, Place, Shot, shots, still_life
from demo_media.drawing.surface import Bytes, Sprite
from demo_media.timeline import Laid, Placed

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
        "left": tools.holding_hand(rng), "hand": tools.bare_hand(), "knife": tools.held(rng, tools.knife_layers, 34),
        "plaque": tools.plaque(is_oboe), "rule": tools.rule(rng), "cutter": base, "lever": lever,
        "dust": tools.dust(rng, 170, 2.0 if is_oboe else 4.5), "card": lettering.card(rng, sitting.reed, sitting.instrument),
        "cup": tools.cup(rng), "case": tools.case(rng), "pencil": tools.pencil(),
    }
    names = {beat.shot for beat in sitting.beats}
    extra = {
        "gauge_12": lambda: tools.gauge(12), "gauge_10": lambda: tools.gauge(10.2), "tip_front": lambda: tools.tip_front(1.6),
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
        self.clip_ms = next((p.start_ms + 560 for p in laid.beats if p.beat.shot == "cutter_down"), laid.duration_ms + 1)
        self.bare: tuple[tuple[View, float], Bytes] | None = None

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
        before = self._shot(self.laid.beats[number - 1]) if number else replace(shot, poses={"reed": shot.poses["reed"]})
        local = time_s - placed.start_ms / 1000
        share = 1.0 if shot.is_cut or before.is_cut else ease(local / MOVE_S)
        view = mix_view(before.view, shot.view, share)
        dim = before.dim + (shot.dim - before.dim) * share
        picture = self._floor(view, dim)
        for name in ORDER:
            if name in self.sprites:
                self._draw(picture, view, name, before, shot, share, placed, time_s)
        head = before.head + (shot.head - before.head) * share
        light = self.gain * (1 - head * self.head) if head > 0.01 else self.gain
        # The moment the tip comes off the reed is the lever's; the rest is light.
        return np.asarray(np.clip(picture * light, 0, 255), np.uint8)

    def _floor(self, view: View, dim: float) -> Bytes:
        """Bench top with the things that never move; kept while the camera stands still."""
        if self.bare is not None and self.bare[0] == (view, dim):
            picture = self.bare[1].copy()
        else:
            picture = self.bench.seen(view, *self.size)
            for name, pose in still_life(self.roll).items():
                if name in self.sprites:
                    put(picture, view, self.sprites[name], pose)
            if dim < 1:
                picture = (picture * np.float32(dim)).astype(np.uint8)
            self.bare = ((view, dim), picture.copy())
        return picture

    def _draw(self, picture: Bytes, view: View, name: str, before: Shot, shot: Shot, share: float, placed: Placed, time_s: float) -> None:
        start = before.poses.get(name, PARKED.get(name))
        end = shot.poses.get(name, PARKED.get(name))
        if name == "reed":
            self._tuner_on(picture, view, shot, placed, time_s)
            start, end = start or Pose(0, 300), end or Pose(0, 300)
            if name not in shot.poses and shot.is_cut:
                return
        assert start is not None and end is not None
        if name not in before.poses and name not in shot.poses:
            return
        pose = mix(start, end, share)
        if name == "dust":
            pose = self._swarf(before, shot, placed, time_s)
        pose = self._alive(name, pose, shot, placed, time_s)
        sprite = self.sprites["after" if name == "reed" and time_s * 1000 > self.clip_ms else name]
        put(picture, view, sprite, pose)

    def _swarf(self, before: Shot, shot: Shot, placed: Placed, time_s: float) -> Pose:
        """Swarf gathers while the tool works, and is brushed away with the next shot."""
        if "dust" not in shot.poses:
            return replace(before.poses["dust"], shown=1 - ease((time_s - placed.start_ms / 1000) / 0.3))
        done = sum(end < time_s for _, end in placed.strokes) / max(len(placed.strokes), 1)
        return replace(shot.poses["dust"], shown=min(1.0, done * 1.2))

    def _tuner_on(self, picture: Bytes, view: View, shot: Shot, placed: Placed, time_s: float) -> None:
        midi, cents = None, 0
        local = time_s - placed.start_ms / 1000
        length = (placed.end_ms - placed.start_ms) / 1000
        if shot.shows_note and placed.beat.kind == "play" and 0.12 < local < length:
            _, note, middle, sag = placed.beat.recipe.split(":")
            midi = int(note)
            cents = round(int(middle) + int(sag) * (local / length - 0.5) * 1.5)
        put(picture, view, _tuner(midi, cents), still_life(self.roll)["tuner"])

    def _alive(self, name: str, pose: Pose, shot: Shot, placed: Placed, time_s: float) -> Pose:
        """Strokes, small movements, and the turning over of the reed."""
        local = time_s - placed.start_ms / 1000
        if name in shot.nod:
            dx, dy, hz = shot.nod[name]
            swing = np.sin(2 * np.pi * hz * local)
            pose = pose.moved(dx * swing, dy * swing)
        if shot.is_turned and name == "reed" and 0.4 < local < 1.2:
            pose = replace(pose, across=max(0.12, abs(float(np.cos(np.pi * ease((local - 0.4) / 0.8))))))
        if shot.stroke and name == shot.stroke[0]:
            pose = self._stroke(pose, shot.stroke, placed, time_s)
        return pose

    def _stroke(self, pose: Pose, stroke: tuple[str, float, float], placed: Placed, time_s: float) -> Pose:
        _, along, across = stroke
        lanes = (0.0, -1.0, 1.0, -0.5, 0.7)
        last_end, last = placed.start_ms / 1000, -1
        for number, (start, end) in enumerate(placed.strokes):
            if start <= time_s < end:
                share = (time_s - start) / (end - start)
                lane = lanes[number % 5] if stroke[0] != "paper" else float(number % 2) * (number >= 0)
                return pose.moved(along * (share - 0.5), across * lane)
            if time_s < start:
                share = ease((time_s - last_end) / max(start - last_end, 1e-3))
                was = lanes[last % 5] if stroke[0] != "paper" else float(last % 2)
                then = lanes[number % 5] if stroke[0] != "paper" else float(number % 2)
                lane = (was if last >= 0 else then) * (1 - share) + then * share
                lift = 3.0 * np.sin(np.pi * share)
                return pose.moved(along * (0.5 - share), across * lane, lift)
            last_end, last = end, number
        return pose.moved(along * 0.5, 0, 3.0 * ease((time_s - last_end) / 0.3))
