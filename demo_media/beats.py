"""The invented scenario as data: three sittings told in beats.

A beat is a sentence, a sound, or a pause, with the shot it is seen in. Times
are not written here: ``make.py`` lays the beats one after the other and every
time in ``scenario.toml`` and ``truth.json`` follows from that.
"""

from __future__ import annotations

from dataclasses import dataclass, field

GAP_S = 0.45  # quiet after each beat, unless the beat says otherwise


@dataclass(frozen=True)
class Beat:
    """One thing that happens. ``voice`` is what the synthesiser is given where spelling and sound differ."""

    key: str
    kind: str  # speech | play | crow | scrape | quiet
    shot: str
    text: str = ""
    voice: str = ""
    recipe: str = ""  # which sound, for the kinds that are not speech
    seconds: float = 0.0
    gap_s: float = GAP_S


@dataclass(frozen=True)
class Mark:
    """A tag: from the start of one beat to the end of another."""

    first: str
    last: str
    step: str
    zones: tuple[str, ...] = ()
    blade: str = ""
    side: str = ""
    symptoms: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class Measured:
    """A reading, taken at the middle of a beat."""

    at: str
    quantity: str
    value: str
    unit: str
    zone: str = ""
    moisture: str = ""
    tool: str = ""
    place_note: str = ""
    note: str = ""


@dataclass(frozen=True)
class Fix:
    """A correction to what one beat says."""

    at: str
    said: str
    right: str


@dataclass(frozen=True)
class Sitting:
    """One session with its single recording and how that file is made."""

    file: str
    reed: str
    instrument: str
    date: str
    title: str
    place: str
    temperature_c: str
    humidity_percent: str
    note: str
    look: str  # day | evening | grey
    rate: int
    beats: tuple[Beat, ...]
    marks: tuple[Mark, ...] = ()
    readings: tuple[Measured, ...] = ()
    fixes: tuple[Fix, ...] = ()
    is_portrait: bool = False
    modes: dict[str, str] = field(default_factory=dict)  # beat -> plan | recap | negated


def say(key: str, shot: str, text: str, voice: str = "", gap_s: float = GAP_S) -> Beat:
    """A spoken sentence."""
    return Beat(key, "speech", shot, text, voice or text, gap_s=gap_s)


def hush(key: str, shot: str, seconds: float, recipe: str = "") -> Beat:
    """A pause; ``recipe`` adds a small noise of the bench to it."""
    return Beat(key, "quiet", shot, recipe=recipe, seconds=seconds, gap_s=0.0)


def heard(key: str, kind: str, shot: str, recipe: str, seconds: float, gap_s: float = GAP_S) -> Beat:
    """Playing, crow or tool noise."""
    return Beat(key, kind, shot, recipe=recipe, seconds=seconds, gap_s=gap_s)


