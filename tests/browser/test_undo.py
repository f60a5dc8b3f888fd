"""The Undo of a notice and of the header: exactly the change it stands beside, never silently another window's."""

from playwright.sync_api import Page, expect

from annotate.model import Tag
from tests.browser.conftest import Site
from tests.browser.seed import seed


def test_the_undo_of_a_removed_clip_is_not_another_windows(page: Page, site: Site) -> None:
    seeded = seed(site.library)
    page.goto(site.at(f"/lessons/{seeded.lesson.id}"))
    expect(page.locator("[data-clip]")).to_have_count(2)
    page.locator("[data-clip]").nth(1).locator("[data-act=remove]").click()
    expect(page.locator("[data-clip]")).to_have_count(1)
    tag = site.library.tags.add(Tag(seeded.lesson.clips[0].recording_id, 0, 500, "sand"))  # another window
    page.locator("#say").get_by_role("button", name="Undo").click()
    expect(page.locator("[data-clip]")).to_have_count(2)
    assert site.library.tags.get(tag.id) == tag


def test_the_header_says_by_name_what_it_would_take_back(page: Page, site: Site) -> None:
    seeded = seed(site.library)
    tag = site.library.tags.add(Tag(seeded.lesson.clips[0].recording_id, 0, 500, "sand"))
    page.goto(site.at("/reeds"))
    page.locator("[data-undo-step=undo]").click()
    expect(page.locator("#say")).to_contain_text("The last change is “added a tag”, in ")
    assert site.library.tags.get(tag.id) == tag  # nothing is taken back unasked
    page.locator("#say").get_by_role("button", name="Take it back").click()
    expect(page.locator("#say")).to_contain_text("Taken back: added a tag.")
    assert site.library.tags.find(tag.id) is None
    page.locator("[data-undo-step=redo]").click()
    page.locator("#say").get_by_role("button", name="Do it again").click()
    expect(page.locator("#say")).to_contain_text("Done again: added a tag.")
    assert site.library.tags.get(tag.id) == tag


def test_a_step_that_cannot_be_taken_back_is_told_and_left(page: Page, site: Site) -> None:
    seeded = seed(site.library)
    recording = site.library.recordings.get(seeded.lesson.clips[0].recording_id)
    page.goto(site.at(f"/sessions/{recording.session_id}"))
    page.locator("[data-words-of] summary").first.click()
    page.locator("[data-language]").first.select_option("de")
    expect(page.locator("#say").get_by_role("button", name="Undo")).to_be_visible()
    site.library.recordings.note_made(recording.id, language="nn")  # heard meanwhile
    page.locator("#say").get_by_role("button", name="Undo").click()
    expect(page.locator("#warn")).to_contain_text("cannot be taken back: the language of recording 1 was changed since")
    page.locator("#warn").get_by_role("button", name="Leave this step").click()
    expect(page.locator("#say")).to_contain_text("stays as it is.")
