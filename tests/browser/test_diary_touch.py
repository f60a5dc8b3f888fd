"""The diary by touch on a narrow page, forms that hold the page still, and how few presses a session needs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from annotate.model import CardShown, Line, Sound, Suggestion
from annotate.work.suggesting import suggest
from tests.browser.conftest import Site, opened_page
from tests.browser.looks import assert_accessible
from tests.browser.seed import Seeded, seed

PHONE = {"width": 360, "height": 740}


@pytest.fixture
def seeded(site: Site) -> Seeded:
    """The library of the test, filled."""
    return seed(site.library)


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """A page of 360 x 740 that is touched."""
    with opened_page(browser, viewport=PHONE, has_touch=True) as page:
        yield page


def opened(page: Page, site: Site, seeded: Seeded) -> None:
    """Open the first session's diary and wait until its scripts are there."""
    page.goto(site.at(f"/sessions/{seeded.first.id}"))
    page.wait_for_selector("html[data-ready]")


def is_on_top(element: Locator) -> bool:
    """Whether the middle of an element is in view and nothing lies over it."""
    found = element.evaluate(
        """one => {
            const box = one.getBoundingClientRect();
            const top = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
            return top !== null && one.contains(top);
        }"""
    )
    return bool(found)


def test_the_stretch_is_marked_and_tagged_by_touch_far_down(site: Site, seeded: Seeded, phone: Page) -> None:
    opened(phone, site, seeded)
    phone.locator(".diary-time").last.focus()
    phone.keyboard.press("ArrowUp")
    phone.locator('[data-do="from-here"]').tap()
    tag_it = phone.locator('[data-making] [data-do="tag"]')
    assert is_on_top(tag_it)
    tag_it.tap()
    save = phone.locator("#tag-form [type=submit]")
    assert is_on_top(save)
    phone.locator("#tag-step").fill("scrape")
    phone.locator('#tag-form [role="option"]').first.tap()
    save.tap()
    expect(phone.locator("#tag-form")).to_be_hidden()
    expect(phone.locator("#say")).to_contain_text("Tag saved.")


def test_a_line_is_edited_by_touch(site: Site, seeded: Seeded, phone: Page) -> None:
    opened(phone, site, seeded)
    line = phone.locator(".diary-row[data-line]").first
    line.locator(".diary-time").focus()
    phone.locator('[data-do="more"]').tap()
    phone.locator('[data-do="edit-line"]').tap()
    save = phone.locator(".diary-line-edit").get_by_role("button", name="Save")
    assert is_on_top(save)
    assert is_on_top(phone.locator(".diary-line-field"))
    phone.locator(".diary-line-field").fill("An invented line, written anew.")
    save.tap()
    expect(line.locator(".diary-text")).to_have_text("An invented line, written anew.")


def test_a_line_is_struck_out_by_touch(site: Site, seeded: Seeded, phone: Page) -> None:
    opened(phone, site, seeded)
    lines = phone.locator(".diary-row[data-line]")
    before, words = lines.count(), lines.first.locator(".diary-text").inner_text()
    lines.first.locator(".diary-time").focus()
    phone.locator('[data-do="more"]').tap()
    phone.locator('[data-do="edit-line"]').tap()
    out = phone.locator(".diary-line-edit").get_by_role("button", name="Strike the line out")
    assert is_on_top(out)
    out.tap()
    expect(lines).to_have_count(before - 1)
    phone.locator("#say").get_by_role("button", name="Undo").tap()
    expect(lines).to_have_count(before)
    expect(lines.first.locator(".diary-text")).to_have_text(words)