FIRST = Sitting(
    file="b12-first-sitting.mp4",
    reed="B-12",
    instrument="bassoon",
    date="2026-03-03",
    title="First finishing of B-12",
    place="Bench by the window",
    temperature_c="20.5",
    humidity_percent="44",
    note="Two weeks after the blank was bound. Tip first, then leave it alone.",
    look="day",
    rate=30,
    beats=(
        hush("start", "card", 1.2),
        say(
            "hello",
            "card",
            "This is my bassoon reed B12, the first sitting after two weeks of rest.",
            "This is my bassoon reed B twelve, the first sitting after two weeks of rest.",
        ),
        say("soak", "cup", "It has been in warm water for four minutes.", gap_s=0.9),
        say("listen", "in_hand", "First I listen to the crow."),
        heard("crow_before", "crow", "away", "bassoon_crow_tight", 2.6),
        say("crow_verdict", "return", "The crow is high and tight."),
        say("open", "tip_front", "The tip opening is one point six millimetres.", gap_s=0.8),
        say(
            "thick",
            "gauge_12",
            "The gauge says point one two millimetres at the tip, so the tip is too thick.",
            gap_s=0.7,
        ),
        say("tip_up", "plaque", "I put the plaque in and scrape the tip and both corners of the upper blade."),
        heard("tip_up_work", "scrape", "scrape_tip", "knife:11", 5.2),
        say("tip_down", "turn", "Now the same on the lower blade."),
        heard("tip_down_work", "scrape", "scrape_tip", "knife:10", 4.8),
        say("not_spine", "rest_close", "I leave the spine alone today."),
        say("wire", "rule_wire", "The first wire sits three sixteenths of an inch behind the collar.", gap_s=1.3),
        say("notes", "away_tuner", "Now E natural, and then C sharp."),
        heard("e", "play", "tuner", "bassoon:52:-4:-26", 4.2),
        heard("c", "play", "tuner", "bassoon:49:-34:-12", 4.0),
        say("notes_verdict", "return", "The E natural sags, and the C sharp is flat."),
        say("plan", "rest", "Next time I will take a little off the rails and clip the tip by half a millimetre."),
        hush("end", "rest", 0.8),
    ),
    marks=(
        Mark("soak", "soak", "soak", note="Four minutes in warm water."),
        Mark("listen", "crow_verdict", "crow", symptoms=("high_crow",)),
        Mark("open", "open", "measure", ("opening",)),
        Mark("thick", "thick", "measure", ("tip",), symptoms=("thick_tip",)),
        Mark("tip_up", "tip_up_work", "scrape", ("tip", "corners"), "up", note="Knife, plaque in."),
        Mark("tip_down", "tip_down_work", "scrape", ("tip", "corners"), "down"),
        Mark("wire", "wire", "measure", ("wire_1",)),
        Mark("notes", "notes_verdict", "play", symptoms=("sagging", "flat"), note="Held E3 sags, C#3 flat."),
    ),
    readings=(
        Measured("open", "tip_opening", "1.6", "mm", "opening", "wet", "rule"),
        Measured("thick", "thickness", "0.12", "mm", "tip", "wet", "dial gauge", "at the edge, in the middle"),
        Measured("wire", "wire_distance", "3.2", "mm", "wire_1", "wet", "rule", "from the collar"),
    ),
    fixes=(
        Fix(
            "wire",
            "three sixteenths of an inch behind the collar",
            "One eighth of an inch: the rule shows 3.2 mm. Three sixteenths would be 4.8 mm.",
        ),
    ),
    modes={"not_spine": "negated", "plan": "plan"},
)

