"""Long work: what waits, runs, is done or failed."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from flask import Blueprint, Response, jsonify, render_template

from annotate.errors import NotFound
from annotate.model import Job
from web.context import library
from web.fields import sent

blueprint = Blueprint("work", __name__)

LABELS = {"prepare": "Preparing", "listen": "Listening to", "export": "Exporting", "look": "Looking for"}
OPEN = ("waiting", "running")
NOTHING_RUNS: Mapping[int, float] = MappingProxyType({})
SILENT_S = 10.0  # a process beats every three seconds; one that missed three beats has probably ended


@blueprint.get("/work")
def page() -> str:
    """The page that shows the work and keeps itself up to date."""
    return render_template("work.html", jobs=_all())


@blueprint.get("/api/work")
def listed() -> Response:
    """Jobs, newest first."""
    return jsonify(jobs=_all())


@blueprint.get("/api/work/open")
def count_open() -> Response:
    """How many jobs wait or run."""
    return jsonify(open=sum(job.state in OPEN for job in library().jobs.all()))


@blueprint.get("/api/work/<int:job_id>")
def one(job_id: int) -> Response:
    """One job."""
    return jsonify(job=described(library().jobs.get(job_id), library().jobs.unheard_s()))


@blueprint.post("/api/work/<int:job_id>/cancel")
def cancel(job_id: int) -> Response:
    """Ask a job to stop."""
    sent()
    return jsonify(job=described(library().jobs.cancel(job_id), library().jobs.unheard_s()))


@blueprint.post("/api/work/<int:job_id>/retry")
def retry(job_id: int) -> Response:
    """Put a failed or cancelled job back in the queue."""
    sent()
    return jsonify(job=described(library().jobs.retry(job_id)))


def _all() -> list[dict[str, Any]]:
    unheard_s = library().jobs.unheard_s()
    return [described(job, unheard_s) for job in library().jobs.all()]


def described(job: Job, unheard_s: Mapping[int, float] = NOTHING_RUNS) -> dict[str, Any]:
    """A job in words and numbers for the page; one whose process is silent is not said to run."""
    title, address = _subject(job)
    silent_s = unheard_s.get(job.id, 0.0) if job.state == "running" else 0.0
    message = job.message
    if silent_s >= SILENT_S:
        message = (
            f"Nothing was heard of it for {silent_s:.0f} seconds: it has probably stopped with the program. "
            "It is taken up again by itself."
        )
    return {
        "id": job.id,
        "kind": job.kind,
        "subject": job.subject,
        "title": f"{LABELS.get(job.kind, job.kind)} {title}",
        "address": address,
        "state": _state(job, silent_s),
        "progress": job.progress,
        "message": message,
        "error": job.error,
        "created_at": job.created_at,
        "started_at": job.started_at,
        "finished_at": job.finished_at,
        "can_cancel": job.state in OPEN and not job.cancel_wanted,
        "can_retry": job.state in ("failed", "cancelled"),
    }


def _state(job: Job, silent_s: float) -> str:
    if job.state == "running" and silent_s >= SILENT_S:
        return "silent"
    return "stopping" if job.state == "running" and job.cancel_wanted else job.state


def _subject(job: Job) -> tuple[str, str | None]:
    """What a job works on, and its page; it may have been removed since."""
    try:
        if "lesson_id" in job.subject:
            lesson = library().lessons.get(int(job.subject["lesson_id"]))
            named = f"the lesson “{lesson.title}”"
            return f"clip {job.subject['clip']} of {named}" if "clip" in job.subject else named, f"/lessons/{lesson.id}"
        if "recording_id" in job.subject:
            recording = library().recordings.get(int(job.subject["recording_id"]))
            return recording.name, f"/sessions/{recording.session_id}?recording={recording.id}"
    except NotFound:
        return "something that has been removed", None
    return ", ".join(f"{key} {value}" for key, value in job.subject.items()), None