def test_typing_after_a_choice_is_a_new_search(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.keyboard.press("t")
    page.keyboard.type("insp")
    page.keyboard.press("Enter")
    page.keyboard.type("scrap")
    expect(page.locator("#tag-step")).to_have_value("scrap")
    page.keyboard.press("Control+Enter")
    expect(page.locator("#tag-form")).to_be_hidden()
    assert "scrape" in {tag.step for tag in site.library.tags.of_recording(seeded.recording.id)}


def test_the_whole_card_opens(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    card = page.locator(".diary-card.is-tag").first
    box = card.bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + box["width"] - 12, box["y"] + box["height"] - 5)
    expect(page.locator("#tag-form")).to_be_visible()


def test_an_open_form_leaves_its_line_in_view_and_the_page_still(site: Site, seeded: Seeded, phone: Page) -> None:
    opened(phone, site, seeded)
    row = phone.locator(".diary-row").nth(1)
    row.locator(".diary-time").focus()
    phone.locator('[data-do="from-here"]').tap()
    phone.locator('[data-making] [data-do="tag"]').tap()
    assert is_on_top(row.locator(".diary-text, .diary-heard").first)
    stands = phone.evaluate("scrollY")
    played_on = """() => new Promise(done => {
        const player = document.querySelector('#player');
        player.addEventListener('timeupdate', () => player.currentTime > 5 && done());
        player.play();
    })"""
    phone.evaluate(played_on)  # by now the rows below are spoken
    assert phone.evaluate("scrollY") == stands
    phone.locator("#tag-form [data-close]").tap()
    expect(phone.locator("#tag-form")).to_be_hidden()


def test_nothing_that_is_said_lies_over_save(site: Site, seeded: Seeded, phone: Page) -> None:
    opened(phone, site, seeded)
    card = phone.locator(".diary-card.is-tag [data-open]").first
    card.tap()
    phone.locator("#tag-note").fill("An invented note.")
    phone.locator("#tag-form [type=submit]").tap()
    expect(phone.locator("#say")).to_contain_text("Tag saved.")
    card.tap()
    expect(phone.locator("#say .notice")).to_be_visible()
    assert is_on_top(phone.locator("#tag-form [type=submit]"))
    assert phone.locator("#tag-form").evaluate("form => form.scrollTop") == 0


def test_a_button_of_a_row_not_in_hand_is_pressed_at_the_first_touch(site: Site, seeded: Seeded, phone: Page) -> None:
    """The row's own tools come with the press; they must not push the button away from under the finger."""
    content = {"step": "sand", "zones": ["back"], "blade": None, "side": None, "symptoms": [], "reed": None}
    one = Suggestion(seeded.recording.id, 300, 5000, "tag", content, "I sand the back.", "said", 0.9)
    site.library.suggestions.propose(seeded.recording.id, [one])
    opened(phone, site, seeded)
    phone.locator(".diary-time").last.focus()
    phone.get_by_role("button", name="Accept", exact=True).tap()
    expect(phone.locator("#say")).to_contain_text("Accepted.")
    card = phone.locator(".diary-card.is-tag", has_text="Sand")
    phone.locator(".diary-time").last.focus()
    card.get_by_role("button").tap()
    expect(phone.locator("#tag-form")).to_be_visible()
    expect(phone.locator("#tag-step")).to_have_value("Sand")


def test_the_bar_of_the_stretch_is_one_line_high(site: Site, seeded: Seeded, phone: Page) -> None:
    opened(phone, site, seeded)
    phone.locator(".diary-time").first.focus()
    phone.locator('[data-do="from-here"]').tap()
    phone.locator('[data-do="to-here"]').tap()
    tops = phone.locator("[data-making] button").evaluate_all("all => all.map(one => one.getBoundingClientRect().top)")
    assert len(tops) == 3 and len(set(tops)) == 1


def test_hear_it_now_puts_a_recording_into_the_queue(site: Site, seeded: Seeded, phone: Page) -> None:
    third = site.library.sessions.all()[-1]
    phone.goto(site.at(f"/sessions/{third.id}"))
    phone.wait_for_selector("html[data-ready]")
    phone.get_by_role("button", name="Hear it now").tap()
    expect(phone.locator("#say")).to_contain_text("It will be heard")
    expect(phone.locator(".diary-work-line")).to_contain_text("Listening: waiting for its turn")
    jobs = [(job.kind, job.subject) for job in site.library.jobs.all()]
    assert jobs == [("listen", {"recording_id": site.library.recordings.of_session(third.id)[0].id})]


def test_from_the_open_session_to_accepted_tags_in_five_presses(site: Site, seeded: Seeded, phone: Page) -> None:
    """Bar of the project: under ten key presses or touches after the machine's part is done."""
    recording = seeded.recording
    site.library.lines.hear(recording.id, [Line(recording.id, 20_000, 24_000, "I scrape the left rail.")])
    site.library.recordings.hear(recording.id, [(Sound(20_000, 24_000, "speech"), {})])
    made = suggest(site.library, recording)
    assert [one.kind for one in made] == ["tag"]
    before = len(site.library.tags.of_recording(recording.id))
    least = phone.locator("[data-least]")
    phone.goto(site.at("/"))
    presses: tuple[Callable[[], object], ...] = (
        phone.locator(f'a[href^="/sessions/{seeded.first.id}"]').first.tap,
        least.tap,
        lambda: least.press("Control+A"),
        lambda: least.press("0"),
        phone.get_by_role("button", name="Accept all of these").tap,
    )
    for press in presses:
        press()
        phone.wait_for_load_state("networkidle")
    expect(phone.locator("#say")).to_contain_text("accepted")
    assert len(site.library.tags.of_recording(recording.id)) == before + 1
    assert len(presses) < 10


def test_refused_times_are_marked_and_in_view(site: Site, seeded: Seeded, phone: Page) -> None:
    opened(phone, site, seeded)
    phone.locator(".diary-time").nth(1).focus()
    phone.keyboard.press("t")
    form = phone.locator("#tag-form")
    form.get_by_label("From", exact=True).fill("0:05")
    form.get_by_label("To", exact=True).fill("0:02")
    form.locator("#tag-step").fill("scrape")
    form.get_by_label("Note").scroll_into_view_if_needed()
    form.get_by_role("button", name="Save").tap()
    said = form.get_by_role("alert")
    expect(said).to_have_text("“0:05.0 to 0:02.0” ends before it starts. Give an end after the start.")
    for name in ("From", "To"):
        field = form.get_by_label(name, exact=True)
        expect(field).to_have_attribute("aria-invalid", "true")
        assert field.get_attribute("aria-describedby") == said.get_attribute("id")
        assert is_on_top(field)
    assert is_on_top(said)
    expect(form.get_by_label("To", exact=True)).to_be_focused()
    form.get_by_label("To", exact=True).fill("9:59")
    expect(said).to_be_hidden()
    form.get_by_role("button", name="Save").tap()
    expect(said).to_contain_text("lies past the end of the recording")
    assert [field.get_attribute("name") for field in form.locator("[aria-invalid=true]").all()] == ["end_ms"]
    assert is_on_top(said)


def test_a_card_that_was_seen_is_set_in_one_press(site: Site, seeded: Seeded, page: Page) -> None:
    library, recording = site.library, seeded.recording
    bare = library.recordings.change(replace(recording, reed_id=None))
    job = library.jobs.put("prepare", {"recording_id": recording.id})
    opened(page, site, seeded)
    expect(page.locator(".diary-work-line")).to_contain_text("Preparing: waiting")
    library.recordings.see_cards(recording.id, [CardShown(2000, 3000, "B14")])
    library.jobs.claim("test", ("prepare",))
    library.jobs.finish(job.id, "test", {})
    page.get_by_role("button", name="Set B14 as the reed in hand of bench 1.mp4").click()
    expect(page.locator("#say")).to_contain_text("bench 1.mp4 is saved.")
    expect(page.locator(".diary-card-seen")).to_have_count(0)
    assert library.recordings.get(recording.id).reed_id == seeded.bassoon.id
    page.locator("#say").get_by_role("button", name="Undo").click()
    expect(page.locator(".diary-card-seen")).to_contain_text("Card B14 seen at 0:02")
    assert library.recordings.get(recording.id).reed_id == bare.reed_id
    assert_accessible(page)
