"""The diary in a real browser: by keyboard alone, by touch, on a narrow screen, in two windows."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from annotate.intake.peaks import measure_peaks, write_peaks
from annotate.intake.sheet import write_sheet
from annotate.model import Suggestion
from tests.browser.conftest import Site, opened_page
from tests.browser.seed import Seeded, seed

WCAG = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


@pytest.fixture
def seeded(site: Site) -> Seeded:
    """The library of the test, filled."""
    return seed(site.library)


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """A page of 360 x 740 that is touched."""
    with opened_page(browser, viewport={"width": 360, "height": 740}, has_touch=True) as page:
        yield page


def opened(page: Page, site: Site, seeded: Seeded, query: str = "") -> None:
    """Open the first session's diary and wait until its scripts are there."""
    page.goto(site.at(f"/sessions/{seeded.first.id}{query}"))
    page.wait_for_selector("html[data-ready]")


def player_ms(page: Page) -> int:
    """Where the player stands."""
    return round(page.evaluate("document.querySelector('#player').currentTime") * 1000)


def violations(page: Page) -> list[str]:
    """What axe-core finds against WCAG 2.2 A and AA."""
    found = Axe().run(page, options=WCAG).response["violations"]
    return [f"{one['id']}: {[node['target'] for node in one['nodes']][:3]}" for one in found]


