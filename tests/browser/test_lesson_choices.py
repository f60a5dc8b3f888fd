"""The choices of a lesson and of its clips, each made on the page and seen in the library."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from playwright.sync_api import Locator, Page, expect

from annotate.model import Before, Clip, Showing, Sound
from tests.browser.conftest import Site
from tests.browser.looks import assert_accessible
from tests.browser.seed import seed
from tests.browser.test_lesson import opened, working


def showing(site: Site) -> Showing:
    """How the seeded lesson is shown, as stored."""
    return site.library.lessons.get(1).showing


def test_every_choice_of_how_a_lesson_is_shown_is_stored_at_once(page: Page, site: Site) -> None:
    opened(page, site)
    assert showing(site) == Showing(1, 10_000, "off", None, True, False)
    said = page.locator("#say")
    page.get_by_label("Long scraping runs").select_option("4 times as fast")
    expect(said).to_contain_text("How it is shown is saved.")
    page.get_by_label("Scraping is long after (seconds)").fill("2.5")
    page.get_by_label("Sound of fast scraping").select_option("low")
    page.get_by_label("Long quiet becomes a short rest").check()
    page.get_by_label("Quiet is long after (seconds)").fill("3")
    page.get_by_label("All clips equally loud").uncheck()
    page.get_by_label("Captions drawn into the picture").check()
    expect(page.locator("[data-version]").first).to_have_value("8")
    assert showing(site) == Showing(4, 2500, "low", 3000, False, True)
    page.get_by_label("Long quiet becomes a short rest").uncheck()
    expect(page.get_by_label("Quiet is long after (seconds)")).to_be_hidden()
    expect(page.locator("[data-version]").first).to_have_value("9")
    assert showing(site).quiet_longer_ms is None
    assert_accessible(page)
    page.reload()
    expect(page.get_by_label("Long scraping runs")).to_have_value("4")
    expect(page.get_by_label("Scraping is long after (seconds)")).to_have_value("2.5")
    page.get_by_role("button", name="Undo").click()
    page.wait_for_load_state()
    expect(page.get_by_label("Long quiet becomes a short rest")).to_be_checked()
    assert showing(site).quiet_longer_ms == 3000


def test_a_length_out_of_bounds_is_refused_in_a_sentence(page: Page, site: Site) -> None:
    opened(page, site)
    page.get_by_label("Scraping is long after (seconds)").fill("1")
    page.get_by_label("Sound of fast scraping").focus()
    expect(page.locator("[data-showing-error]")).to_have_text(
        "Scraping is long after (seconds): Give 2 to 3600 seconds."
    )
    assert showing(site).scraping_longer_ms == 10_000


def test_draft_it_fills_only_what_is_empty_and_says_from_what(page: Page, site: Site) -> None:
    """Tag 4 of clip 2 names flat and stuffy; tip openings 1.6 and 1.4 mm lie in no clip, so nothing is compared."""
    opened(page, site)
    clip = page.locator("[data-clip]").first
    clip.locator("[data-field=title]").fill("")
    clip.locator("[data-field=title]").press("Tab")
    expect(page.locator("#say")).to_contain_text("The title of clip 1 is saved.")
    page.get_by_label("Goal").fill("")
    page.get_by_label("Note for yourself").fill("typed, not saved")
    page.get_by_role("button", name="Draft it").click()
    expect(page.locator("[data-draft-told] li")).to_have_text(
        [
            "Goal: drafted from the symptoms of “Scrape: back, channels” at 0:00 (2026-03-09).",
            "1 title: drafted from the tags of clip 1.",
        ]
    )
    expect(page.get_by_label("Goal")).to_have_value("Mend what was found on reed B14: flat, stuffy.")
    expect(clip.locator("[data-field=title]")).to_have_value("Scrape: rails")
    lesson = site.library.lessons.get(1)
    assert lesson.goal == "Mend what was found on reed B14: flat, stuffy."
    assert (lesson.review, lesson.tools, lesson.note) == ("Less is more.", ("knife", "plaque"), "typed, not saved")
    assert lesson.clips[0].title == "Scrape: rails"
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_label("Goal")).to_have_value("Know where to take cane when a new reed is flat.")
    assert site.library.lessons.get(1).clips[0].title == ""


def choices(page: Page, number: int) -> Locator:
    """The choices of a clip, opened."""
    clip = page.locator("[data-clip]").nth(number - 1)
    clip.locator("[data-choices]").evaluate("(one) => { one.open = true; }")
    return clip


def test_a_clip_has_its_own_speed_of_scraping(page: Page, site: Site) -> None:
    opened(page, site)
    clip = choices(page, 2)
    clip.get_by_label("Long scraping in it runs").select_option("8 times as fast")
    expect(page.locator("#say")).to_contain_text("The speed of scraping of clip 2 is saved.")
    assert [one.scraping_speed for one in site.library.lessons.get(1).clips] == [None, 8]
    expect(clip.locator("[data-choice-told]")).to_have_text("Long scraping: 8 times as fast.")
    clip.get_by_label("Long scraping in it runs").select_option("as the lesson says")
    expect(clip.locator("[data-choice-told]")).to_be_hidden()
    assert site.library.lessons.get(1).clips[1].scraping_speed is None


def test_a_clip_is_set_against_an_earlier_moment_of_its_reed(page: Page, site: Site) -> None:
    """Clip 2 is of the second session; before it lie three tags of reed B14 and a crow, clip 1 (0:02 on) among them."""
    opened(page, site)
    clip = choices(page, 2)
    clip.get_by_role("button", name="Choose a moment, clip 2").click()
    dialog = page.get_by_role("dialog", name="Set clip 2 against an earlier moment")
    expect(dialog.locator("[data-before-count]")).to_have_text("4 moments, the newest first")
    dialog.get_by_role("searchbox").fill("crow")
    expect(dialog.locator("[data-before-count]")).to_have_text("1 moment, the newest first")
    assert_accessible(page)
    dialog.get_by_role("radio", name="Crow 2 March 2026, bench 1.mp4, 0:04.2 to 0:06.0").check()
    expect(dialog.get_by_label("From")).to_have_value("0:04.200")
    dialog.get_by_label("From").fill("0:07")
    dialog.get_by_role("button", name="Set against it").click()
    expect(dialog.get_by_role("alert")).to_have_text("It ends before it starts.")
    dialog.get_by_label("From").fill("0:04.5")
    dialog.get_by_role("button", name="Set against it").click()
    expect(page.locator("#say")).to_contain_text("Clip 2 is set against an earlier moment.")
    assert site.library.lessons.get(1).clips[1].before == Before(1, 4500, 6000, is_beside=True)
    expect(clip.locator("[data-choice-told]")).to_contain_text("Beside it: Measure: tip, 2 March 2026, bench 1.mp4")
    clip.get_by_label("Both are shown").select_option("one after the other")
    expect(clip.locator("[data-choice-told]")).to_contain_text("Before it: ")
    assert site.library.lessons.get(1).clips[1].before == Before(1, 4500, 6000, is_beside=False)
    clip.get_by_role("button", name="Set against nothing, clip 2").click()
    expect(page.locator("#say")).to_contain_text("Clip 2 stands alone again.")
    assert site.library.lessons.get(1).clips[1].before is None
    expect(clip.get_by_role("button", name="Choose a moment, clip 2")).to_be_focused()
    page.get_by_role("button", name="Undo", exact=True).first.click()
    expect(page.locator("[data-choice-told]").nth(1)).to_contain_text("Before it: ")


def test_the_picture_of_a_clip_is_chosen_and_given_back(page: Page, site: Site) -> None:
    """Clip 1 runs from 2.0 to 4.2 s: six moments from 8 % of it to 92 %."""
    opened(page, site)
    clip = choices(page, 1)
    expect(clip.locator("[data-still-told]")).to_have_text(
        "Automatic: the sharpest picture in which little moves. It is also the cover."
    )
    clip.get_by_role("button", name="Choose a picture, clip 1").click()
    dialog = page.get_by_role("dialog", name="Choose the picture of clip 1")
    expect(dialog.locator("[data-still-list] button")).to_have_count(6)
    dialog.locator("[data-still-list] canvas[data-shown]").nth(5).wait_for()
    assert_accessible(page)
    dialog.get_by_role("button", name="0:02.545").click()
    expect(dialog.get_by_label("Or the picture at")).to_have_value("0:02.545")
    dialog.get_by_label("Or the picture at").fill("5")
    dialog.get_by_role("button", name="Use this picture").click()
    expect(dialog.get_by_role("alert")).to_have_text("Give a time in the clip, 0:02.000 to 0:04.200.")
    dialog.get_by_label("Or the picture at").fill("3.5")
    dialog.get_by_role("button", name="Use this picture").click()
    expect(clip.locator("[data-choice-told]")).to_have_text("Its picture is the one at 0:03.5.")
    assert site.library.lessons.get(1).clips[0].still_ms == 3500
    clip.get_by_role("button", name="Back to automatic, clip 1").click()
    expect(clip.locator("[data-choice-told]")).to_be_hidden()
    assert site.library.lessons.get(1).clips[0].still_ms is None


def test_the_cover_is_the_picture_of_the_clip_that_is_chosen(page: Page, site: Site) -> None:
    opened(page, site)
    clip = choices(page, 2)
    expect(clip.get_by_role("button", name="Not the cover, clip 2")).to_be_hidden()
    clip.get_by_role("button", name="Use as cover, clip 2").click()
    expect(page.locator("#say")).to_contain_text("The picture of clip 2 is the cover now.")
    expect(clip.locator("[data-still-told]")).to_contain_text("It is also the cover.")
    expect(clip.get_by_role("button", name="Choose a picture, clip 2")).to_be_focused()
    assert [one.is_cover for one in site.library.lessons.get(1).clips] == [False, True]
    clip.get_by_role("button", name="Not the cover, clip 2").click()
    expect(page.locator("#say")).to_contain_text("The picture of the first clip is the cover again.")
    assert [one.is_cover for one in site.library.lessons.get(1).clips] == [False, False]


def test_a_picture_that_a_trim_leaves_outside_is_chosen_anew_and_said(page: Page, site: Site) -> None:
    lesson = seed(site.library).lesson
    first, second = lesson.clips
    site.library.lessons.change(replace(lesson, clips=(replace(first, still_ms=4000), second)))
    page.goto(f"{site.address}/lessons/{lesson.id}")
    clip = page.locator("[data-clip]").first
    expect(clip.locator("[data-choice-told]")).to_have_text("Its picture is the one at 0:04.0.")
    clip.locator("[data-field=end]").fill("3.5")
    clip.locator("[data-field=end]").press("Tab")
    expect(page.locator("#say")).to_contain_text(
        "Clip 1 now runs from 0:02.000 to 0:03.500. "
        "The picture chosen for clip 1 lay outside it: it is chosen anew, automatically."
    )
    assert site.library.lessons.get(1).clips[0].still_ms is None


def test_this_picture_of_the_stopped_preview(page: Page, site: Site) -> None:
    opened(page, site)
    page.get_by_role("button", name="Play, clip 2").click()
    page.wait_for_function("() => document.querySelector('[data-preview-video]').currentTime > 1")
    page.get_by_role("button", name="Stop").click()
    at_ms = page.evaluate(
        "1000 * [...document.querySelectorAll('[data-preview-video]')].find((one) => !one.hidden).currentTime"
    )
    page.get_by_role("button", name="Use this picture for clip 2").click()
    expect(page.locator("#say")).to_contain_text("stands for clip 2 now.")
    still = site.library.lessons.get(1).clips[1].still_ms
    assert still is not None and 1000 <= still < 3000 and abs(still - at_ms) <= 40


def test_the_preview_runs_faster_and_skips_quiet_as_the_film_will(page: Page, site: Site) -> None:
    """Recording 1 is scraped from 0 to 3 s and quiet from 3 to 6: three seconds less half a second at each end."""
    seeded = seed(site.library)
    site.library.lines.hear(seeded.recording.id, [])
    sounds = [Sound(0, 3000, "scrape", 0.9), Sound(3000, 6000, "quiet", 0.9)]
    site.library.recordings.hear(seeded.recording.id, [(sound, None) for sound in sounds])
    lesson = site.library.lessons.get(1)
    shown = Showing(scraping_speed=2, scraping_longer_ms=2000, quiet_longer_ms=2000)
    site.library.lessons.change(replace(lesson, clips=(Clip(seeded.recording.id, 0, 6000),), showing=shown))
    page.goto(site.at("/lessons/1"))
    expect(page.locator("[data-choice-told]")).to_have_text("1 s of scraping run faster; 2 s of quiet are left out.")
    expect(page.locator("[data-preview-unshown]")).to_have_text(
        "Not shown here, but in the film: title cards and the evened loudness."
    )
    page.evaluate(
        """() => {
          window.seen = [];
          const note = () => {
            const now = [...document.querySelectorAll('[data-preview-video]')].find((one) => !one.hidden);
            if (!now.paused) window.seen.push([now.currentTime * 1000, now.playbackRate, now.volume]);
            requestAnimationFrame(note);
          };
          note();
        }"""
    )
    page.get_by_role("button", name="Play all").click()
    expect(page.get_by_role("button", name="Play all")).to_be_visible(timeout=15_000)
    seen = page.evaluate("window.seen")
    assert {(rate, volume) for at, rate, volume in seen if 1150 < at < 1950} == {(2, 0)}
    assert {(rate, volume) for at, rate, volume in seen if at < 950 or at > 2150} == {(1, 1)}
    assert [at for at, _, _ in seen if 3700 < at < 5400] == []
    assert max(at for at, _, _ in seen) > 5700


def test_one_clip_is_exported_alone_and_stays_with_its_clip(page: Page, site: Site) -> None:
    opened(page, site)
    clip = choices(page, 2)
    with working(site.library):
        clip.get_by_role("button", name="Export this clip, clip 2").click()
        dialog = page.get_by_role("dialog", name="May this leave the bench?")
        expect(dialog.locator("li")).to_have_text(
            ["People are in the picture of Session of 9 March 2026. Have they agreed?"]
        )
        dialog.get_by_role("button", name="It may leave: export").click()
        expect(clip.locator("[data-alone-files] li")).to_have_count(9, timeout=120_000)
    expect(clip.locator("[data-alone-error]")).to_be_hidden()
    expect(clip.locator("[data-alone-older]")).to_be_hidden()
    address = clip.get_by_role("link", name="Film (MP4)").get_attribute("href") or ""
    answer = page.request.get(site.at(address))
    assert answer.status == 200 and answer.body()[4:8] == b"ftyp"
    assert "attachment" in answer.headers["content-disposition"]
    expect(page.locator("[data-exported] [data-none]")).to_be_visible()
    page.get_by_role("button", name="Earlier, clip 2").click()
    first = page.locator("[data-clip]").first
    expect(first.locator("[data-field=title]")).to_have_value("Scrape: back, channels")
    expect(first.locator("[data-alone-files] li")).to_have_count(9)
    expect(first.locator("[data-alone-older]")).to_have_text(
        "Made before the lesson was last changed: export it again to have the changes in it."
    )
    expect(page.locator("[data-clip]").nth(1).locator("[data-alone-files] li")).to_have_count(0)


def test_a_lost_file_is_looked_for_in_a_folder(page: Page, site: Site, tmp_path: Path) -> None:
    seeded = opened(page, site)
    elsewhere = tmp_path / "other drive" / "deep"
    elsewhere.mkdir(parents=True)
    (tmp_path / "nothing").mkdir()
    site.library.recordings.file(seeded.recording).rename(elsewhere / "new name.mp4")
    page.reload()
    clip = page.locator("[data-clip]").first
    expect(clip.locator("[data-part=missing]")).to_contain_text("bench 1.mp4 is not where it was.")
    folder = clip.get_by_label("Look for bench 1.mp4 in this folder, and in all that is in it")
    button = clip.get_by_role("button", name="Look for it, clip 1")
    said = clip.locator("[data-look-said]")
    with working(site.library):
        folder.fill(str(tmp_path / "nowhere"))
        button.click()
        expect(said).to_contain_text("is not a folder")
        folder.fill(str(tmp_path / "nothing"))
        button.click()
        expect(said).to_contain_text("The file of recording 1 (bench 1.mp4) is not in", timeout=30_000)
        expect(said).to_contain_text("no file there has its size. Look in another folder.")
        assert_accessible(page)
        folder.fill(str(tmp_path / "other drive"))
        folder.press("Enter")
        expect(clip.locator("[data-part=missing]")).to_be_hidden(timeout=30_000)
    expect(page.locator("#say")).to_contain_text("bench 1.mp4 is found")
    assert site.library.recordings.file(seeded.recording).is_file()
