"""Exports a lesson: the film and all that goes with it, in one folder that appears whole or not at all."""

from __future__ import annotations

import glob
import re
import shutil
import time
import unicodedata
import zipfile
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from io import BytesIO
from pathlib import Path
from tempfile import mkdtemp

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from annotate.errors import BadInput, Cancelled
from annotate.formats import chapters as chapter_text
from annotate.formats import subrip, webvtt
from annotate.formats.cues import Cue
from annotate.lesson.cutting.cut import make_film
from annotate.lesson.cutting.disk import disk_errors
from annotate.lesson.cutting.drawing import pixels
from annotate.lesson.cutting.frames import picture_at, pictures
from annotate.lesson.cutting.pieces import Caption, FilmOptions, StillPiece
from annotate.lesson.shown.film import LaidOut
from annotate.lesson.shown.ready import make_ready
from annotate.lesson.stills import best_still, moments
from annotate.lesson.told.choosing import has_still_inside
from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.summary import summarise
from annotate.lesson.told.summary_html import write_html
from annotate.lesson.told.summary_markdown import write_markdown
from annotate.lesson.told.summary_pdf import write_pdf

STILL_WIDTH = 960  # pixels; sharp on paper at the size of the summary
JUDGED_WIDTH = 480  # pixels at which candidate stills are compared
JPEG_QUALITY = 88
LONGEST_NAME = 48  # letters of a title in its folder's name
READY_PART, FILM_PART = 0.1, 0.8  # of the progress: measuring, then the film; the rest is stills, summary and zip
PART, OLD = ".part", ".old"  # endings of folders that are not an export yet, or not any more
LEFT_BEHIND_S = 86_400.0
TRIES = 5  # to take a name that another export takes at the same time
ZIP_TIME = (2000, 1, 1, 0, 0, 0)  # files in the zip say nothing of when they were made


@dataclass(frozen=True)
class Exported:
    """Where each result lies, all in ``folder``."""

    folder: Path
    film: Path
    vtt: Path
    srt: Path
    chapters: Path
    summary_html: Path
    summary_md: Path
    summary_pdf: Path
    cover: Path
    zip: Path


def folder_name(lesson_id: int, title: str) -> str:
    """A plain folder name for a lesson: its number and the letters of its title that every disk can hold."""
    ascii_title = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    plain = re.sub(r"[^a-z0-9]+", "-", ascii_title.lower()).strip("-")
    if len(plain) > LONGEST_NAME:  # at the end of a word, where there is one
        plain = plain[: LONGEST_NAME + 1].rpartition("-")[0] or plain[:LONGEST_NAME]
    return f"{lesson_id:03d}-{plain}" if plain else f"{lesson_id:03d}"


