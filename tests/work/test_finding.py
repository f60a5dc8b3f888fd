"""A file that was lost is found again, and the library then knows it."""

from pathlib import Path

from annotate.intake.fingerprint import fingerprint
from annotate.library import Library
from annotate.model import Recording, Session
from annotate.work.finding import find_file
from tests.making import PROBE


def test_a_lost_copy_found_under_another_ending_is_there_again(library: Library, tmp_path: Path) -> None:
    found = tmp_path / "elsewhere" / "bench.mov"
    found.parent.mkdir()
    found.write_bytes(b"film" * 1000)
    mark = fingerprint(found)
    session = library.sessions.add(Session("2026-03-14"))
    lost = Recording(session.id, "bench.mp4", f"recordings/{mark[:16]}.mp4", True, mark, 4000, PROBE)
    lost = library.recordings.add(lost)
    assert library.missing_files() == ["recording 1 (bench.mp4): its file is missing"]
    made = find_file(library, lost.id, tmp_path / "elsewhere")
    assert made.path == f"recordings/{mark[:16]}.mov"
    assert library.missing_files() == []
    assert library.recordings.file(library.recordings.get(lost.id)).read_bytes() == found.read_bytes()
