"""What every test may ask for."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from pathlib import Path

import pytest

from annotate.library.store import Library


def pytest_configure(config: pytest.Config) -> None:
    """Name the marks that belong to these fixtures."""
    config.addinivalue_line("markers", "logs_errors: the test makes the program log an error on purpose")


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    """An empty library in the test's own folder."""
    with Library.open(tmp_path / "library", create=True) as opened:
        yield opened


@pytest.fixture(autouse=True)
def nothing_logged_as_error(caplog: pytest.LogCaptureFixture, request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail a test that logged an ERROR, unless it is marked as expecting one."""
    yield
    if request.node.get_closest_marker("logs_errors"):
        return
    found = [
        record.getMessage()
        for when in ("setup", "call")
        for record in caplog.get_records(when)
        if record.levelno >= logging.ERROR
    ]
    assert not found, f"logged as errors: {found}"
