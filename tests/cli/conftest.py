"""Calls the command line on a library of the test's own."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from annotate.cli.main import _run


@dataclass
class Call:
    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


Benchreel = Callable[..., Call]


@pytest.fixture
def benchreel(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Benchreel:
    """Calls the command line on a library of the test's own."""

    def call(*words: str | Path) -> Call:
        code = _run([*map(str, words), "--library", str(tmp_path / "library")])
        out, err = capsys.readouterr()
        return Call(code, out, err)

    return call
