"""What is seen in each shot: the view, and where everything lies. Bench mm, tip of the reed to the right."""

from __future__ import annotations

from dataclasses import dataclass, field

from demo_media.drawing.camera import Pose, View
from demo_media.drawing.reeds import BASSOON_LENGTH, COLLAR, OBOE_LENGTH, WIRES

ORDER = (
    "lamp",
    "cutter",
    "plaque",
    "dust",
    "reed",
    "reed_lit",
    "tip_front",
    "feeler",
    "rule",
    "gauge_12",
    "gauge_8",
    "lever",
    "left",
    "pliers",
    "knife",
    "file",
    "paper",
    "hand",
    "card",
)
PARKED = {
    "lamp": Pose(0, -260),
    "cutter": Pose(230, 10),
    "lever": Pose(230, 10, lift=5),
    "plaque": Pose(200, -60),
    "reed_lit": Pose(-30, 260),
    "tip_front": Pose(0, -250),
    "feeler": Pose(60, -250),
    "dust": Pose(0, -250),
    "rule": Pose(190, 90),
    "gauge_12": Pose(210, -40, lift=3),
    "gauge_8": Pose(210, -40, lift=3),
    "left": Pose(-230, 130, lift=10),
    "pliers": Pose(90, 230, lift=10),
    "knife": Pose(90, 230, lift=10),
    "file": Pose(90, 230, lift=10),
    "paper": Pose(90, 230, lift=10),
    "hand": Pose(110, 230, lift=10),
    "card": Pose(20, 260, lift=12),
}


def still_life(roll: float) -> dict[str, Pose]:
    """What never moves, in drawing order; lettered things face the camera."""
    if roll:
        return {
            "cup": Pose(-84, -46, 30, 8),
            "pencil": Pose(86, 40, -62, 2),
            "weather": Pose(42, -44, -roll, 4),
            "tuner": Pose(98, -30, -roll, 3),
        }
    return {
        "cup": Pose(-84, -50, 30, 8),
        "case": Pose(-4, -78, 3, 6),
        "pencil": Pose(88, 34, -62, 2),
        "tuner": Pose(76, -50, 0, 3),
    }


@dataclass(frozen=True)
class Shot:
    """One shot. ``stroke`` is the tool that moves with the strokes and how far; ``head`` darkens the near side."""

    view: View
    poses: dict[str, Pose]
    stroke: tuple[str, float, float] | None = None  # tool, mm along, mm it wanders across
    head: float = 0.0
    dim: float = 1.0  # light on the bench top
    is_cut: bool = False  # no movement from the shot before
    nod: dict[str, tuple[float, float, float]] = field(default_factory=dict)  # prop -> (dx, dy, Hz) of a small movement
    is_turned: bool = False  # the reed is turned over at the start
    shows_note: bool = False


@dataclass(frozen=True)
class Place:
    """Where this session's reed lies, and its zones, in bench mm."""

    is_oboe: bool
    clipped_mm: float = 0.0

    @property
    def butt(self) -> float:
        return -35.0 if self.is_oboe else -28.0

    @property
    def tip(self) -> float:
        return self.butt + (OBOE_LENGTH if self.is_oboe else BASSOON_LENGTH) - self.clipped_mm

    @property
    def grip(self) -> float:
        return self.butt + (15 if self.is_oboe else 7)


def _held(place: Place) -> dict[str, Pose]:
    """The reed on the mat with the left hand holding it."""
    return {"reed": Pose(place.butt, 0, 0, 4.0), "left": Pose(place.grip, 0, 0, 7.0)}


def shots(place: Place, roll: float) -> dict[str, Shot]:
    """All shots of a session by name."""
    held = _held(place)
    lying = {"reed": Pose(place.butt, 0, 0, 1.6)}
    wide = View(0, -14, 255, roll) if not roll else View(0, -4, 255, roll)
    near = View(8, 6, 128, roll)
    close = View(place.tip - 18, 4, 92, roll)
    tuner = still_life(roll)["tuner"]
    gone = {"reed": Pose(place.butt - 20, 240, -20, 30), "left": Pose(place.grip - 20, 240, -20, 32)}
    lift = {"reed": Pose(place.butt - 6, 16, -8, 20), "left": Pose(place.grip - 6, 17, -8, 22)}
    table = {
        "card": Shot(wide, {**lying, "card": Pose(0, -6, -roll + 3, 12)}, nod={"card": (0.6, 0.4, 0.35)}),
        "in_hand": Shot(near, lift),
        "away": Shot(wide, gone, head=0.55),
        "return": Shot(near, held),
        "rest": Shot(wide, {"reed": Pose(place.butt, 3, -4, 1.6)}),
        "rest_close": Shot(close, {**held, "hand": Pose(place.tip - 14, 12, -12, 10)}, nod={"hand": (1.5, 0.2, 0.6)}),
        "away_tuner": Shot(View(tuner.x - 4, tuner.y + 6, 210 if roll else 150, roll), gone, head=0.3),
        "tuner": Shot(View(tuner.x, tuner.y, 150 if roll else 104, roll), gone, head=0.3, shows_note=True),
    }
    table.update(_measuring(place, roll, held, lying, close))
    table.update(_working(place, held, near, close))
    return table


