"""The page of a lesson: ordered, trimmed, previewed, exported."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Locator, Page, expect

from annotate.library.store import Library
from annotate.work.engine import Engine
from tests.browser.conftest import Site
from tests.browser.looks import assert_accessible
from tests.browser.seed import Seeded, seed


def opened(page: Page, site: Site) -> Seeded:
    """The seeded lesson's page."""
    seeded = seed(site.library)
    page.goto(site.at(f"/lessons/{seeded.lesson.id}"))
    expect(page.locator("[data-clip]")).to_have_count(2)
    return seeded


def titles(site: Site) -> list[str]:
    """The stored clips' titles."""
    return [clip.title for clip in site.library.lessons.get(1).clips]


def test_order_by_keyboard(page: Page, site: Site) -> None:
    opened(page, site)
    button = page.locator("[data-clip]").nth(1).locator("[data-act=up]")
    button.focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-clip]").first.locator("[data-field=title]")).to_have_value("Scrape: back, channels")
    assert titles(site) == ["Scrape: back, channels", "Scrape: rails"]
    expect(page.locator("#say")).to_contain_text("Clip 2 is now clip 1.")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "Earlier, clip 1"


def test_trim_by_frames_seconds_and_typing(page: Page, site: Site) -> None:
    opened(page, site)
    clip = page.locator("[data-clip]").first
    clip.get_by_role("button", name="+1 frame, clip 1, start").click()
    expect(clip.locator("[data-field=start]")).to_have_value("0:02.033")
    clip.get_by_role("button", name="−1 frame, clip 1, start").click()
    expect(clip.locator("[data-field=start]")).to_have_value("0:02.000")
    clip.get_by_role("button", name="+1 s, clip 1, end").click()
    expect(clip.locator("[data-field=end]")).to_have_value("0:05.200")
    clip.locator("[data-field=end]").fill("4.5")
    clip.locator("[data-field=end]").press("Tab")
    expect(clip.locator("[data-field=end]")).to_have_value("0:04.500")
    stored = site.library.lessons.get(1).clips[0]
    assert (stored.start_ms, stored.end_ms) == (2000, 4500)
    expect(page.locator("#say")).to_contain_text("Clip 1 now runs from 0:02.000 to 0:04.500.")
    trim(clip, "end", "soon")
    expect(fault(clip, "end")).to_have_text("“soon” is not a time. Write for example 1:23.4.")
    expect(clip.locator("[data-field=end]")).to_have_value("soon")


def trim(clip: Locator, edge: str, text: str) -> None:
    """Type a time at an edge of a clip and go on."""
    clip.locator(f"[data-field={edge}]").fill(text)
    clip.locator(f"[data-field={edge}]").press("Tab")


def fault(clip: Locator, edge: str) -> Locator:
    """The sentence beside an edge."""
    return clip.locator(f"[data-edge={edge}] [data-fault-text]")


def test_a_refused_trim_is_told_beside_its_field_and_keeps_what_was_typed(page: Page, site: Site) -> None:
    """Clip 1 runs from 2.0 to 4.2 s of a recording of 6.0 s."""
    opened(page, site)
    clip = page.locator("[data-clip]").first
    end = clip.locator("[data-field=end]")
    trim(clip, "end", "1")
    expect(fault(clip, "end")).to_have_text("The clip starts at 0:02.000. End after that, or move its start as well.")
    expect(end).to_have_value("1")
    expect(end).to_have_attribute("aria-invalid", "true")
    expect(end).to_have_accessible_description(
        "The clip starts at 0:02.000. End after that, or move its start as well."
    )
    assert_accessible(page)
    trim(clip, "end", "7")
    expect(fault(clip, "end")).to_contain_text("The recording ends at 0:06.0")
    clip.get_by_role("button", name="Put 0:04.200 back").click()
    expect(end).to_have_value("0:04.200")
    expect(end).to_be_focused()
    expect(fault(clip, "end")).to_be_hidden()
    assert end.get_attribute("aria-invalid") is None
    trim(clip, "end", "1.5")
    end.press("Escape")
    expect(end).to_have_value("0:04.200")
    assert site.library.lessons.get(1).version == 1


