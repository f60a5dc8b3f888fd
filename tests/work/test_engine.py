"""Long work in its own processes: done, failed, cancelled, killed, taken up again."""

import contextlib
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import psutil
import pytest

from annotate.errors import AlreadyThere
from annotate.library import Library
from annotate.library.store import FILE_NAME
from annotate.model import Job, Recording, Session
from annotate.work.adding import Adding, add_file, jobs_for
from annotate.work.engine import Engine, run_jobs
from annotate.work.report import QueueReport
from tests import media

TALK = Path(__file__).parent.parent / "listen" / "speech" / "talk.ogg"


def long_talk(tmp_path: Path) -> Path:
    """The talk many times over: several minutes, so that there is time to interrupt."""
    path = tmp_path / "long.ogg"
    if not path.exists():
        media.ffmpeg("-stream_loop", "40", "-i", TALK, "-c", "copy", path)
    return path


def added(library: Library, path: Path) -> Recording:
    session = library.sessions.add(Session("2026-03-14"))
    return add_file(library, path, session.id)


def workers() -> list[int]:
    """Process ids of the jobs at work; a browser of other tests may be running too."""
    found = []
    for child in psutil.Process().children(recursive=True):
        with contextlib.suppress(psutil.NoSuchProcess):
            if "annotate.work.child" in child.cmdline():
                found.append(child.pid)
    return found


def until(library: Library, job_id: int, is_so: Callable[[Job], bool], limit_s: float = 120) -> Job:
    """Wait until a job is as wanted."""
    end = time.monotonic() + limit_s
    while time.monotonic() < end:
        job = library.jobs.get(job_id)
        if is_so(job):
            return job
        time.sleep(0.05)
    raise AssertionError(f"not so after {limit_s} s: {library.jobs.get(job_id)}")


def test_a_recording_is_prepared_and_heard(library: Library, tmp_path: Path) -> None:
    talk = tmp_path / "talk.mp4"
    media.ffmpeg("-i", media.base(), "-i", TALK, "-map", "0:v", "-map", "1:a", "-c:v", "copy", "-c:a", "aac", talk)
    recording = added(library, talk)
    jobs = jobs_for(library, recording)
    ended = run_jobs(library, [job.id for job in jobs], lambda _: None)
    assert [job.state for job in ended] == ["done", "done"]
    recording = library.recordings.get(recording.id)
    assert library.path(recording.peaks_path or "").is_file()
    assert library.path(recording.sheet_path or "").is_file()
    assert recording.playable_path is None
    assert (recording.language, recording.heard_language) == ("", "en")
    lines = library.lines.of_recording(recording.id)
    assert len(lines) >= 2
    assert all(line.words for line in lines)
    sounds = library.recordings.sounds(recording.id)
    assert "speech" in {sound.kind for sound in sounds}


def test_a_recording_without_sound_is_fine(library: Library) -> None:
    recording = added(library, media.no_sound())
    ended = run_jobs(library, [job.id for job in jobs_for(library, recording)], lambda _: None)
    assert [job.state for job in ended] == ["done", "done"]
    assert ended[1].result == {"note": "This recording has no sound."}
    assert library.lines.of_recording(recording.id) == []


def test_a_recording_that_is_gone_gives_a_sentence(library: Library, tmp_path: Path) -> None:
    path = tmp_path / "moved.mp4"
    shutil.copy(media.base(), path)
    session = library.sessions.add(Session("2026-03-14"))
    recording = add_file(library, path, session.id, Adding(keep=False))
    path.unlink()
    (ended,) = run_jobs(library, [library.jobs.put("prepare", {"recording_id": recording.id}).id], lambda _: None)
    assert (ended.state, ended.error_code) == ("failed", "missing")
    assert "is no longer where it was" in ended.error


