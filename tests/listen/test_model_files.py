"""Where the speech model is looked for, in which order, and what is refused."""

import hashlib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from annotate.errors import NoModel
from annotate.listen.model_files import ENVIRONMENT, HUB_NAME, Places, find_model, sha256_of

PARTS = (b"first half, " * 1000, b"second half" * 1000)
RIGHT = hashlib.sha256(PARTS[0] + PARTS[1]).hexdigest()


@pytest.fixture(autouse=True)
def _no_named_model(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(ENVIRONMENT, raising=False)


def never(name: str) -> Path:
    raise AssertionError(f"fetched {name} without leave")


def packages(root: Path) -> tuple[Path, Path]:
    one, two = root / "one" / "data", root / "two" / "data"
    for folder, name, content in ((one, "model.bin.part1", PARTS[0]), (two, "model.bin.part2", PARTS[1])):
        folder.mkdir(parents=True)
        (folder / name).write_bytes(content)
    for name in ("config.json", "tokenizer.json", "vocabulary.json"):
        (two / name).write_text("{}")
    return one, two


def model_folder(folder: Path, content: bytes = b"weights") -> Path:
    folder.mkdir(parents=True)
    (folder / "model.bin").write_bytes(content)
    for name in ("config.json", "tokenizer.json", "vocabulary.txt"):
        (folder / name).write_text("{}")
    return folder


def places(tmp_path: Path, **changes: object) -> Places:
    given: dict[str, object] = {
        "cache": tmp_path / "cache",
        "hub_cache": tmp_path / "hub",
        "packages": (),
        "sha256": RIGHT,
        "fetch": never,
    }
    return Places(**(given | changes))  # type: ignore[arg-type]


def test_a_named_folder_comes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mine = model_folder(tmp_path / "mine")
    where = places(tmp_path, packages=packages(tmp_path))
    assert find_model(mine, places=where).folder == mine
    monkeypatch.setenv(ENVIRONMENT, str(mine))
    assert find_model(places=where).folder == mine


def test_a_named_folder_without_a_model_is_refused_not_passed_over(tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    where = places(tmp_path, packages=packages(tmp_path))
    with pytest.raises(NoModel, match=r"lacks model\.bin, config\.json, tokenizer\.json, vocabulary\.json"):
        find_model(empty, places=where)
    with pytest.raises(NoModel, match="is not a folder"):
        find_model(tmp_path / "nowhere", places=where)


def test_the_packages_are_joined_once(tmp_path: Path) -> None:
    where = places(tmp_path, packages=packages(tmp_path))
    said: list[str] = []
    first = find_model(say=said.append, places=where)
    assert first.source == "the installed data packages"
    assert sha256_of(first.folder / "model.bin") == RIGHT
    second = find_model(say=said.append, places=places(tmp_path))
    assert (second.folder, second.source) == (first.folder, "the cache folder")
    assert len(said) == 1
    assert [path.name for path in first.folder.glob("*.part")] == []


def test_parts_with_a_wrong_sum_are_refused_and_leave_nothing(tmp_path: Path) -> None:
    one, two = packages(tmp_path)
    (two / "model.bin.part2").write_bytes(b"damaged")
    with pytest.raises(NoModel, match="fails its check"):
        find_model(places=places(tmp_path, packages=(one, two)))
    assert not list((tmp_path / "cache").rglob("model.bin*"))


def test_a_damaged_cache_is_mended_from_the_packages_or_refused(tmp_path: Path) -> None:
    where = places(tmp_path, packages=packages(tmp_path))
    model = find_model(places=where).folder / "model.bin"
    model.write_bytes(b"damaged")
    with pytest.raises(NoModel, match="fails its check"):
        find_model(places=places(tmp_path))
    assert find_model(places=where).source == "the installed data packages"
    assert sha256_of(model) == RIGHT


def test_a_model_without_its_other_files_is_none_and_not_called_damaged(tmp_path: Path) -> None:
    (find_model(places=places(tmp_path, packages=packages(tmp_path))).folder / "config.json").unlink()
    with pytest.raises(NoModel, match="There is no speech model"):
        find_model(places=places(tmp_path))


def test_two_at_once_do_no_harm(tmp_path: Path) -> None:
    where = places(tmp_path, packages=packages(tmp_path))
    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(lambda _: find_model(places=where).folder, range(8)))
    assert set(found) == {tmp_path / "cache" / "whisper-base"}
    assert sha256_of(found[0] / "model.bin") == RIGHT
    assert not list(found[0].glob("*.part"))


def hub_cache(tmp_path: Path, name: str) -> Path:
    """A cache as the hub's client lays it out: a snapshot of links to files that bear their sum as name."""
    repo = tmp_path / "hub" / ("models--" + HUB_NAME.replace("/", "--"))
    model = model_folder(repo / "snapshots" / "abc") / "model.bin"
    (repo / "blobs").mkdir()
    model.rename(repo / "blobs" / name)
    model.symlink_to(Path("..") / ".." / "blobs" / name)
    (repo / "refs").mkdir()
    (repo / "refs" / "main").write_text("abc")
    return repo / "blobs" / name


def test_the_hubs_cache_is_used_without_the_network(tmp_path: Path) -> None:
    hub_cache(tmp_path, hashlib.sha256(b"weights").hexdigest())
    assert find_model(places=places(tmp_path)).source == "the hub's cache on this machine"


def test_a_damaged_file_in_the_hubs_cache_is_refused(tmp_path: Path) -> None:
    blob = hub_cache(tmp_path, hashlib.sha256(b"weights").hexdigest())
    blob.write_bytes(b"weighty")
    with pytest.raises(NoModel, match=r"fails its check \(SHA-256 differs\)") as caught:
        find_model(places=places(tmp_path))
    assert str(blob) in str(caught.value)
    joined = find_model(places=places(tmp_path, packages=packages(tmp_path)))
    assert joined.source == "the installed data packages"


def test_what_was_fetched_is_checked_too(tmp_path: Path) -> None:
    def fetch(name: str) -> Path:
        blob = hub_cache(tmp_path, RIGHT)
        return blob.parents[1] / "snapshots" / "abc"

    with pytest.raises(NoModel, match="fails its check"):
        find_model(may_fetch=True, say=lambda sentence: None, places=places(tmp_path, fetch=fetch))


def test_nothing_is_fetched_without_leave(tmp_path: Path) -> None:
    with pytest.raises(NoModel, match="There is no speech model on this machine") as caught:
        find_model(places=places(tmp_path))
    assert "offline" in str(caught.value)
    assert ENVIRONMENT in str(caught.value)


def test_a_fetch_is_announced_with_name_size_and_place(tmp_path: Path) -> None:
    order: list[str] = []

    def fetch(name: str) -> Path:
        order.append("fetch")
        return model_folder(tmp_path / "fetched")

    found = find_model(may_fetch=True, say=order.append, places=places(tmp_path, fetch=fetch))
    assert found.folder == tmp_path / "fetched"
    assert order[1] == "fetch"
    for part in (HUB_NAME, "145 MB", "Hugging Face hub"):
        assert part in order[0]
    with pytest.raises(ValueError, match="never fetched silently"):
        find_model(may_fetch=True, places=places(tmp_path))


def test_a_fetch_that_fails_says_what_to_do(tmp_path: Path) -> None:
    def fetch(name: str) -> Path:
        raise OSError("no network")

    with pytest.raises(NoModel, match=r"could not be fetched \(no network\).*Install the offline extra"):
        find_model(may_fetch=True, say=lambda sentence: None, places=places(tmp_path, fetch=fetch))


def test_the_installed_packages_are_whisper_base(tmp_path: Path) -> None:
    """The sum the two packages are published with."""
    found = find_model(places=Places(cache=tmp_path / "cache", hub_cache=tmp_path / "hub", fetch=never))
    assert found.source == "the installed data packages"
    assert sha256_of(found.folder / "model.bin") == ("905e5bf8336bcc625ba4e33498d675a4b935504118c594d868c36e91a60c1a57")
