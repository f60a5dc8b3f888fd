"""Every page, light and dark, wide and narrow: axe-core finds nothing, and nothing sticks out."""

from __future__ import annotations

from typing import Literal

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import Site, watch_page
from tests.browser.looks import CONTRAST, violations
from tests.browser.seed import seed

# A lesson's page is ready when its clips are there; the others when they are loaded.
READY = """() => !document.querySelector('[data-lesson]') || document.querySelector('[data-clip]')"""
SIZES = {"wide": (1280, 900), "tablet": (820, 1180), "phone": (360, 740)}


def addresses(site: Site) -> list[str]:
    """Every page of a seeded library, with work in each state."""
    seeded = seed(site.library)
    jobs = site.library.jobs
    running = jobs.put("listen", {"recording_id": seeded.recording.id})
    jobs.claim("test", ["listen"])
    jobs.report(running.id, "test", 0.4, "recognising speech")
    failed = jobs.put("prepare", {"recording_id": seeded.later.id})
    jobs.cancel(failed.id)
    return [
        "/",
        f"/sessions/{seeded.first.id}/about",
        "/reeds",
        f"/reeds/{seeded.bassoon.id}",
        f"/reeds/{seeded.oboe.id}",
        "/find",
        "/find?text=flat",
        "/lessons",
        f"/lessons/new?reed={seeded.bassoon.id}",
        f"/lessons/{seeded.lesson.id}",
        f"/recordings/{seeded.recording.id}/whole",
        f"/recordings/{seeded.later.id}/whole",
        "/work",
        "/settings",
        "/nothing-here",
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_is_accessible_and_fits(browser: Browser, site: Site, scheme: Literal["light", "dark"]) -> None:
    """All rules in a wide window when light and in a narrow one when dark; contrast in the other two."""
    context = browser.new_context(color_scheme=scheme, reduced_motion="reduce")
    found = []
    for address in addresses(site):
        page = context.new_page()
        seen = watch_page(page)
        page.goto(site.at(address), wait_until="load")
        page.wait_for_function(READY)
        page.evaluate("() => document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        for size, (width, height) in SIZES.items():
            page.set_viewport_size({"width": width, "height": height})
            over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            found += [f"{address}, {size}: {over} px too wide"] if over > 0 else []
            if size != "tablet":
                rules = None if (size, scheme) in (("wide", "light"), ("phone", "dark")) else CONTRAST
                found += [f"{address}, {size}: {text}" for text in violations(page, rules)]
        found += [f"{address}: asked {url}" for url in seen.foreign] + [f"{address}: {text}" for text in seen.problems]
        page.close()
    context.close()
    assert not found, "\n".join(found)


def test_the_checker_sees_a_fault(page: Page, site: Site) -> None:
    page.goto(site.at("/settings"))
    page.evaluate("document.querySelector('main').append(document.createElement('input'))")
    assert [text.split(":")[0] for text in violations(page)] == ["label"]


def test_the_keyboard_reaches_the_content_first(page: Page, site: Site) -> None:
    page.goto(site.at("/"))
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the content"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