SECOND = Sitting(
    file="b12-second-sitting.mp4",
    reed="B-12",
    instrument="bassoon",
    date="2026-03-07",
    title="B-12 in wet weather",
    place="Bench by the window",
    temperature_c="19",
    humidity_percent="71",
    note="Rain since noon. Filmed with the telephone held upright.",
    look="evening",
    rate=30,
    is_portrait=True,
    beats=(
        hush("start", "card", 1.2),
        say(
            "hello",
            "card",
            "This is my bassoon reed B12 again, after four days of rest.",
            "This is my bassoon reed B twelve again, after four days of rest.",
        ),
        say("air", "weather", "It is a wet evening, and the humidity is seventy-one percent.", gap_s=0.7),
        say("recap_one", "return", "Last time I scraped the tip and the corners."),
        say("listen", "in_hand", "This is the crow before any work."),
        heard("crow_before", "crow", "away", "bassoon_crow_middle", 2.4),
        say("wire", "pliers", "The second wire is loose, so I tighten it with the pliers.", gap_s=0.3),
        hush("wire_work", "pliers_turn", 1.8, "ticks"),
        say("left", "knife_ready", "Now eight strokes on the left rail of the upper blade."),
        heard("left_work", "scrape", "scrape_left_rail", "knife:8", 4.0),
        say("right", "knife_ready", "And eight strokes on the right rail."),
        heard("right_work", "scrape", "scrape_right_rail", "knife:8", 4.0),
        say("smooth", "paper_ready", "I smooth both rails with six hundred paper."),
        heard("smooth_work", "scrape", "sand_rails", "sand:6", 4.4),
        say("not_back", "rest_close", "I do not touch the back."),
        say("clip", "cutter", "Now I clip the tip by half a millimetre.", gap_s=0.2),
        hush("clip_work", "cutter_down", 1.2, "snip"),
        say("long", "rule_length", "It is fifty-four point five millimetres long now.", gap_s=0.7),
        say("thick", "gauge_8", "At the tip the gauge shows three thou."),
        say("again", "in_hand", "And this is the crow after the work."),
        heard("crow_after", "crow", "away", "bassoon_crow_double", 2.6),
        say("notes", "away_tuner", "Now E natural again, and then C sharp."),
        heard("e", "play", "tuner", "bassoon:52:-3:0", 3.8),
        heard("c", "play", "tuner", "bassoon:49:-8:-1", 3.8),
        say("notes_verdict", "return", "Both notes hold now. The E natural is three cents flat."),
        say("recap_two", "rest", "This evening it was the rails, the tip and one wire."),
        say("plan", "rest", "It rests tomorrow, and on Monday I will scrape the back a little."),
        hush("end", "rest", 0.8),
    ),
    marks=(
        Mark("air", "air", "measure", note="Humidity of the room."),
        Mark("listen", "crow_before", "crow", note="Before any work."),
        Mark("wire", "wire_work", "wires", ("wire_2",), symptoms=("loose_wire",)),
        Mark("left", "left_work", "scrape", ("rails",), "up", "left", note="Eight strokes."),
        Mark("right", "right_work", "scrape", ("rails",), "up", "right", note="Eight strokes."),
        Mark("smooth", "smooth_work", "sand", ("rails",), side="both", note="600 paper."),
        Mark("clip", "clip_work", "clip", ("tip",), note="Half a millimetre."),
        Mark("long", "long", "measure", ("whole",)),
        Mark("thick", "thick", "measure", ("tip",)),
        Mark("again", "crow_after", "crow", note="After the work: two pitches at once."),
        Mark("notes", "notes_verdict", "play", note="E3 and C#3 hold."),
    ),
    readings=(
        Measured("air", "humidity", "71", "%", tool="hygrometer"),
        Measured("clip", "length", "0.5", "mm", "tip", "wet", note="Amount clipped off."),
        Measured("long", "length", "54.5", "mm", "whole", "wet", "rule"),
        Measured("thick", "thickness", "3", "thou", "tip", "wet", "dial gauge", "at the edge, in the middle"),
        Measured("e", "cents", "-3", "cents", tool="tuner", place_note="held E3, A4 = 440 Hz"),
    ),
    modes={"recap_one": "recap", "not_back": "negated", "recap_two": "recap", "plan": "plan"},
)

THIRD = Sitting(
    file="h5-window-light.mkv",
    reed="H-5",
    instrument="oboe",
    date="2026-03-10",
    title="Evening out the windows of H-5",
    place="Kitchen table",
    temperature_c="21",
    humidity_percent="48",
    note="A dry, grey morning. The lamp under the reed shows the windows.",
    look="grey",
    rate=25,
    beats=(
        hush("start", "card", 1.2),
        say(
            "hello",
            "card",
            "Today it is oboe reed H5, a long scrape that I made last week.",
            "Today it is oboe reed H five, a long scrape that I made last week.",
        ),
        say("listen", "in_hand", "First I listen to the crow."),
        heard("crow_before", "crow", "away", "oboe_crow_low", 2.4),
        say("crow_verdict", "return", "It crows too low, so it will play flat."),
        say("long", "rule_length", "It is seventy millimetres long.", gap_s=0.6),
        say("tip_line", "rule_tip", "The tip starts at fifty-six millimetres.", gap_s=1.0),
        say("light", "lamp", "Against the light, the left window is darker than the right.", gap_s=0.8),
        say("window", "knife_ready", "So I take five strokes from the right, sorry, from the left window."),
        heard("window_work", "scrape", "scrape_left_window", "knife:5", 2.9),
        say("blend", "file_ready", "Then I file the blend, very lightly."),
        heard("blend_work", "scrape", "file_blend", "file:6", 4.2),
        say("not_heart", "rest_close", "The heart stays as it is."),
        say("clip", "cutter", "I clip a quarter of a millimetre off the tip.", gap_s=0.2),
        hush("clip_work", "cutter_down", 1.2, "snip"),
        say("again", "in_hand", "I listen once more."),
        heard("crow_after", "crow", "away", "oboe_crow_octaves", 2.6),
        say("crow_good", "return", "Now the crow is C, in octaves."),
        say("notes", "away_tuner", "I tune to an A, and then I try a low D."),
        heard("a", "play", "tuner", "oboe:69:2:0", 3.2),
        heard("d", "play", "tuner", "oboe:62:-5:-2", 3.0),
        say("notes_verdict", "return", "Both notes are steady, and the low D speaks at once."),
        say("plan", "rest", "Before the concert on Friday I will smooth the inside of the tip."),
        hush("end", "rest", 0.8),
    ),
    marks=(
        Mark("listen", "crow_verdict", "crow", symptoms=("deep_crow", "flat")),
        Mark("long", "long", "measure", ("whole",)),
        Mark("tip_line", "tip_line", "measure", ("tip",)),
        Mark("light", "light", "inspect", ("windows",), symptoms=("uneven_blades",), note="Held over the lamp."),
        Mark("window", "window_work", "scrape", ("windows",), side="left", note="Five strokes."),
        Mark("blend", "blend_work", "scrape", ("blend",), note="With the file."),
        Mark("clip", "clip_work", "clip", ("tip",), note="A quarter of a millimetre."),
        Mark("again", "crow_good", "crow", note="C in octaves."),
        Mark("notes", "notes_verdict", "play", note="A4 and D4."),
    ),
    readings=(
        Measured("long", "length", "70", "mm", "whole", "wet", "rule"),
        Measured("tip_line", "length", "66", "mm", "tip", "wet", "rule", "butt of the staple to the start of the tip"),
        Measured("clip", "length", "0.25", "mm", "tip", "wet", note="Amount clipped off."),
        Measured("a", "cents", "2", "cents", tool="tuner", place_note="held A4, A4 = 440 Hz"),
    ),
    fixes=(Fix("tip_line", "fifty-six millimetres", "66 mm (2.60 in): the rule shows it."),),
    modes={"not_heart": "negated", "plan": "plan"},
)