def _measuring(
    place: Place, roll: float, held: dict[str, Pose], lying: dict[str, Pose], close: View
) -> dict[str, Shot]:
    half = 3.9 if place.is_oboe else 8.1
    rule = Pose(place.butt, half, 0, 2.4)
    at_collar = place.butt + WIRES[0]
    return {
        "cup": Shot(
            View(-72, -36, 120, roll),
            {"reed": Pose(-112, -52, 12, 3), "left": Pose(-105, -50.5, 12, 8)},
            nod={"reed": (1.2, 0.6, 0.5), "left": (1.2, 0.6, 0.5)},
        ),
        "tip_front": Shot(
            View(0.5, 0, 30, roll),
            {"tip_front": Pose(0, 0, -roll, 1.0), "feeler": Pose(0.3, 0, -roll, 1.5)},
            is_cut=True,
        ),
        "gauge_12": Shot(View(place.tip + 22, 2, 118, roll), {**held, "gauge_12": Pose(place.tip + 1, 0, 0, 5)}),
        "gauge_8": Shot(View(place.tip + 22, 2, 118, roll), {**held, "gauge_8": Pose(place.tip + 1, 0, 0, 5)}),
        "rule_wire": Shot(
            View(place.butt + COLLAR - 1, 5, 46, roll),
            {**held, "rule": Pose(at_collar, 4.4, 0, 3.5), "hand": Pose(at_collar + 70, 18, 8, 9)},
        ),
        "rule_length": Shot(
            View(place.butt + 36, 10, 104 if not roll else 116, roll),
            {**lying, "rule": rule, "hand": Pose(place.butt + 100, half + 14, 8, 9)},
        ),
        "rule_tip": Shot(
            View(place.tip - 8, 5, 46, roll), {**lying, "rule": rule, "hand": Pose(place.butt + 100, half + 14, 8, 9)}
        ),
        "weather": Shot(View(40, -36, 150, roll), lying),
        "lamp": Shot(
            View(place.tip - 14, 0, 56, roll),
            {
                "lamp": Pose(place.tip - 12, 0),
                "reed_lit": Pose(place.butt, 0, 0, 6),
                "left": Pose(place.grip, 0, 0, 9, light=0.28),
            },
            dim=0.25,
            is_cut=True,
        ),
    }


def _working(place: Place, held: dict[str, Pose], near: View, close: View) -> dict[str, Shot]:
    plaque = {"plaque": Pose(place.tip - 4, 0, 0, 2.4)}
    dust = {"dust": Pose(place.tip - 2, 0, 0, 0.4)}
    tip = place.tip
    ready = {**held, **plaque, "knife": Pose(tip + 10, 26, 14, 12)}
    wire = place.butt + WIRES[1]

    def scraping(tool: str, x: float, y: float, along: float, across: float) -> Shot:
        return Shot(
            close,
            {**held, **plaque, **dust, tool: Pose(x, y, -4 if tool == "knife" else 0, 4.6)},
            (tool, along, across),
        )

    return {
        "plaque": Shot(close, ready),
        "turn": Shot(close, ready, is_turned=True),
        "knife_ready": Shot(close, ready),
        "file_ready": Shot(close, {**held, **plaque, "file": Pose(tip + 8, 24, 10, 12)}),
        "paper_ready": Shot(close, {**held, **plaque, "paper": Pose(tip + 8, 24, 10, 12)}),
        "scrape_tip": scraping("knife", tip - 3.4, 0, 5, 5.5),
        "scrape_left_rail": scraping("knife", tip - 13, -5.4, 13, 0.5),
        "scrape_right_rail": scraping("knife", tip - 13, 5.4, 13, 0.5),
        "scrape_left_window": scraping("knife", tip - 14.5, -1.6, 8, 0.3),
        "file_blend": scraping("file", tip - 5, 1, 4, 1.4),
        "sand_rails": scraping("paper", tip - 11, -4, 13, 8),
        "pliers": Shot(near, {**held, "pliers": Pose(wire, 8.5, 0, 7)}),
        "pliers_turn": Shot(near, {**held, "pliers": Pose(wire, 6.8, 0, 6)}, nod={"pliers": (0.5, 0.9, 1.6)}),
        "cutter": Shot(
            close,
            {
                **held,
                "cutter": Pose(tip - 0.5, 0, 0, 2),
                "lever": Pose(tip - 0.5, 0, 0, 9),
                "hand": Pose(tip + 42, 6, 0, 13),
            },
        ),
        "cutter_down": Shot(
            close,
            {
                **held,
                "cutter": Pose(tip - 0.5, 0, 0, 2),
                "lever": Pose(tip - 0.5, 0, 0, 3.5),
                "hand": Pose(tip + 41.5, 5, 0, 8),
            },
        ),
    }
