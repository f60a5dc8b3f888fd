"""Full disks, stopping, and what is left behind: nothing."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path

import pytest

from annotate.errors import BadInput, Cancelled
from annotate.lesson.cutting.cut import make_film
from annotate.lesson.cutting.pieces import FilmOptions
from tests import media
from tests.lesson import films
from tests.lesson.films import piece

# A limit on the size of a file stands in for a full disk: the write fails in the middle in the same way.
FULL = """
import resource, sys
from pathlib import Path
from tests.lesson import films
from annotate.errors import NoSpace
from annotate.lesson.cutting.cut import make_film
from annotate.lesson.cutting.pieces import FilmOptions
pieces = [films.piece(Path(sys.argv[1]), 0, 9000)]
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[3]), resource.RLIM_INFINITY))
try:
    make_film(pieces, Path(sys.argv[2]), options=FilmOptions(may_copy=sys.argv[4] == "copy"))
except NoSpace as error:
    print(error)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no limit on the size of a file")
@pytest.mark.parametrize(("limit", "way"), [(60_000, "copy"), (60_000, "encode"), (3_000, "copy")])
def test_a_full_disk_is_told_and_nothing_is_left(limit: int, way: str, tmp_path: Path) -> None:
    (tmp_path / "film.mp4").write_bytes(b"the film of yesterday")
    command = [sys.executable, "-c", FULL, str(films.with_b_pictures()), str(tmp_path / "film.mp4"), str(limit), way]
    root = Path(__file__).parents[2]
    done = subprocess.run(command, cwd=root, capture_output=True, text=True, check=False)
    assert "The disk is full" in done.stdout, done.stderr
    assert [one.name for one in tmp_path.iterdir()] == ["film.mp4"]
    assert (tmp_path / "film.mp4").read_bytes() == b"the film of yesterday"


@pytest.mark.parametrize("options", [FilmOptions(), FilmOptions(may_copy=False)], ids=["copying", "encoding"])
def test_stopping_leaves_nothing(options: FilmOptions, tmp_path: Path) -> None:
    seen: list[float] = []
    before = media.children()
    with pytest.raises(Cancelled, match="stopped"):
        make_film(
            [piece(films.with_b_pictures(), 1000, 9000)],
            tmp_path / "film.mp4",
            options=options,
            progress=seen.append,
            cancelled=lambda: len(seen) > 1,
        )
    assert list(tmp_path.iterdir()) == []
    assert media.children() == before


def test_case_50_nothing_holds_the_recording_afterwards(tmp_path: Path) -> None:
    import psutil

    path = tmp_path / "recording.mp4"
    path.write_bytes(films.with_b_pictures().read_bytes())
    threads = threading.active_count()
    make_film([piece(path, 1000, 2000)], tmp_path / "film.mp4")
    with pytest.raises(BadInput):
        make_film([piece(path, 1000, 2000)], tmp_path / "no such folder" / "film.mp4")
    assert [one.path for one in psutil.Process().open_files() if one.path.startswith(str(tmp_path))] == []
    assert threading.active_count() == threads
    path.rename(tmp_path / "moved.mp4")


def test_progress_runs_from_little_to_one(tmp_path: Path) -> None:
    seen: list[float] = []
    make_film([piece(films.with_b_pictures(), 1000, 4000)], tmp_path / "film.mp4", progress=seen.append)
    assert seen == sorted(seen)
    assert 0 < seen[0] < 1
    assert seen[-1] == 1.0


@pytest.mark.parametrize("name", ["it's a: [t] 50%d.mp4", "-a:b.mp4", "面取り 😆.mp4", "a" * 200 + ".mp4"])
def test_cases_24_and_25_any_name_goes_in_and_comes_out(name: str, tmp_path: Path) -> None:
    folder = tmp_path / "it's here; 50%d"
    folder.mkdir()
    path = folder / name
    path.write_bytes(films.with_b_pictures().read_bytes())
    result = make_film([piece(path, 1000, 1200)], folder / f"film {name}")
    assert films.numbers(result.path) == list(range(30, 36))


def test_two_exports_to_one_name_leave_one_whole_film(tmp_path: Path) -> None:
    target = tmp_path / "film.mp4"
    pieces = [piece(films.with_b_pictures(), 1000, 4000)]
    workers = [threading.Thread(target=make_film, args=(pieces, target)) for _ in range(2)]
    for one in workers:
        one.start()
    for one in workers:
        one.join()
    assert [one.name for one in tmp_path.iterdir()] == ["film.mp4"]
    assert films.numbers(target) == list(range(30, 120))


def test_five_hundred_clips(tmp_path: Path) -> None:
    path = films.with_b_pictures()
    pieces = [piece(path, 100 * (n % 90), 100 * (n % 90) + 100) for n in range(500)]
    result = make_film(pieces, tmp_path / "film.mp4", options=FilmOptions(preset="ultrafast"))
    assert result.plan.pictures == 1500
    assert films.numbers(result.path) == [n % 90 * 3 + k for n in range(500) for k in range(3)]