SITTINGS = (FIRST, SECOND, THIRD)


@dataclass(frozen=True)
class Piece:
    """A clip of a lesson, from the start of one beat to the end of another."""

    file: str
    first: str
    last: str
    title: str
    note: str = ""


@dataclass(frozen=True)
class Course:
    """A lesson as the maker plans it."""

    title: str
    goal: str
    audience: str
    tools: tuple[str, ...]
    review: str
    pieces: tuple[Piece, ...]


COURSES = (
    Course(
        title="From a tight crow to a steady E: the first two sittings of a bassoon reed",
        goal="Hear, measure and thin the tip and the rails so that the held E and C sharp stop sagging.",
        audience="Students who can form and bind a blank and have used a knife under supervision.",
        tools=("knife", "plaque", "dial gauge", "rule", "pliers", "600 paper", "tip cutter", "cup of water", "tuner"),
        review="Thin a little, alike on both sides, and listen again. What changed in the crow came before the tuner.",
        pieces=(
            Piece(FIRST.file, "listen", "crow_verdict", "The crow before", "High and tight: too much cane in front."),
            Piece(FIRST.file, "open", "thick", "Measure before you cut", "Write both numbers down, wet."),
            Piece(FIRST.file, "tip_up", "tip_down_work", "Tip and corners, both blades", "Same strokes on each blade."),
            Piece(FIRST.file, "wire", "wire", "Where the first wire sits", "Mind the correction."),
            Piece(SECOND.file, "wire", "wire_work", "A loose wire first", "Tighten before judging anything else."),
            Piece(SECOND.file, "left", "smooth_work", "The rails, eight strokes a side"),
            Piece(SECOND.file, "clip", "thick", "Clip and measure again"),
            Piece(SECOND.file, "again", "notes_verdict", "The crow and the notes after"),
        ),
    ),
    Course(
        title="Even windows on an oboe reed",
        goal="",
        audience="Oboe students with a reed that plays flat and one-sided.",
        tools=("knife", "file", "plaque", "lamp", "rule", "tip cutter"),
        review="Look first, take little, listen after every change.",
        pieces=(
            Piece(THIRD.file, "listen", "crow_verdict", "The crow before"),
            Piece(THIRD.file, "long", "tip_line", "Where the tip starts", "Mind the correction."),
            Piece(
                THIRD.file,
                "light",
                "window_work",
                "Find and even the window",
                "Left, as seen with the tip pointing away.",
            ),
            Piece(THIRD.file, "blend", "blend_work", "Soften the blend"),
            Piece(THIRD.file, "clip", "crow_good", "Clip, then listen"),
        ),
    ),
)