def export_lesson(
    material: Material,
    folder: Path,
    options: FilmOptions | None = None,
    progress: Callable[[float], None] = lambda _: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Exported:
    """Write everything into ``folder``; an earlier export there is replaced only when the new one is whole.

    Raises
    ------
    BadInput
        A lesson without clips.
    NoSpace, Cancelled, Missing, NotMedia, ToolFailed
        Nothing of the new export is left; the earlier one stays.
    """
    if not material.steps:
        raise BadInput("has no clips", material.lesson.title, "Add a clip first.")
    with disk_errors(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        _sweep(folder)
        part = _beside(folder, PART)
    try:
        with disk_errors(folder):
            _write_all(material, part, options or FilmOptions(), progress, cancelled)
            _put_in_place(part, folder)
    except BaseException:
        shutil.rmtree(part, ignore_errors=True)
        raise
    progress(1.0)
    return results(folder)


def results(folder: Path) -> Exported:
    """The names in an export's folder."""
    return Exported(
        folder,
        *(
            folder / name
            for name in (
                "lesson.mp4",
                "lesson.vtt",
                "lesson.srt",
                "chapters.txt",
                "summary.html",
                "summary.md",
                "summary.pdf",
                "cover.jpg",
                "lesson.zip",
            )
        ),
    )


def _write_all(
    material: Material,
    folder: Path,
    options: FilmOptions,
    progress: Callable[[float], None],
    cancelled: Callable[[], bool],
) -> None:
    to = results(folder)
    laid, cues = make_ready(material, options, lambda done: progress(done * READY_PART), cancelled)
    make_film(
        laid.pieces,
        to.film,
        options=replace(options, width=laid.plan.width, height=laid.plan.height, rate=laid.plan.rate),
        chapters=laid.chapters,
        captions=[Caption(cue.start_ms, cue.end_ms, cue.text) for cue in cues],
        title=material.lesson.title,
        progress=lambda done: progress(READY_PART + done * (FILM_PART - READY_PART)),
        cancelled=cancelled,
    )
    to.vtt.write_text(webvtt.write(cues), "utf-8")
    to.srt.write_text(subrip.write(cues), "utf-8")
    to.chapters.write_text(chapter_text.as_text(_chapter_cues(laid)), "utf-8")
    stills = _stills(material.steps, lambda done: progress(FILM_PART + done * 0.15), cancelled)
    _write_summary(material, laid, to, stills)
    to.cover.write_bytes(_cover(material, stills) or _jpeg(_first_card(laid)))
    _zip(to)


def _chapter_cues(laid: LaidOut) -> list[Cue]:
    ends = [*(one.start_ms for one in laid.chapters[1:]), laid.plan.duration_ms]
    return [Cue(one.start_ms, end, one.title, "chapter") for one, end in zip(laid.chapters, ends, strict=True)]


def _write_summary(material: Material, laid: LaidOut, to: Exported, stills: Sequence[bytes | None]) -> None:
    summary = summarise(material, laid.starts_ms)
    names = [f"stills/step-{number:02d}.jpg" if still else None for number, still in enumerate(stills, 1)]
    for name, still in zip(names, stills, strict=True):
        if name and still:
            (to.folder / name).parent.mkdir(exist_ok=True)
            (to.folder / name).write_bytes(still)
    to.summary_html.write_text(write_html(summary, stills), "utf-8")
    to.summary_md.write_text(write_markdown(summary, names), "utf-8")
    to.summary_pdf.write_bytes(write_pdf(summary, stills))


def _stills(
    steps: Sequence[Step], progress: Callable[[float], None], cancelled: Callable[[], bool]
) -> list[bytes | None]:
    made: list[bytes | None] = []
    for number, step in enumerate(steps):
        if cancelled():
            raise Cancelled("The export was stopped before it was done", next_step="Start it again any time.")
        made.append(_jpeg(still_of(step)) if step.recording.has_picture else None)
        progress((number + 1) / len(steps))
    return made


def _cover(material: Material, stills: Sequence[bytes | None]) -> bytes | None:
    """The still of the clip that was chosen for it, else the first there is."""
    chosen = [still for step, still in zip(material.steps, stills, strict=True) if step.clip.is_cover]
    return next((still for still in (*chosen, *stills) if still is not None), None)


def still_of(step: Step) -> NDArray[np.uint8]:
    """The picture that stands for a step: the maker's choice, else the sharpest quiet one."""
    at_ms = step.clip.still_ms
    if at_ms is None or not has_still_inside(step.clip):
        times = moments(step.clip.start_ms, min(step.clip.end_ms, step.recording.duration_ms))
        seen = list(pictures(step.path, step.recording.probe, times, JUDGED_WIDTH))
        at_ms = times[best_still(seen)]
    return picture_at(step.path, step.recording.probe, at_ms, STILL_WIDTH)


def _first_card(laid: LaidOut) -> NDArray[np.uint8]:
    """The first title card, for the cover of a lesson without pictures."""
    for piece in laid.pieces:
        if isinstance(piece, StillPiece):
            return pixels(piece.picture)
    return np.full((laid.plan.height, laid.plan.width, 3), 246, np.uint8)


def _jpeg(picture: NDArray[np.uint8]) -> bytes:
    file = BytesIO()
    Image.fromarray(picture).save(file, "JPEG", quality=JPEG_QUALITY, optimize=True)
    return file.getvalue()


def _zip(to: Exported) -> None:
    with zipfile.ZipFile(to.zip, "w") as archive:
        for path in sorted(to.folder.rglob("*")):
            if path.is_file() and path != to.zip:
                entry = zipfile.ZipInfo(path.relative_to(to.folder).as_posix(), ZIP_TIME)
                entry.compress_type = zipfile.ZIP_STORED if path.suffix in (".mp4", ".jpg") else zipfile.ZIP_DEFLATED
                with path.open("rb") as source, archive.open(entry, "w") as target:
                    shutil.copyfileobj(source, target, 1 << 20)


def _beside(folder: Path, ending: str) -> Path:
    """A new folder of its own beside the export's: two exports to one name never write into each other's."""
    return Path(mkdtemp(prefix=f"{folder.name}.", suffix=ending, dir=folder.parent))


def _sweep(folder: Path) -> None:
    """Remove what exports to this name left behind that were broken off long ago."""
    for ending in (PART, OLD):
        for left in folder.parent.glob(f"{glob.escape(folder.name)}.*{ending}"):
            with suppress(OSError):
                if time.time() - left.stat().st_mtime > LEFT_BEHIND_S:
                    shutil.rmtree(left, ignore_errors=True)


def _put_in_place(part: Path, folder: Path) -> None:
    """Rename the finished folder to its name; an earlier one steps aside first and goes afterwards.

    Of two exports that end together the later one stays.
    """
    part.chmod(0o755)  # a fresh folder of its own is closed to others
    for left in reversed(range(TRIES)):
        old = _beside(folder, OLD)
        try:
            with suppress(FileNotFoundError):
                folder.replace(old)
            part.replace(folder)
        except OSError:
            if not folder.exists() and any(old.iterdir()):
                old.replace(folder)
            if not left:
                raise
        else:
            return
        finally:
            shutil.rmtree(old, ignore_errors=True)
