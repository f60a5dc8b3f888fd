"""What the exports of single clips of a lesson made, for its page."""

from __future__ import annotations

from typing import Any

from annotate.library.store import Library
from annotate.model import Job, Lesson
from annotate.work.exporting import KEYS, stretch

DOWNLOADS = {
    "film": "Film (MP4)",
    "vtt": "Captions (WebVTT)",
    "srt": "Captions (SubRip)",
    "chapters": "Chapter list (text)",
    "summary_html": "Step summary (HTML)",
    "summary_md": "Step summary (Markdown)",
    "summary_pdf": "Step summary (PDF)",
    "cover": "Cover picture",
    "zip": "All of it (zip)",
}


def exported_alone(store: Library, lesson: Lesson) -> list[dict[str, Any]]:
    """For each clip, what its newest export alone made (``alone``), and the one under way (``alone_job``).

    They are told by the stretch of the recording, so that they stay with their clip when it is moved.
    """
    ours = [one for one in store.jobs.of("export", lesson_id=lesson.id) if "clip" in one.subject]
    made = []
    for clip in lesson.clips:
        same = [job for job in ours if stretch(clip).items() <= job.subject.items()]
        done = next((job for job in same if job.state == "done"), None)
        running = next((job.id for job in same if job.state in ("waiting", "running")), None)
        made.append({"alone": _told(store, lesson, done) if done else None, "alone_job": running})
    return made


def _told(store: Library, lesson: Lesson, job: Job) -> dict[str, Any]:
    there = [part for part in KEYS if job.result.get(part) and store.path(job.result[part]).is_file()]
    return {
        "files": [{"name": DOWNLOADS[part], "address": f"/media/exports/{job.id}/{part}?download"} for part in there],
        "film": f"/media/exports/{job.id}/film" if "film" in there else None,
        "is_older": job.subject.get("version") != lesson.version,
    }