def test_a_clip_is_moved_past_where_it_was(page: Page, site: Site) -> None:
    """The start alone would lie after the end: both fields are saved together when they fit."""
    opened(page, site)
    clip = page.locator("[data-clip]").first
    trim(clip, "start", "4.5")
    expect(fault(clip, "start")).to_have_text("The clip ends at 0:04.200. Start before that, or move its end as well.")
    trim(clip, "end", "5.5")
    expect(clip.locator("[data-field=end]")).to_have_value("0:05.500")
    expect(clip.locator("[data-field=start]")).to_have_value("0:04.500")
    expect(clip.locator("[data-fault]:visible")).to_have_count(0)
    stored = site.library.lessons.get(1).clips[0]
    assert (stored.start_ms, stored.end_ms) == (4500, 5500)


def test_what_was_typed_goes_with_its_clip(page: Page, site: Site) -> None:
    opened(page, site)
    trim(page.locator("[data-clip]").first, "end", "1")
    page.get_by_role("button", name="Later, clip 1").click()
    second = page.locator("[data-clip]").nth(1)
    expect(second.locator("[data-field=title]")).to_have_value("Scrape: rails")
    expect(second.locator("[data-field=end]")).to_have_value("1")
    expect(fault(second, "end")).to_be_visible()
    expect(page.locator("[data-clip]").first.locator("[data-field=end]")).to_have_value("0:03.000")


def test_quick_presses_all_count(page: Page, site: Site) -> None:
    opened(page, site)
    clip = page.locator("[data-clip]").first
    page.evaluate(
        """() => {
          const button = document.querySelector('[data-edge=start] [data-step=frame]');
          for (let n = 0; n < 6; n += 1) button.click();
        }"""
    )
    expect(clip.locator("[data-field=start]")).to_have_value("0:02.200")
    assert site.library.lessons.get(1).clips[0].start_ms == 2200


def test_trim_on_words_and_sounds(page: Page, site: Site) -> None:
    """The scrape is heard from 2.0 to 4.2 s; the line's words begin at 2.2, 2.45 ... and end 0.24 s later."""
    opened(page, site)
    clip = page.locator("[data-clip]").first
    clip.get_by_role("button", name="Word or sound after, clip 1, start").click()
    expect(clip.locator("[data-field=start]")).to_have_value("0:02.200")
    clip.get_by_role("button", name="Word or sound after, clip 1, start").click()
    expect(clip.locator("[data-field=start]")).to_have_value("0:02.450")
    clip.get_by_role("button", name="Word or sound before, clip 1, end").click()
    expect(clip.locator("[data-field=end]")).to_have_value("0:04.190")
    clip.get_by_role("button", name="Word or sound after, clip 1, end").click()
    expect(clip.locator("[data-field=end]")).to_have_value("0:04.200")


def test_an_overlap_is_refused_in_a_sentence(page: Page, site: Site) -> None:
    seeded = opened(page, site)
    page.goto(site.at("/lessons/new?moments=tag:3"))
    page.get_by_label("Put them into").select_option(label="Bringing a flat reed up")
    page.get_by_role("button", name="Add 1 clip to the lesson").click()
    page.wait_for_url(f"**/lessons/{seeded.lesson.id}")
    expect(page.locator("[data-clip]")).to_have_count(3)
    third = page.locator("[data-clip]").nth(2)
    expect(third.locator("[data-field=start]")).to_have_value("0:04.200")
    third.get_by_role("button", name="−1 frame, clip 3, start").click()
    expect(fault(third, "start")).to_have_text(
        "Clip 1 shows 0:02.000 to 0:04.200 of the same recording. Start at 0:04.200 or later."
    )
    expect(third.locator("[data-field=start]")).to_have_value("0:04.200")
    assert site.library.lessons.get(1).clips[2].start_ms == 4200


