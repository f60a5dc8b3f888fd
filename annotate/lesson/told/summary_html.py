"""The step summary as one self-contained HTML file: style and stills inside, nothing loaded from elsewhere."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Sequence
from html import escape
from importlib import resources

from annotate.lesson.told.summary import DEFER, StepText, SummaryText


def write_html(summary: SummaryText, stills: Sequence[bytes | None], language: str = "en") -> str:
    """The summary as HTML; ``stills`` are the steps' pictures as JPEG, or None."""
    style = resources.files("annotate.lesson.told").joinpath("summary.css").read_text("utf-8")
    title = escape(summary.title)
    body = [
        f'<header><p class="kind">Lesson</p><h1>{title}</h1>{_facts(summary)}</header>',
        _section("Goal", _paragraphs(summary.goal)),
        _section("Tools", _list(summary.tools)),
        _section("Cautions", _list((*summary.cautions, DEFER)), "cautions") if summary.cautions else "",
        _section("In this lesson", _ahead(summary.steps)),
        '<section><h2>Steps</h2><ol class="steps">',
        *(_step(step, still) for step, still in zip(summary.steps, stills, strict=True)),
        "</ol></section>",
        _section("Before and after", _table(summary.before_after)),
        _section("Review", _paragraphs(summary.review)),
        _section("Note", _paragraphs(summary.note)),
    ]
    head = (
        '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title}</title><style>{style}</style>"
    )
    html = "\n".join(part for part in body if part)
    page = f"<head>{head}</head>\n<body><main>\n{html}\n</main></body>"
    return f'<!DOCTYPE html>\n<html lang="{escape(language)}">\n{page}\n</html>\n'


def _facts(summary: SummaryText) -> str:
    facts = [("For", summary.audience), ("Reed", ", ".join(summary.reeds)), ("Recorded", ", ".join(summary.dates))]
    rows = "".join(f"<div><dt>{name}</dt><dd>{escape(value)}</dd></div>" for name, value in facts if value)
    return f'<dl class="facts">{rows}</dl>' if rows else ""


def _section(title: str, inner: str, kind: str = "") -> str:
    marked = f' class="{kind}"' if kind else ""
    return f"<section{marked}><h2>{title}</h2>{inner}</section>" if inner else ""


def _paragraphs(text: str) -> str:
    return "".join(f"<p>{escape(block)}</p>" for block in text.split("\n\n") if block.strip())


def _list(items: Iterable[str]) -> str:
    rows = "".join(f"<li>{escape(item)}</li>" for item in items)
    return f"<ul>{rows}</ul>" if rows else ""


def _ahead(steps: Sequence[StepText]) -> str:
    """The steps announced, each a link; for one step alone there is nothing to announce."""
    rows = [f'<li><a href="#step-{one.number}">{escape(one.title)}</a> <small>{one.at}</small></li>' for one in steps]
    return f'<ol class="ahead">{"".join(rows)}</ol>' if len(rows) > 1 else ""


def _table(rows: Sequence[tuple[str, str, str]]) -> str:
    if not rows:
        return ""
    cells = "".join(
        f'<tr><th scope="row">{escape(what)}</th><td>{escape(before)}</td><td>{escape(after)}</td></tr>'
        for what, before, after in rows
    )
    head = '<tr><th scope="col">Measured</th><th scope="col">Before</th><th scope="col">After</th></tr>'
    return f"<table><thead>{head}</thead><tbody>{cells}</tbody></table>"


def _step(step: StepText, still: bytes | None) -> str:
    title = escape(step.title)
    place = f'<p class="where">{step.at} in the film · {escape(step.where)}</p>'
    parts = [f'<li id="step-{step.number}"><h3>{step.number}. {title}</h3>{place}']
    if still is not None:
        data = base64.b64encode(still).decode("ascii")
        parts.append(
            f'<figure><img src="data:image/jpeg;base64,{data}" alt="Still of step {step.number}: {title}"></figure>'
        )
    parts += [f"<p>{escape(text)}</p>" for text in (*step.done, step.note) if text]
    parts.append(_drawing(step))
    for name, kind, items in (
        ("Readings", "readings", step.readings),
        ("Corrections", "corrections", step.corrections),
        ("Cautions", "cautions", step.cautions),
    ):
        if items:
            parts.append(f'<div class="{kind}"><h4>{name}</h4>{_list(items)}</div>')
    if step.said:
        parts.append(f"<details><summary>What is said</summary><p>{escape(' '.join(step.said))}</p></details>")
    return "".join(parts) + "</li>"


def _drawing(step: StepText) -> str:
    """The reed with the step's zones, and the same in words."""
    if not step.drawing:
        return f"<p>{escape(step.described)}</p>" if step.places else ""
    named = f'<svg role="img" aria-label="{escape(step.described)}" '
    drawing = step.drawing.replace("<svg ", named, 1)
    caption = f"{escape(step.described)} <small>{escape(step.lie)}</small>"
    return f'<figure class="reed">{drawing}<figcaption>{caption}</figcaption></figure>'
