"""What the diary's scripts compute without a page, run in the browser they are meant for."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Site


@pytest.fixture
def models(site: Site, page: Page) -> Page:
    """A page of ours, from which the modules can be loaded."""
    page.goto(site.at("/"))
    return page


def run(models: Page, module: str, expression: str) -> Any:
    """The value of an expression over a module ``m``."""
    return models.evaluate(f"import('/static/js/model/{module}.js').then((m) => ({expression}))")


def test_touching_places_makes_zone_blade_and_side(models: Page) -> None:
    none = "{zones: [], blade: '', side: ''}"
    left = "{zone: 'rails', blade: 'up', side: 'left'}"
    right = "{zone: 'rails', blade: 'up', side: 'right'}"
    one = {"zones": ["rails"], "blade": "up", "side": "left"}
    both = {"zones": ["rails"], "blade": "up", "side": "both"}
    assert run(models, "reed_choice", f"m.touched({none}, {left})") == one
    assert run(models, "reed_choice", f"m.touched(m.touched({none}, {left}), {right})") == both
    assert run(models, "reed_choice", f"m.touched(m.touched(m.touched({none}, {left}), {right}), {right})") == one
    assert run(models, "reed_choice", f"m.touched(m.touched({none}, {left}), {left})") == {
        "zones": [],
        "blade": "",
        "side": "",
    }
    other = "{zone: 'tip', blade: 'down'}"
    assert run(models, "reed_choice", f"m.touched(m.touched({none}, {left}), {other})") == {
        "zones": ["rails", "tip"],
        "blade": "both",
        "side": "left",
    }


def test_a_place_is_pressed_half_when_its_blade_is_not_said(models: Page) -> None:
    choice = "{zones: ['rails'], blade: '', side: 'left'}"
    assert run(models, "reed_choice", f"m.pressed({choice}, {{zone: 'rails', blade: 'up', side: 'left'}})") == "mixed"
    assert run(models, "reed_choice", f"m.pressed({choice}, {{zone: 'rails', blade: 'up', side: 'right'}})") == "false"
    assert run(models, "reed_choice", f"m.pressed({choice}, {{zone: 'tip', blade: 'up'}})") == "false"


def test_stretches(models: Page) -> None:
    begun = "m.withStart(null, 1, 5000)"
    assert run(models, "diary_range", begun) == {"recording": 1, "start": 5000, "end": None}
    assert run(models, "diary_range", f"m.withEnd({begun}, 1, 8000)") == {"recording": 1, "start": 5000, "end": 8000}
    assert run(models, "diary_range", f"m.withEnd({begun}, 1, 4000)") == {"recording": 1, "start": None, "end": 4000}
    assert run(models, "diary_range", f"m.withEnd({begun}, 2, 8000)") == {"recording": 2, "start": None, "end": 8000}
    rows = "[{start: 0, end: 5000}, {start: 5000, end: 6200}]"
    assert run(models, "diary_range", f"m.lineLong({begun}, {rows})") == 1200
    assert run(models, "diary_range", f"m.lineLong(m.withEnd(null, 1, 5000), {rows})") == 5000
    assert run(models, "diary_range", f"m.lineLong(m.withStart(null, 1, 5100), {rows}) === undefined") is True
    assert run(models, "diary_range", f"m.whole({begun}, 9000)") == {"recording": 1, "start": 5000, "end": 9000}


def test_rows_sounds_and_words(models: Page) -> None:
    rows = "[['speech',0],['scrape',10],['quiet',20],['crow',30],['speech',40]].map(([kind, start]) => ({kind, start}))"
    assert run(models, "diary_timeline", f"[0, 9, 10, 35, 99].map((ms) => m.rowAt({rows}, ms))") == [0, 0, 1, 3, 4]
    assert run(models, "diary_timeline", f"[m.nextSound({rows}, 1), m.previousSound({rows}, 3)]") == [3, 1]
    assert run(models, "diary_timeline", f"[m.nextSound({rows}, 3), m.previousSound({rows}, 1)]") == [-1, -1]
    words = "[[0, 90, 'the'], [100, 190, 'gone'], [200, 290, ' tip'], [300, 390, 'the']]"
    places = f"m.wordPlaces('the tip, the end', {words})"
    assert run(models, "diary_timeline", places) == [[0, 3, 0, 90], [4, 7, 200, 290], [9, 12, 300, 390]]
    assert run(models, "diary_timeline", f"[0, 5, 10, 15].map((at) => m.momentAt({places}, at))") == [0, 200, 300, 300]
    assert run(models, "diary_timeline", f"[m.wordAt({words}, 250), m.wordAt({words}, 95)]") == [2, -1]


def test_words_are_found_by_label_alias_and_meaning(models: Page) -> None:
    words = """[
      {id: 'form', label: 'Form the tube', meaning: 'shape it', aliases: []},
      {id: 'break_in', label: 'Break in', meaning: 'play longer', aliases: []},
      {id: 'play', label: 'Play', meaning: 'test the reed', aliases: ['bréath']},
    ]"""
    ids = f"m.matches({words}, typed).map(({{id}}) => id)"
    found = [run(models, "diary_typed", f"((typed) => {ids})('{typed}')") for typed in ("", "pl", "tub", "Bre", "zz")]
    assert found == [["form", "break_in", "play"], ["play", "break_in"], ["form"], ["break_in", "play"], []]


def test_the_waveform_file(models: Page) -> None:
    made = """(() => {
      const bytes = new ArrayBuffer(16 + 6); const head = new DataView(bytes);
      [...'BRPK'].forEach((letter, at) => head.setUint8(at, letter.charCodeAt(0)));
      head.setUint16(4, 1, true); head.setUint16(6, 50, true); head.setUint32(8, 3, true);
      [-127, 0, 0, 64, -1, 1].forEach((value, at) => head.setInt8(16 + at, value));
      return bytes;
    })()"""
    swings = f"[[0, 50], [50, 100], [60, 61], [100, 9000], [0, 9000]].map(([a, b]) => m.readPeaks({made})(a, b))"
    assert run(models, "diary_peaks", swings) == [1, 64 / 127, 64 / 127, 1 / 127, 1]
    assert run(models, "diary_peaks", "m.readPeaks(new ArrayBuffer(4))") is None
    assert run(models, "diary_peaks", "m.readPeaks(new ArrayBuffer(40))") is None


def test_a_card_stands_where_the_server_would_put_it(models: Page) -> None:
    rows = "[{start: 0, end: 2000}, {start: 2000, end: 5000}, {start: 5000, end: 8000}]"
    for start, end, at in ((0, 900, 0), (4988, 6000, 2), (4600, 6000, 1), (4990, 5002, 1), (7900, 8000, 2)):
        assert run(models, "diary_timeline", f"m.cardRow({rows}, {start}, {end})") == at


def test_percentages(models: Page) -> None:
    texts = "['90', ' 7 % ', '100', '0', '', 'abc', '101', '-5', '9.5']"
    assert run(models, "percent", f"{texts}.map(m.percent)") == [90, 7, 100, 0, None, None, None, None, None]
