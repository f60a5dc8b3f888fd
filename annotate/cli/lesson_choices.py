"""Options for how a lesson and its clips are shown: fast scraping, short quiet, loudness, captions, what was before."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from typing import Any

import click

from annotate import timecode
from annotate.cli.common import TIME
from annotate.errors import BadInput
from annotate.model import FASTEST_SCRAPING, SCRAPING_SOUNDS, Before, Clip, Lesson, Showing
from annotate.timecode import clock_tenths

AnyFunction = Callable[..., Any]
NEVER, AS_LESSON = "never", "lesson"


class TimeOrNever(click.ParamType[int | str]):
    """A time, or ``never``."""

    name = "time"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int | str:
        return NEVER if value == NEVER else TIME.convert(value, param, ctx)


class SpeedOrLesson(click.ParamType[int | str]):
    """A speed, or ``lesson``: as the lesson says."""

    name = "speed"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int | str:
        return AS_LESSON if value == AS_LESSON else SPEED.convert(value, param, ctx)


SPEED = click.IntRange(1, FASTEST_SCRAPING)

SHOWING = (
    click.option("--scraping-speed", type=SPEED, help="How many times as fast long scraping runs; 1: as it was."),
    click.option("--scraping-longer", "scraping_longer_ms", type=TIME, help="Scraping longer than this is long."),
    click.option("--scraping-sound", type=click.Choice(SCRAPING_SOUNDS), help="The sound of fast scraping."),
    click.option(
        "--quiet-longer",
        "quiet_longer_ms",
        type=TimeOrNever(),
        help="Quiet longer than this becomes a rest of a second; never: as it was.",
    ),
    click.option("--even-loudness/--as-loud-as-it-was", "evens_loudness", default=None, help="All clips as loud."),
    click.option("--burn-captions/--no-burned-captions", "burns_captions", default=None, help="Into the picture."),
)
CLIP = (
    click.option("--scraping-speed", type=SpeedOrLesson(), help="Of this clip; lesson: as the lesson says."),
    click.option(
        "--before",
        "before",
        type=(int, TIME, TIME),
        metavar="RECORDING START END",
        help="Show this stretch with it, as it was before; of any recording.",
    ),
    click.option("--beside/--in-turn", "is_beside", default=None, help="Side by side, or one after the other."),
    click.option("--no-before", "has_no_before", is_flag=True, help="Set it against nothing."),
)


def showing_options(function: AnyFunction) -> AnyFunction:
    """The options of a lesson."""
    for option in reversed(SHOWING):
        function = option(function)
    return function


def clip_options(function: AnyFunction) -> AnyFunction:
    """The options of a clip."""
    for option in reversed(CLIP):
        function = option(function)
    return function


def chosen_showing(showing: Showing, told: dict[str, Any]) -> Showing:
    """The showing with what was told; takes its options out of ``told``."""
    given = {one.name: told.pop(one.name) for one in fields(Showing) if one.name in told}
    given = {name: value for name, value in given.items() if value is not None}
    if given.get("quiet_longer_ms") == NEVER:
        given["quiet_longer_ms"] = None
    return replace(showing, **given)


def chosen_clip(clip: Clip, told: dict[str, Any]) -> Clip:
    """The clip with what was told of how it is shown; takes its options out of ``told``."""
    speed, span = told.pop("scraping_speed", None), told.pop("before", None)
    is_beside, has_no_before = told.pop("is_beside", None), told.pop("has_no_before", False)
    if speed is not None:
        clip = replace(clip, scraping_speed=None if speed == AS_LESSON else speed)
    if has_no_before:
        return replace(clip, before=None)
    if span is not None:
        clip = replace(clip, before=Before(*span))
    if is_beside is not None:
        if clip.before is None:
            raise BadInput("is set against nothing", clip.title or "The clip", "Say against what: --before.")
        clip = replace(clip, before=replace(clip.before, is_beside=is_beside))
    return clip


def showing_text(lesson: Lesson) -> list[str]:
    """How the lesson is shown, where it is not as it was recorded."""
    showing, made = lesson.showing, []
    if showing.scraping_speed > 1:
        longer = timecode.clock(showing.scraping_longer_ms)
        made.append(f"      scraping longer than {longer} runs {showing.scraping_speed} times as fast, ")
        made[-1] += "its sound off" if showing.scraping_sound == "off" else "its sound low"
    if showing.quiet_longer_ms is not None:
        made.append(f"      quiet longer than {timecode.clock(showing.quiet_longer_ms)} becomes a rest of a second")
    made += ["      the clips are made equally loud"] if showing.evens_loudness else []
    made += ["      captions are drawn into the picture"] if showing.burns_captions else []
    return made


def clip_text(clip: Clip) -> list[str]:
    """How a clip is shown, where it has its own choice."""
    made = []
    if clip.scraping_speed is not None:
        how = f"{clip.scraping_speed} times as fast" if clip.scraping_speed > 1 else "as it was"
        made.append(f"      long scraping: {how}")
    if clip.before is not None:
        one = clip.before
        how = "beside" if one.is_beside else "before"
        span = f"{clock_tenths(one.start_ms)} to {clock_tenths(one.end_ms)}"
        made.append(f"      {how} it: recording {one.recording_id}, {span}")
    if clip.still_ms is not None:
        made.append(f"      its picture is the one at {clock_tenths(clip.still_ms)}")
    made += ["      its picture is the cover"] if clip.is_cover else []
    return made
