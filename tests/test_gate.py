"""The gate's static part: ruff and mypy, the same here and in CI."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def run(*command: str) -> str:
    done = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, encoding="utf-8")
    return "" if done.returncode == 0 else done.stdout + done.stderr


def test_ruff_is_clean() -> None:
    assert run("ruff", "check", "annotate", "web", "tests", "demo_media") == ""


def test_format_is_kept() -> None:
    assert run("ruff", "format", "--check", "annotate", "web", "tests", "demo_media") == ""


def test_mypy_is_clean() -> None:
    assert run("mypy") == ""
