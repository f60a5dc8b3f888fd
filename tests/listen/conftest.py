"""What the tests of this room share."""

from pathlib import Path

import numpy as np
import pytest

from annotate.listen.audio import read_sound
from annotate.listen.model_files import find_model
from annotate.listen.recognise import Recogniser


@pytest.fixture(scope="session")
def speech_model_dir() -> Path:
    """The speech model of this machine; the test extra's data packages bring it."""
    return find_model().folder


@pytest.fixture(scope="session")
def recogniser(speech_model_dir: Path) -> Recogniser:
    """The model loaded once for all tests."""
    return Recogniser(speech_model_dir, threads=2)


def _speech(name: str) -> np.ndarray:
    return read_sound(Path(__file__).parent / "speech" / name, 0)


@pytest.fixture(scope="session")
def talk() -> np.ndarray:
    """Three sentences, 8 s; see speech/README.md."""
    return _speech("talk.ogg")


@pytest.fixture(scope="session")
def short() -> np.ndarray:
    """One sentence, 4 s."""
    return _speech("short.ogg")