def test_a_tag_by_the_keyboard_alone(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.locator(".diary-time").first.focus()
    page.keyboard.press("ArrowDown")  # to the scraping at 0:02
    page.keyboard.press("Shift+ArrowDown")  # and the line after it
    page.keyboard.press("t")
    page.keyboard.type("wir")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("first w")
    page.keyboard.press("Enter")
    page.keyboard.press("Control+Enter")
    expect(page.locator("#tag-form")).to_be_hidden()
    expect(page.locator("#say")).to_contain_text("Tag saved.")
    tag = site.library.tags.of_recording(seeded.recording.id)[-1]
    added = next(t for t in site.library.tags.of_recording(seeded.recording.id) if t.step == "wires")
    assert (added.zones, added.start_ms, added.end_ms) == (("wire_1",), 2200, 6000)
    assert tag.recording_id == seeded.recording.id
    assert page.evaluate("document.activeElement.className").startswith("diary-time")


def test_begin_and_end_of_a_tag_where_the_player_is(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded, f"?recording={seeded.recording.id}&at=1000")
    page.keyboard.press("b")
    page.keyboard.press("ArrowRight")  # five seconds on, to 6.0 s
    page.wait_for_function("document.querySelector('#player').currentTime > 5")
    page.keyboard.press("e")
    expect(page.locator("[data-making]")).to_contain_text("Marked: 0:01 to 0:06")
    page.keyboard.press("Escape")
    expect(page.locator("[data-making]")).to_be_hidden()


def test_letters_are_text_in_a_field_and_can_be_switched_off(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.keyboard.press("t")
    page.locator("#tag-note").fill("")
    page.locator("#tag-note").press_sequentially("best crest?")
    assert page.locator("#tag-note").input_value() == "best crest?"
    expect(page.locator("#keys")).to_be_hidden()
    page.keyboard.press("Escape")
    page.keyboard.press("?")
    page.get_by_label("Single letters are keys here").uncheck()
    page.keyboard.press("Escape")
    page.keyboard.press("t")
    expect(page.locator("#tag-form")).to_be_hidden()


def test_touching_places_of_the_reed(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.get_by_role("button", name="Channels, left, wire-up blade").click()
    expect(page.locator("#tag-form")).to_be_visible()
    page.get_by_role("button", name="Channels, right, wire-up blade").click()
    assert page.locator("#tag-blade").input_value() == "up"
    assert page.locator("#tag-side").input_value() == "both"
    spot = page.get_by_role("button", name="Channels, right, wire-up blade")
    expect(spot).to_have_attribute("aria-pressed", "true")
    page.locator("#tag-step").fill("scrape")
    page.locator("#tag-step").press("Enter")
    page.get_by_role("button", name="Save", exact=True).locator("visible=true").click()
    expect(page.locator("#tag-form")).to_be_hidden()
    added = next(t for t in site.library.tags.of_recording(seeded.recording.id) if t.zones == ("channels",))
    assert (added.step, added.blade, added.side) == ("scrape", "up", "both")
    expect(page.locator('[data-key="channels-up-right"]')).not_to_have_attribute("data-level", "0")


def test_the_drawing_by_arrows_and_space(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.keyboard.press("z")
    assert page.evaluate("document.activeElement.dataset.key") == "whole-up"
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.dataset.key") == "tip-up"
    page.keyboard.press("ArrowRight")
    assert page.evaluate("document.activeElement.dataset.key") == "corners-up-right"
    page.keyboard.press(" ")
    expect(page.locator("#tag-form")).to_be_visible()
    expect(page.locator("[data-combo=zones] [data-picked]")).to_contain_text("Corners")


def test_undo_takes_a_new_tag_back_and_redo_brings_it_again(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.keyboard.press("t")
    page.keyboard.type("crow")
    page.keyboard.press("Enter")
    page.keyboard.press("Control+Enter")
    expect(page.locator(".is-tag")).to_have_count(4)
    page.keyboard.press("Control+z")
    expect(page.locator(".is-tag")).to_have_count(3)
    assert len(site.library.tags.of_recording(seeded.recording.id)) == 3
    page.keyboard.press("Control+Shift+z")
    expect(page.locator(".is-tag")).to_have_count(4)


def test_a_tag_is_changed_and_removed(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.get_by_role("button", name="Scrape").click()
    page.locator("#tag-note").fill("Twelve strokes.")
    page.keyboard.press("Control+Enter")
    expect(page.locator(".is-tag").filter(has_text="Scrape")).to_contain_text("Twelve strokes.")
    page.get_by_role("button", name="Scrape").click()
    page.locator("#tag-form [data-remove-card]").click()
    expect(page.locator(".is-tag")).to_have_count(2)
    assert [tag.step for tag in site.library.tags.of_recording(seeded.recording.id)] == ["play", "measure"]


def test_a_line_is_edited_in_place(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.locator(".diary-time").nth(1).focus()
    page.keyboard.press("l")
    field = page.locator(".diary-line-field")
    field.fill("So I take a little off the left rails.")
    field.press("Enter")
    expect(page.locator(".diary-text").nth(1)).to_have_text("So I take a little off the left rails.")
    line = site.library.lines.of_recording(seeded.recording.id)[1]
    assert line.text == "So I take a little off the left rails."
    assert line.heard_text == "So I take a little off the rails."
    assert line.words[-1].text == "rails."
    assert (line.words[-1].start_ms, line.words[-1].end_ms) == (3950, 4190)


def test_a_wrong_unit_gets_its_sentence(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.locator(".diary-time").nth(2).focus()
    page.keyboard.press("r")
    page.locator("#reading-quantity").select_option("thickness")
    page.locator("#reading-value").fill("3/16")
    page.locator("#reading-unit").fill("Hz")
    page.keyboard.press("Control+Enter")
    error = page.locator("#reading-form [data-form-error]")
    expect(error).to_have_text("“Hz” is not a unit of thickness. Use mm, cm, in or thou.")
    page.locator("#reading-unit").fill("in")
    page.locator("#reading-zone").select_option("back")
    page.locator("#reading-moisture").select_option("wet")
    page.keyboard.press("Control+Enter")
    expect(page.locator("#reading-form")).to_be_hidden()
    expect(page.locator(".is-reading").filter(has_text="Thickness")).to_contain_text("0.1875 in (4.76 mm)")


def test_a_correction_over_a_line(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.locator(".diary-time").nth(2).focus()
    page.keyboard.press("c")
    assert page.locator("#correction-said").input_value() == "Tip opening one point six millimetres."
    page.locator("#correction-right").fill("1.4 mm")
    page.keyboard.press("Control+Enter")
    expect(page.locator(".is-correction").filter(has_text="1.4 mm")).to_be_visible()


def test_a_lesson_begins_with_the_lines_of_a_stretch(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    line = page.locator(".diary-row[data-line]").first
    line.locator(".diary-time").click()
    page.get_by_role("button", name="Into a lesson").click()
    expect(page).to_have_url(site.at(f"/lessons/new?moments=line:{line_id(site, seeded)}#moments-title"))
    expect(page.locator("[name=moments]:checked")).to_have_count(1)


def line_id(site: Site, seeded: Seeded) -> int:
    """The first line of the session."""
    (recording, *_) = site.library.recordings.of_session(seeded.first.id)
    return site.library.lines.of_recording(recording.id)[0].id


def test_the_player_opens_at_the_moment_asked_for(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded, f"?recording={seeded.recording.id}&at=4500")
    page.wait_for_function("document.querySelector('#player').readyState >= 2")
    assert player_ms(page) == 4500
    assert page.locator(".diary-row[aria-current=true]").get_attribute("data-start") == "4300"


def test_a_click_on_a_word_plays_from_it(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    place = page.evaluate(
        """() => {
          const node = document.querySelectorAll('.diary-text')[2].firstChild;
          const range = document.createRange();
          range.setStart(node, node.data.indexOf('point') + 2);
          range.setEnd(node, node.data.indexOf('point') + 3);
          const box = range.getBoundingClientRect();
          return [box.left + box.width / 2, box.top + box.height / 2];
        }"""
    )
    page.evaluate("document.querySelector('#player').play = async () => {}")
    page.mouse.click(*place)
    page.wait_for_function("document.querySelector('#player').currentTime > 4")
    assert player_ms(page) == 5050  # the fourth word of the line that starts at 4300


def test_the_spoken_line_is_marked_while_it_plays(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded, f"?recording={seeded.recording.id}&at=1800")
    page.evaluate("document.querySelector('#player').muted = true")
    page.keyboard.press(" ")
    expect(page.locator(".diary-row[aria-current=true]")).to_have_attribute("data-start", "2200")
    expect(page.locator(".diary-row[aria-current=true]")).to_have_attribute("data-start", "4300")


def test_two_windows_never_overwrite_each_other(site: Site, seeded: Seeded, page: Page) -> None:
    other = page.context.new_page()
    for window in (page, other):
        opened(window, site, seeded)
        window.get_by_role("button", name="Scrape").click()
    page.locator("#tag-note").fill("From the first window.")
    page.keyboard.press("Control+Enter")
    expect(page.locator("#tag-form")).to_be_hidden()
    other.locator("#tag-note").fill("From the second window.")
    other.keyboard.press("Control+Enter")
    dialog = other.get_by_role("dialog", name="Changed in another window")
    expect(dialog).to_contain_text("From the first window.")
    expect(dialog).to_contain_text("From the second window.")
    assert site.library.tags.of_recording(seeded.recording.id)[1].note == "From the first window."
    dialog.get_by_role("button", name="Save mine instead").click()
    expect(other.locator("#tag-form")).to_be_hidden()
    assert site.library.tags.of_recording(seeded.recording.id)[1].note == "From the second window."
    expect(page.locator(".is-tag").filter(has_text="Scrape")).to_contain_text("From the second window.")


def both_edit_a_line(site: Site, seeded: Seeded, page: Page) -> Page:
    """A second window; in both the second line is being edited."""
    other = page.context.new_page()
    for window in (page, other):
        opened(window, site, seeded)
        window.locator(".diary-row").nth(1).get_by_role("link").focus()
        window.keyboard.press("l")
    return other


def test_two_windows_write_the_same_line(site: Site, seeded: Seeded, page: Page) -> None:
    other = both_edit_a_line(site, seeded, page)
    page.locator(".diary-line-field").fill("From the first window.")
    page.keyboard.press("Enter")
    expect(other.locator(".diary-row").nth(1)).not_to_have_attribute("data-version", "1")
    other.locator(".diary-line-field").fill("From the second window.")
    other.keyboard.press("Enter")
    dialog = other.get_by_role("dialog", name="Changed in another window")
    expect(dialog).to_contain_text("From the first window.")
    expect(dialog).to_contain_text("From the second window.")
    assert site.library.lines.of_recording(seeded.recording.id)[1].text == "From the first window."
    dialog.get_by_role("button", name="Save mine instead").click()
    expect(page.locator(".diary-row").nth(1)).to_contain_text("From the second window.")


def test_a_line_struck_out_elsewhere_leaves_what_is_being_written(site: Site, seeded: Seeded, page: Page) -> None:
    other = both_edit_a_line(site, seeded, page)
    page.locator(".diary-line-field").fill("Half a sentence")
    other.get_by_role("button", name="Strike the line out").click()
    expect(other.locator(".diary-text")).to_have_count(2)
    expect(page.locator(".diary-text")).to_have_count(3)
    expect(page.locator(".diary-line-field")).to_have_value("Half a sentence")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Decide later").click()
    expect(page.locator(".diary-line-field")).to_have_value("Half a sentence")
    page.get_by_role("button", name="Cancel").click()
    expect(page.locator(".diary-text")).to_have_count(2)


def test_the_arrows_go_on_from_a_line_that_was_clicked(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.locator(".diary-text").first.click()
    page.keyboard.press("ArrowDown")
    expect(page.locator(".diary-row").nth(1)).to_have_class(re.compile("is-active"))


def test_a_tag_without_a_step_shows_which_field_is_wanted(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.keyboard.press("t")
    page.keyboard.press("Control+Enter")
    expect(page.locator("#tag-step")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#tag-step")).to_be_focused()


def test_keeping_what_the_other_window_saved(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.get_by_role("button", name="Scrape").click()
    stored = site.library.tags.of_recording(seeded.recording.id)[1]
    site.library.tags.change(type(stored)(**{**vars(stored), "note": "Theirs."}))
    page.locator("#tag-note").fill("Mine.")
    page.keyboard.press("Control+Enter")
    page.get_by_role("button", name="Keep what is saved").click()
    expect(page.locator(".is-tag").filter(has_text="Scrape")).to_contain_text("Theirs.")


def test_the_head_is_edited_in_place(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, seeded)
    page.locator(".diary-head-tools [data-edit-head]").click()
    page.locator("#head-place").fill("Cellar")
    page.locator("#head-humidity").fill("44")
    page.locator("#head-form [type=submit]").click()
    expect(page.locator(".diary-head-shown")).to_contain_text("Cellar · 19.5 °C, 44% humidity")


def test_the_narrow_page_keeps_the_player_and_opens_the_drawing(site: Site, seeded: Seeded, phone: Page) -> None:
    opened(phone, site, seeded)
    assert phone.evaluate("document.documentElement.scrollWidth") == 360
    phone.evaluate("scrollTo(0, document.body.scrollHeight)")
    box = phone.locator(".diary-player").bounding_box()
    assert box is not None and box["y"] == 0
    expect(phone.locator("#diary-reed")).to_be_hidden()
    phone.locator(".diary-player [data-drawing-open]").tap()
    expect(phone.locator("#diary-reed")).to_be_visible()
    phone.locator('[data-key="heart-up"]').tap()
    expect(phone.locator("#tag-form")).to_be_visible()
    expect(phone.locator("[data-combo=zones] [data-picked]")).to_contain_text("Heart")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(site: Site, seeded: Seeded, page: Page, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    opened(page, site, seeded)
    assert violations(page) == []
    page.keyboard.press("t")
    page.keyboard.type("s")
    assert violations(page) == []
    page.keyboard.press("Escape")
    page.keyboard.press("Escape")
    page.keyboard.press("?")
    assert violations(page) == []


def test_axe_finds_nothing_on_the_narrow_page(site: Site, seeded: Seeded, phone: Page) -> None:
    opened(phone, site, seeded)
    phone.locator(".diary-player [data-drawing-open]").tap()
    assert violations(phone) == []


def test_without_scripts_lines_and_tags_can_be_read(browser: Browser, site: Site, seeded: Seeded) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(site.at(f"/sessions/{seeded.first.id}"))
    expect(page.locator("main")).to_contain_text("So I take a little off the rails.")
    expect(page.locator("main")).to_contain_text("A few strokes each side.")
    expect(page.locator("video")).to_be_visible()
    context.close()


def propose(site: Site, seeded: Seeded, count: int) -> None:
    """Propose tags on the first recording, every 400 ms."""
    content = {"step": "sand", "zones": ["back"], "blade": "down"}
    each = [
        Suggestion(seeded.recording.id, n * 400, n * 400 + 350, "tag", content, "a little sanding", "a rule", 0.9)
        for n in range(count)
    ]
    site.library.suggestions.propose(seeded.recording.id, each)


def test_ten_suggestions_are_accepted_with_one_key_each(site: Site, seeded: Seeded, page: Page) -> None:
    propose(site, seeded, 10)
    opened(page, site, seeded)
    expect(page.locator("[data-suggestions-count]")).to_have_text("10 suggestions")
    for left in range(9, -1, -1):
        page.keyboard.press("a")
        expect(page.locator(".is-suggestion")).to_have_count(left)
    expect(page.locator("[data-suggestions]")).to_be_hidden()
    assert [tag.step for tag in site.library.tags.of_recording(seeded.recording.id)].count("sand") == 10
    page.keyboard.press("Control+z")
    expect(page.locator(".is-suggestion")).to_have_count(1)
    expect(page.locator("[data-suggestions-count]")).to_have_text("1 suggestion")


def test_all_are_accepted_only_from_a_percentage(site: Site, seeded: Seeded, page: Page) -> None:
    propose(site, seeded, 3)
    opened(page, site, seeded)
    for typed, told in (("", "No percentage"), ("abc", "“abc” is not a percentage"), ("101", "“101” is not")):
        page.locator("[data-least]").fill(typed)
        page.get_by_role("button", name="Accept all of these").click()
        expect(page.locator("#warn")).to_contain_text(told)
        expect(page.locator("[data-least]")).to_be_focused()
    expect(page.locator(".is-suggestion")).to_have_count(3)


def test_a_suggestion_is_dismissed_or_changed(site: Site, seeded: Seeded, page: Page) -> None:
    propose(site, seeded, 2)
    opened(page, site, seeded)
    page.keyboard.press("d")
    expect(page.locator(".is-suggestion")).to_have_count(1)
    page.locator("[data-change]").click()
    page.locator("#tag-step").fill("scrape")
    page.keyboard.press("Enter")
    page.keyboard.press("Control+Enter")
    expect(page.locator(".is-suggestion")).to_have_count(0)
    tag = next(t for t in site.library.tags.of_recording(seeded.recording.id) if t.zones == ("back",))
    assert (tag.step, tag.blade) == ("scrape", "down")
    assert [one.state for one in site.library.suggestions.all()] == ["dismissed", "accepted"]


def test_axe_finds_nothing_on_suggestions(site: Site, seeded: Seeded, page: Page) -> None:
    propose(site, seeded, 3)
    opened(page, site, seeded)
    assert violations(page) == []


def test_waveform_and_stills_stand_at_the_rows(site: Site, seeded: Seeded, page: Page) -> None:
    library, recording = site.library, seeded.recording
    path = library.recordings.file(recording)
    write_peaks(measure_peaks(path, recording.probe), library.path("peaks/a.peaks"))
    write_sheet(path, recording.probe, library.path("sheets/a.jpg"))
    library.recordings.note_made(recording.id, peaks_path="peaks/a.peaks", sheet_path="sheets/a.jpg")
    opened(page, site, seeded)
    expect(page.locator(".diary-still")).not_to_have_count(0)
    assert page.locator(".diary-still").first.get_attribute("aria-label").startswith("Still at 0:0")  # type: ignore[union-attr]
    painted = """() => {
      const canvas = document.querySelector('.diary-edge');
      const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width / 2, canvas.height);
      return data.some((value) => value > 0);
    }"""
    page.wait_for_function(painted)
    assert violations(page) == []
