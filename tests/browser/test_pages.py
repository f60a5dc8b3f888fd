"""Sessions, reeds, find and work in a real browser: forms, undo, two windows, keeping up to date."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

from annotate.errors import ToolFailed
from annotate.model import Reed
from tests.browser.conftest import Site, opened_page, watch_page
from tests.browser.seed import seed


def test_a_reed_is_added_with_the_keyboard_and_undone(page: Page, site: Site) -> None:
    page.goto(site.at("/reeds"))
    page.get_by_label("Your id for it").focus()
    page.keyboard.type("B20")
    page.keyboard.press("Enter")
    page.wait_for_url("**/reeds/1")
    expect(page.get_by_role("heading", level=1)).to_have_text("Reed B20")
    expect(page.get_by_role("status").get_by_text("Reed B20 is in the library.")).to_be_visible()
    page.get_by_role("button", name="Remove reed").click()
    page.wait_for_url("**/reeds")
    expect(page.get_by_text("No reed yet.")).to_be_visible()
    page.locator("#say").get_by_role("button", name="Undo").click()
    expect(page.get_by_role("link", name="B20")).to_be_visible()
    expect(page.locator("#say")).to_contain_text("Taken back: removed reed B20.")


def test_a_refusal_is_said_at_the_form_and_keeps_what_was_typed(page: Page, site: Site) -> None:
    seed(site.library)
    page.goto(site.at("/reeds"))
    page.get_by_label("Your id for it").fill("B14")
    page.get_by_label("Note", exact=True).fill("long thoughts")
    page.get_by_role("button", name="Add reed").click()
    problem = page.locator("[data-form-error]")
    expect(problem).to_have_text("“B14” is the id of another reed. Choose another id.")
    expect(problem).to_be_focused()
    expect(page.get_by_label("Note", exact=True)).to_have_value("long thoughts")


def test_two_windows_never_overwrite_each_other(browser: Browser, page: Page, site: Site) -> None:
    seeded = seed(site.library)
    address = site.at(f"/reeds/{seeded.bassoon.id}")
    other = browser.new_page()
    seen = watch_page(other)
    for window in (page, other):
        window.goto(address)
    page.get_by_label("Note", exact=True).fill("from the first window")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#say")).to_contain_text("Reed B14 is saved.")
    other.get_by_label("Note", exact=True).fill("from the second window")
    other.get_by_role("button", name="Save").click()
    dialog = other.get_by_role("dialog", name="Changed in another window")
    expect(dialog).to_be_visible()
    expect(dialog.get_by_role("row", name="note")).to_have_text("notefrom the first windowfrom the second window")
    assert site.library.reeds.get(seeded.bassoon.id).note == "from the first window"
    dialog.get_by_role("button", name="Save mine instead").click()
    expect(other.locator("#say")).to_contain_text("Reed B14 is saved.")
    assert site.library.reeds.get(seeded.bassoon.id).note == "from the second window"
    other.close()
    assert seen.foreign == [] and seen.problems == []


def test_a_find_leads_to_a_lesson(page: Page, site: Site) -> None:
    seed(site.library)
    page.goto(site.at("/find"))
    page.get_by_label("Words said or written").fill("rails")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=2)).to_have_text("3 moments for “rails”.")
    assert {text.lower() for text in page.locator("mark").all_inner_texts()} == {"rails"}
    page.locator(".choose").first.check()
    page.get_by_role("button", name="Make a lesson of 1 chosen").click()
    page.wait_for_url("**/lessons/new?moments=*")
    page.get_by_label("Title").fill("The rails")
    page.get_by_role("button", name="Make the lesson").click()
    page.wait_for_url("**/lessons/2")
    expect(page.locator("[data-clip]")).to_have_count(1)


def test_the_work_page_keeps_up_with_the_work(page: Page, site: Site) -> None:
    seeded = seed(site.library)
    jobs = site.library.jobs
    job = jobs.put("listen", {"recording_id": seeded.recording.id})
    page.goto(site.at("/work"))
    row = page.locator(f'[data-job="{job.id}"]')
    expect(row).to_contain_text("waiting")
    jobs.claim("test", ["listen"])
    jobs.report(job.id, "test", 0.37, "recognising speech")
    expect(row).to_contain_text("running, 37 %")
    expect(row.get_by_role("progressbar")).to_have_js_property("value", 0.37)
    jobs.fail(job.id, "test", ToolFailed("could not be decoded", "bench 1.mp4", "Look at the file."))
    expect(row).to_contain_text("“bench 1.mp4” could not be decoded. Look at the file.")
    expect(page.locator("[data-work-said]")).to_contain_text("failed")
    row.get_by_role("button", name="Retry").click()
    expect(row).to_contain_text("waiting")
    row.get_by_role("button", name="Cancel").click()
    expect(row).to_contain_text("cancelled")
    jobs.put("prepare", {"recording_id": seeded.later.id})
    expect(page.locator("[data-job]")).to_have_count(2)
    expect(page.locator("[data-work-count]")).to_have_text("1", timeout=20_000)


def test_an_old_page_says_that_it_is_old(page: Page, site: Site) -> None:
    """A page of an earlier run of the program has another token."""
    page.goto(site.at("/reeds"))
    page.evaluate("document.querySelector('meta[name=page-token]').content = 'of an earlier run'")
    page.get_by_label("Your id for it").fill("B20")
    page.get_by_role("button", name="Add reed").click()
    expect(page.locator("[data-form-error]")).to_contain_text("Load the page again")
    assert site.library.reeds.all() == []


def test_the_work_page_says_when_the_program_is_gone(page: Page, site: Site) -> None:
    seeded = seed(site.library)
    job = site.library.jobs.put("listen", {"recording_id": seeded.recording.id})
    site.library.jobs.claim("test", ["listen"])
    page.goto(site.at("/work"))
    row = page.locator(f'[data-job="{job.id}"]')
    expect(row).to_contain_text("running, 0 %")
    page.route("**/api/work*", lambda route: route.fulfill(status=502, body=""))
    expect(page.get_by_text("The program does not answer")).to_be_visible()
    expect(row).to_contain_text("not known")
    expect(row.get_by_role("progressbar")).to_be_hidden()
    page.unroute("**/api/work*")
    expect(row).to_contain_text("running, 0 %")
    expect(page.get_by_text("The program does not answer")).to_be_hidden()


def test_a_table_that_is_too_wide_stands_as_stacked_rows(browser: Browser, page: Page, site: Site) -> None:
    seeded = seed(site.library)
    page.goto(site.at(f"/reeds/{seeded.bassoon.id}"))
    expect(page.locator("#readings .table-wrap").first).to_be_visible()
    expect(page.locator(".is-stacked")).to_have_count(0)
    with opened_page(browser, viewport={"width": 360, "height": 740}) as phone:
        phone.goto(site.at(f"/reeds/{seeded.bassoon.id}"))
        phone.get_by_role("heading", name="Readings over time").click()
        expect(phone.locator("#readings .is-stacked").first).to_be_visible()
        phone.locator("#readings .is-stacked").first.scroll_into_view_if_needed()
        beyond = "[...document.querySelectorAll('.table-wrap')].filter((wrap) => wrap.scrollWidth > wrap.clientWidth)"
        assert phone.evaluate(f"{beyond}.length") == 0
        phone.reload()
        expect(phone.locator("#readings .is-stacked").first).to_be_visible()  # what was opened by hand stays open
        phone.set_viewport_size({"width": 1280, "height": 740})
        expect(phone.locator(".is-stacked")).to_have_count(0)


@pytest.mark.parametrize(("width", "name"), [(1280, "B20"), (360, "The one of dense cane " * 5)])
def test_what_is_said_can_be_scrolled_clear_of_and_closed(page: Page, site: Site, width: int, name: str) -> None:
    site.library.reeds.add(Reed(name))
    page.set_viewport_size({"width": width, "height": 500})
    page.goto(site.at("/reeds/1"))
    if width < 768:
        page.get_by_role("heading", name="About this reed").click()  # folded on a narrow page
    page.get_by_role("button", name="Remove reed").click()
    page.wait_for_url("**/reeds")
    notice = page.locator("#say .notice")
    expect(notice).to_contain_text("Undo")
    add = page.get_by_role("button", name="Add reed")
    page.keyboard.press("End")
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    foot, top = add.bounding_box(), notice.bounding_box()
    assert foot and top and foot["y"] + foot["height"] <= top["y"]
    notice.get_by_role("button", name="Close").click()
    expect(notice).to_have_count(0)


def test_long_pages_stand_folded_when_narrow(browser: Browser, page: Page, site: Site) -> None:
    seeded = seed(site.library)
    paths = (f"/reeds/{seeded.bassoon.id}", f"/lessons/{seeded.lesson.id}")
    with opened_page(browser, viewport={"width": 360, "height": 740}) as phone:
        for path in paths:
            page.goto(site.at(path))
            expect(page.locator("details[data-fold]:not([open])")).to_have_count(0)
            phone.goto(site.at(path))
            phone.wait_for_load_state("networkidle")
            expect(phone.locator("details[data-fold][open]")).to_have_count(0)
        phone.get_by_role("link", name="How it is shown").click()
        expect(phone.get_by_label("Long scraping runs").first).to_be_visible()
        phone.goto(site.at(f"{paths[0]}#readings"))
        expect(phone.locator("#readings .table").first).to_be_visible()


def test_what_was_found_stands_in_sight_when_narrow(browser: Browser, site: Site) -> None:
    seed(site.library)
    with opened_page(browser, viewport={"width": 360, "height": 740}) as phone:
        phone.goto(site.at("/find"))
        phone.get_by_label("Symptom").select_option(label="Flat")
        phone.get_by_role("button", name="Find").click()
        expect(phone.get_by_role("heading", name="for flat.")).to_be_in_viewport()
        expect(phone.get_by_label("Symptom")).to_be_hidden()
        phone.goto(site.at("/find?since=2026-03-40"))
        expect(phone.get_by_label("From day")).to_be_visible()
