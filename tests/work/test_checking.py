"""A check sees what has become of the files and the index, not only that they are there."""

from pathlib import Path

import pytest

from annotate.errors import Cancelled
from annotate.intake.fingerprint import fingerprint
from annotate.library import Library, index
from annotate.model import Recording, Reed, Session
from annotate.work.checking import file_problems
from tests.making import PROBE, a_line, a_recording, a_tag


def kept(library: Library, name: str, content: bytes) -> Path:
    """A recording of that content whose copy lies in the library."""
    path = library.folder / "recordings" / name
    path.write_bytes(content)
    session = library.sessions.add(Session("2026-03-14"))
    mark = fingerprint(path)
    library.recordings.add(Recording(session.id, name, f"recordings/{name}", True, mark, len(content), PROBE))
    return path


def test_a_file_cut_short_or_gone_is_seen_by_its_size(library: Library) -> None:
    kept(library, "a.mp4", b"a" * 1000)
    cut, gone = kept(library, "b.mp4", b"b" * 1000), kept(library, "c.mp4", b"c" * 1000)
    assert file_problems(library) == []
    cut.write_bytes(b"b" * 10)
    gone.unlink()
    told = [
        "recording 2 (b.mp4): its file holds 10 bytes instead of 1,000",
        "recording 3 (c.mp4): its file is missing",
    ]
    assert file_problems(library) == told
    assert file_problems(library, is_thorough=True) == told


def test_other_content_of_the_same_size_is_seen_when_it_is_read(library: Library) -> None:
    kept(library, "a.mp4", b"a" * 3000)
    changed = kept(library, "b.mp4", b"b" * 1000)
    changed.write_bytes(b"b" * 999 + b"!")
    assert file_problems(library) == []
    seen: list[float] = []
    told = ["recording 2 (b.mp4): its file holds other content than when it was added"]
    assert file_problems(library, is_thorough=True, progress=seen.append) == told
    assert seen == sorted(seen) and seen[-1] == 1.0 and 0.75 in seen
    with pytest.raises(Cancelled):
        file_problems(library, is_thorough=True, cancelled=lambda: True)


def test_other_words_in_the_index_are_seen(library: Library) -> None:
    reed = library.reeds.add(Reed("B-14"))
    recording = a_recording(library, reed=reed)
    a_tag(library, recording)
    library.lines.hear(recording.id, [a_line(recording, 0, "The low F is flat.")])
    assert library.check() == []
    with library.writing() as connection:
        connection.exec_driver_sql("UPDATE moment_text SET text = 'zzz' WHERE text LIKE 'The low%'")
        connection.exec_driver_sql("UPDATE moment SET session_id = 99 WHERE kind = 'tag'")
    told = ["line 1 stands in the search index with other words", "tag 1 leads elsewhere from the search index"]
    assert library.check() == told
    with library.writing() as connection:
        index.rebuild(connection)
    assert library.check() == []


def test_words_that_would_not_be_found_are_seen(library: Library) -> None:
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, 0, "The low F is flat.")])
    with library.writing() as connection:
        connection.exec_driver_sql("UPDATE moment_text_content SET c0 = 'zzz' WHERE c0 LIKE 'The low%'")
        connection.exec_driver_sql("UPDATE moment SET shown = 'zzz' WHERE kind = 'line'")
        connection.exec_driver_sql("UPDATE line SET text = 'zzz'")
    assert library.check() == ["the words of the search index are not those of its texts"]