def test_the_panel_that_plays_never_lies_over_anything_else(page: Page, site: Site) -> None:
    """Wherever the page is scrolled to, at every width that has it beside the clips."""
    opened(page, site)
    for width, height in ((1600, 700), (1280, 900), (1280, 500), (900, 700), (800, 700), (360, 740)):
        page.set_viewport_size({"width": width, "height": height})
        over = page.evaluate(
            """() => {
              const box = (selector) => document.querySelector(selector).getBoundingClientRect();
              const found = [];
              for (let y = 0; y < document.documentElement.scrollHeight; y += 100) {
                window.scrollTo(0, y);
                const one = box('[data-preview]');
                for (const selector of ['#exported', 'form[data-frame]', '.lesson-clips', '.page-head']) {
                  const two = box(selector);
                  const isBeside = one.right <= two.left || two.right <= one.left;
                  if (!isBeside && one.bottom > two.top && two.bottom > one.top) found.push([selector, y]);
                }
              }
              return found;
            }"""
        )
        assert over == [], f"{width} x {height}"


def test_clips_are_added_to_the_lesson_one_comes_from(page: Page, site: Site) -> None:
    seeded = opened(page, site)
    page.get_by_role("link", name="Add clips").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Add to “Bringing a flat reed up”")
    page.get_by_label("Session").select_option(label="First scrape, 2 March 2026")
    page.get_by_role("button", name="Show moments").click()
    expect(page.locator(".hit", has_text="In the lesson already")).to_have_count(1)
    page.get_by_role("checkbox", name="Show Measure: tip").check()
    page.get_by_role("button", name="Add 1 clip to the lesson").click()
    page.wait_for_url(f"**/lessons/{seeded.lesson.id}")
    expect(page.locator("[data-clip]")).to_have_count(3)
    expect(page.locator("#say")).to_contain_text("1 clip is added.")


def test_a_removed_clip_comes_back(page: Page, site: Site) -> None:
    opened(page, site)
    page.get_by_role("button", name="Remove, clip 1").click()
    expect(page.locator("[data-clip]")).to_have_count(1)
    page.locator("#say").get_by_role("button", name="Undo").click()
    expect(page.locator("[data-clip]")).to_have_count(2)
    assert titles(site) == ["Scrape: rails", "Scrape: back, channels"]


def test_what_frames_it_and_the_clips_are_saved_side_by_side(page: Page, site: Site) -> None:
    """Saving the one must not make the other look out of date."""
    opened(page, site)
    page.get_by_role("button", name="+1 s, clip 2, end").click()
    expect(page.locator("[data-clip]").nth(1).locator("[data-field=end]")).to_have_value("0:04.000")
    page.get_by_label("Goal").fill("Bring it up to pitch.")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#say")).to_contain_text("The lesson is saved.")
    page.get_by_role("button", name="−1 s, clip 2, end").click()
    expect(page.locator("[data-clip]").nth(1).locator("[data-field=end]")).to_have_value("0:03.000")
    lesson = site.library.lessons.get(1)
    assert (lesson.goal, lesson.clips[1].end_ms) == ("Bring it up to pitch.", 3000)


def test_the_preview_plays_across_the_joint(page: Page, site: Site) -> None:
    """Clip 1 ends at 4.2 s of the first recording, clip 2 begins at 0.5 s of the second."""
    opened(page, site)
    page.evaluate(
        """() => {
          window.seen = [];
          const note = () => {
            const now = [...document.querySelectorAll('[data-preview-video]')].find((one) => !one.hidden);
            if (!now.paused) window.seen.push([now.getAttribute('src'), now.currentTime]);
            requestAnimationFrame(note);
          };
          note();
        }"""
    )
    page.get_by_role("button", name="Play into the next, clip 1").click()
    expect(page.locator("[data-preview-said]")).to_have_text("Clip 1 of 2: Scrape: rails")
    expect(page.locator("[data-preview-said]")).to_have_text("Clip 2 of 2: Scrape: back, channels")
    expect(page.locator("[data-clip]").nth(1)).to_have_class("clip entry is-playing")
    expect(page.get_by_role("button", name="Play all")).to_be_visible(timeout=15_000)
    seen = page.evaluate("window.seen")
    first = [at for address, at in seen if address == "/media/recordings/1/play"]
    second = [at for address, at in seen if address == "/media/recordings/2/play"]
    assert 2.2 <= min(first) <= 2.4 and 4.1 <= max(first) <= 4.35
    assert 0.5 <= min(second) <= 0.7 and 2.9 <= max(second) <= 3.15


