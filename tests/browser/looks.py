"""What every page must be: usable by everyone (WCAG 2.2 AA as axe-core checks it), and no wider than its window."""

from __future__ import annotations

from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}}


CONTRAST = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}


def violations(page: Page, rules: dict[str, Any] | None = None) -> list[str]:
    """What axe-core finds wrong by these rules (all of WCAG 2.2 AA by default), a line each: rule, element, reason."""
    found: list[dict[str, Any]] = Axe().run(page, options=rules or RULES).response["violations"]
    return [f"{one['id']}: {node['target']}: {node['failureSummary']}" for one in found for node in one["nodes"]]


def assert_accessible(page: Page) -> None:
    """Fail with every violation that axe-core finds."""
    found = violations(page)
    assert not found, "\n".join(found)


def assert_fits(page: Page) -> None:
    """Fail when the page is wider than its window."""
    over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert over <= 0, f"{page.url} is {over} px wider than its window"
