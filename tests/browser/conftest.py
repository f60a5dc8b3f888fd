"""A real browser, a real server, and the watch that no request leaves the machine."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, Playwright, Request, sync_playwright

from annotate.library.store import Library
from web.serve import Server

NAMES = ("chromium", "chromium-browser", "google-chrome", "/usr/bin/chromium")
FLAGS = (
    *("--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-sync"),
    *("--disable-background-networking", "--disable-component-update", "--autoplay-policy=no-user-gesture-required"),
)
LOCAL = ("localhost", "127.0.0.1")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark everything in this folder."""
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """Playwright's driver."""
    with sync_playwright() as driver:
        yield driver


def find_chromium(driver: Playwright) -> str:
    """A Chromium of this machine, else Playwright's own download, else the system's package."""
    for name in NAMES:
        if found := shutil.which(name):
            return found
    own = Path(driver.chromium.executable_path)
    if not own.exists():
        _try(sys.executable, "-m", "playwright", "install", "chromium")
    if own.exists():
        return str(own)
    if hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get"):
        _try("apt-get", "update")
        _try("apt-get", "install", "-y", "chromium")
    if found := shutil.which("chromium"):
        return found
    raise RuntimeError(
        "No Chromium was found, Playwright's download failed, and there is no package to install as this user. "
        "Install Chromium (for example: apt-get install chromium) or run: python -m playwright install chromium."
    )


def _try(*command: str) -> None:
    subprocess.run(command, check=False, capture_output=True, timeout=600)


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """One browser for all tests."""
    found = playwright.chromium.launch(executable_path=find_chromium(playwright), args=list(FLAGS))
    yield found
    found.close()


@dataclass
class Site:
    """The pages of a library, served."""

    library: Library
    address: str

    def at(self, path: str) -> str:
        return self.address.rstrip("/") + path


@pytest.fixture
def site(library: Library) -> Iterator[Site]:
    """A server of the test's library."""
    server = Server(library)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    yield Site(library, server.address)
    server.close()
    thread.join(timeout=10)


@dataclass
class Watch:
    """What a page asked for and said while a test looked at it."""

    foreign: list[str]
    problems: list[str]


def watch_page(page: Page) -> Watch:
    """Note every request to another machine and every error of the page."""
    seen = Watch([], [])

    def asked(request: Request) -> None:
        parts = urlsplit(request.url)
        if parts.scheme not in ("data", "blob", "about") and parts.hostname not in LOCAL:
            seen.foreign.append(request.url)

    def said(message: ConsoleMessage) -> None:
        if message.type == "error" and "the server responded with a status of" not in message.text:
            seen.problems.append(message.text)

    page.on("request", asked)
    page.on("console", said)
    page.on("pageerror", lambda error: seen.problems.append(str(error)))
    return seen


@contextmanager
def opened_page(browser: Browser, *, timeout_ms: int = 10_000, **context: Any) -> Iterator[Page]:
    """A page of 1280 x 900, or as ``context`` says; fails when it asks another machine for anything or its scripts do.

    ``context`` are options of Playwright's ``new_context``, such as ``viewport`` and ``has_touch``.
    """
    made = browser.new_context(**{"viewport": {"width": 1280, "height": 900}, "reduced_motion": "reduce", **context})
    made.set_default_timeout(timeout_ms)
    opened = made.new_page()
    seen = watch_page(opened)
    yield opened
    made.close()
    assert seen.foreign == [], "a request left the machine"
    assert seen.problems == [], "the page's scripts or rules were broken"


@pytest.fixture
def page(browser: Browser, site: Site) -> Iterator[Page]:
    """A page of the test's library."""
    with opened_page(browser) as opened:
        yield opened
