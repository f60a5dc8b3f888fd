"""What the tests of this room share."""

from pathlib import Path

import pytest

from annotate.listen.model_files import find_model


@pytest.fixture(scope="session")
def speech_model_dir() -> Path:
    """The speech model of this machine; the test extra's data packages bring it."""
    return find_model().folder
