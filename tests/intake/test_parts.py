"""Files that are there whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from annotate.intake.parts import sweep, written_whole


def test_old_file_stays_until_the_new_one_is_whole(tmp_path: Path) -> None:
    target = tmp_path / "new" / "a.txt"
    with written_whole(target) as part:
        part.write_text("one")
        assert not target.exists()
    with pytest.raises(RuntimeError), written_whole(target) as part:
        part.write_text("tw")
        raise RuntimeError
    assert target.read_text() == "one"
    assert [one.name for one in target.parent.iterdir()] == ["a.txt"]


def test_leftovers_of_a_killed_program_go(tmp_path: Path) -> None:
    (tmp_path / "playable").mkdir()
    (tmp_path / "playable" / ".a.mp4.123.part").write_bytes(b"half")
    (tmp_path / "playable" / "a.mp4").write_bytes(b"whole")
    assert sweep(tmp_path) == 1
    assert [one.name for one in (tmp_path / "playable").iterdir()] == ["a.mp4"]
