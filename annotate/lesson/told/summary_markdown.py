"""The step summary as Markdown (CommonMark)."""

from __future__ import annotations

import re
from collections.abc import Sequence

from annotate.lesson.told.summary import DEFER, StepText, SummaryText

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~])")
_LIST_START = re.compile(r"^(\s*)([-+]|\d+[.)])(\s)")


def escaped(text: str) -> str:
    """Text in which no character means anything to Markdown; line breaks become spaces."""
    flat = " ".join(text.split())
    return _LIST_START.sub(r"\1\\\2\3", _SPECIAL.sub(r"\\\1", flat))


def write_markdown(summary: SummaryText, stills: Sequence[str | None]) -> str:
    """The summary; ``stills`` are the names of the steps' picture files, or None."""
    parts = [f"# {escaped(summary.title)}"]
    parts += _section("Goal", summary.goal)
    parts += [f"For: {escaped(summary.audience)}"] if summary.audience else []
    parts += _listed("Tools", summary.tools)
    parts += _listed("Cautions", (*summary.cautions, DEFER) if summary.cautions else ())
    if len(summary.steps) > 1:
        ahead = [f"{step.number}. {escaped(step.title)} ({step.at})" for step in summary.steps]
        parts += ["## In this lesson", "\n".join(ahead)]
    parts.append("## Steps")
    for step, still in zip(summary.steps, stills, strict=True):
        parts += _step(step, still)
    if summary.before_after:
        rows = [
            f"| {escaped(what)} | {escaped(before)} | {escaped(after)} |"
            for what, before, after in summary.before_after
        ]
        parts += ["## Before and after", "\n".join(["| | Before | After |", "|---|---|---|", *rows])]
    parts += _section("Review", summary.review)
    parts += _section("Note", summary.note)
    reeds = f"Reeds: {', '.join(map(escaped, summary.reeds))}. " if summary.reeds else ""
    parts.append(f"{reeds}Recorded: {', '.join(summary.dates)}.")
    return "\n\n".join(parts) + "\n"


def _section(title: str, text: str) -> list[str]:
    return [f"## {title}", "\n\n".join(escaped(block) for block in text.split("\n\n"))] if text.strip() else []


def _listed(title: str, items: Sequence[str]) -> list[str]:
    return [f"## {title}", "\n".join(f"- {escaped(item)}" for item in items)] if items else []


def _step(step: StepText, still: str | None) -> list[str]:
    parts = [f"### {step.number}. {escaped(step.title)}", f"{step.at} in the film · {escaped(step.where)}"]
    parts += [f"![{escaped(step.title)}]({still})"] if still else []
    parts += [escaped(text) for text in (*step.done, step.note, step.described) if text]
    items = [f"Reading: {text}" for text in step.readings]
    items += [f"Correction: {text}" for text in step.corrections]
    items += [f"Caution: {text}" for text in step.cautions]
    parts += ["\n".join(f"- {escaped(item)}" for item in items)] if items else []
    parts += ["> " + escaped(" ".join(step.said))] if step.said else []
    return parts