def test_the_first_and_last_picture_of_each_clip_are_shown(page: Page, site: Site) -> None:
    opened(page, site)
    page.wait_for_function(
        "() => document.querySelectorAll('[data-clip] canvas[data-shown]').length === 4", timeout=15_000
    )
    assert page.evaluate("[...document.querySelectorAll('[data-clip] canvas')].map((one) => one.dataset.shown)") == [
        *("2000", "4167"),
        *("500", "2960"),
    ]
    assert page.evaluate(
        """[...document.querySelectorAll('[data-clip] canvas')].slice(0, 2).map((one) =>
          one.getContext('2d').getImageData(120, 90, 1, 1).data.slice(0, 3).some((value) => value > 60))"""
    ) == [True, True]


def test_the_question_before_sharing_can_be_put_off_by_keyboard(page: Page, site: Site) -> None:
    """The answer that lets nothing out has the focus; Esc says the same, and the focus goes back to the button."""
    opened(page, site)
    button = page.get_by_role("button", name="Export", exact=True)
    dialog = page.get_by_role("dialog", name="May this leave the bench?")
    for key in ("Enter", "Escape"):
        button.press("Enter")
        expect(dialog.get_by_role("button", name="Do not export")).to_be_focused()
        assert_accessible(page)
        page.keyboard.press(key)
        expect(dialog).to_be_hidden()
        expect(button).to_be_focused()
    assert site.library.jobs.all() == []
    button.press("Enter")
    dialog.get_by_role("button", name="It may leave: export").press("Enter")
    expect(page.locator("[data-export-run]")).to_be_visible()
    expect(button).to_be_focused()
    assert [job.kind for job in site.library.jobs.all()] == ["export"]


@contextmanager
def working(library: Library) -> Iterator[None]:
    """The engine, as the program runs it beside the pages."""
    engine = Engine(library)
    engine.start()
    stopper = threading.Event()
    try:
        yield
    finally:
        stopper.set()
        engine.stop()


def test_the_lesson_is_exported_and_plays(page: Page, site: Site) -> None:
    seeded = opened(page, site)
    with working(site.library):
        page.get_by_role("button", name="Export", exact=True).click()
        dialog = page.get_by_role("dialog", name="May this leave the bench?")
        expect(dialog).to_contain_text("People are in the picture of Session of 9 March 2026.")
        dialog.get_by_role("button", name="It may leave: export").click()
        expect(page.locator("[data-export-run]")).to_be_visible()
        expect(page.locator("[data-film]")).to_be_visible(timeout=120_000)
    expect(page.locator("[data-export-error]")).to_be_hidden()
    page.wait_for_function("() => document.querySelector('[data-film]').readyState >= 1")
    film = page.evaluate("(({videoWidth, duration}) => [videoWidth, duration])(document.querySelector('[data-film]'))")
    assert film[0] > 0 and film[1] > 4.5
    chapters = page.locator("[data-chapter]")
    assert chapters.count() >= 2
    assert chapters.first.get_attribute("data-chapter") == "0"
    last_ms = int(chapters.last.get_attribute("data-chapter") or 0)
    assert last_ms / 1000 < film[1]
    chapters.last.click()
    page.wait_for_function(f"() => document.querySelector('[data-film]').currentTime >= {last_ms / 1000}")
    expect(chapters.last).to_have_attribute("aria-current", "true")
    cues = page.evaluate(
        """async () => {
          const track = document.querySelector('[data-film]').textTracks[0];
          track.mode = 'showing';
          for (let n = 0; n < 50 && !track.cues?.length; n += 1) await new Promise((done) => setTimeout(done, 100));
          return [...track.cues].map((cue) => cue.text);
        }"""
    )
    assert any("rails" in text for text in cues)
    for part in ("summary_html", "summary_pdf", "zip", "srt"):
        answer = page.request.get(site.at(f"/media/lessons/{seeded.lesson.id}/{part}"))
        assert answer.status == 200 and len(answer.body()) > 40, part
    with page.context.expect_page() as summary:
        page.get_by_role("link", name="Read the step summary").click()
    summary.value.wait_for_load_state()
    expect(summary.value.locator("body")).to_contain_text("Bringing a flat reed up")