def test_the_same_file_under_another_name_is_recognised(library: Library, tmp_path: Path) -> None:
    recording = added(library, media.base())
    shutil.copy(media.base(), tmp_path / "again – копия.mp4")
    with pytest.raises(AlreadyThere) as caught:
        add_file(library, tmp_path / "again – копия.mp4", recording.session_id)
    assert caught.value.existing_id == recording.id
    assert len(library.recordings.all()) == 1


def test_cancelling_stops_the_work_and_retry_does_it(library: Library, tmp_path: Path) -> None:
    recording = added(library, long_talk(tmp_path))
    job = library.jobs.put("listen", {"recording_id": recording.id})
    with Engine(library):
        until(library, job.id, lambda job: job.state == "running" and job.progress > 0)
        library.jobs.cancel(job.id)
        until(library, job.id, lambda job: job.state == "cancelled", 30)
    assert library.jobs.retry(job.id).state == "waiting"


@pytest.mark.skipif(sys.platform == "win32", reason="kills with a POSIX signal")
def test_a_worker_that_is_killed_is_reported_and_can_be_retried(library: Library, tmp_path: Path) -> None:
    recording = added(library, long_talk(tmp_path))
    job = library.jobs.put("listen", {"recording_id": recording.id})
    with Engine(library):
        until(library, job.id, lambda job: job.progress > 0)
        (worker,) = workers()
        os.kill(worker, signal.SIGKILL)
        ended = until(library, job.id, lambda job: job.state == "failed", 10)
    assert "The work stopped unexpectedly" in ended.error
    assert library.check() == []


@pytest.mark.skipif(sys.platform == "win32", reason="kills with a POSIX signal")
def test_a_program_that_is_killed_loses_nothing_and_the_work_goes_on(library: Library, tmp_path: Path) -> None:
    recording = added(library, long_talk(tmp_path))
    job = library.jobs.put("listen", {"recording_id": recording.id})
    program = subprocess.Popen(
        [sys.executable, "-m", "annotate.cli", "work", "run", "--library", str(library.folder)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    until(library, job.id, lambda job: job.progress > 0)
    program.kill()
    program.wait()
    given_back = until(library, job.id, lambda job: job.state == "waiting", 30)
    assert given_back.error == ""
    assert library.check() == []
    again = library.jobs.claim("test", ("listen",))
    assert again is not None and again.id == job.id


def test_closing_the_program_puts_running_work_back(library: Library, tmp_path: Path) -> None:
    recording = added(library, long_talk(tmp_path))
    job = library.jobs.put("listen", {"recording_id": recording.id})
    with Engine(library):
        until(library, job.id, lambda job: job.progress > 0)
    assert library.jobs.get(job.id).state == "waiting"
    assert workers() == []


def locked(library: Library) -> sqlite3.Connection:
    """Another program in the middle of a write."""
    other = sqlite3.connect(library.folder / FILE_NAME, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    return other


def test_work_goes_on_after_the_library_was_busy(library: Library) -> None:
    job = library.jobs.put("export", {"lesson_id": 7})
    with Library(library.folder, lock_wait_s=0.1) as impatient:
        other = locked(library)
        with Engine(impatient):
            time.sleep(0.5)
            other.close()
            ended = until(library, job.id, lambda job: job.state == "failed", 30)
    assert ended.error == "There is no lesson 7 in the library."


def test_work_shows_again_that_it_lives_after_the_library_was_busy(library: Library) -> None:
    job = library.jobs.put("export", {"lesson_id": 7})
    library.jobs.claim("me", ("export",))
    with Library(library.folder, lock_wait_s=0.01) as impatient:
        other = locked(library)
        with QueueReport(impatient, job.id, "me", lambda: False, beat_s=0.05):
            time.sleep(0.5)
            other.close()
            freed_at = time.time()
            until(library, job.id, lambda _: beat_at(library, job.id) > freed_at, 5)


def beat_at(library: Library, job_id: int) -> float:
    """When a job was last heard of."""
    with library.reading() as connection:
        return float(connection.exec_driver_sql("SELECT heartbeat_at FROM job WHERE id = ?", (job_id,)).scalar_one())
