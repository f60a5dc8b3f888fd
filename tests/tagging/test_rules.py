"""Every step, zone, symptom and mode rule with sentences of its own."""

from __future__ import annotations

import pytest

from annotate.tagging import lexicon, understand
from annotate.tagging.patterns import Finder, compile_pattern
from annotate.tagging.sentence import read
from annotate.tagging.understand import by_rules
from annotate.vocabulary import vocabulary

STEP_SAID = {
    "soak": ["put it in water for a while", "I give it a quick dunk", "let me wet the reed",
             "soaked it"],
    "form": ["I push it onto the mandrel", "reshape the tube", "pop it on the mandrel"],
    "wires": ["tighten the first wire", "cinch wire two", "round out the middle wire",
              "flatten the front wire a little",
              "the back wire gets a quarter turn", "squeeze the second wire top and bottom"],
    "ream": ["I ream it", "two turns of the reamer", "run the reamer in once more"],
    "profile": ["profile this piece again", "rough out the blade"],
    "opening": ["open the tip a little", "I close the opening down", "even out the aperture", "squeeze the tip open"],
    "clip": ["clip it", "trim half a millimetre off the tip", "snip a hair off the end", "make it a bit shorter",
             "nip a touch off", "take a quarter of a millimetre off the front"],
    "scrape": ["scrape the back", "take a hair off the left rail", "dust the corners", "thin the channels",
               "lighten the heart a touch", "feather the tip", "skim the wings", "shave the spine", "file the collar",
               "a few strokes down the rails", "work on the wings with the knife", "I go over the tip again"],
    "sand": ["sand the inside", "polish it with six hundred", "a rub with wet and dry over the wings",
             "smooth the back with four hundred paper"],
    "clear": ["brush the dust out of the tube", "pick that fibre out", "clean out the chips", "the swarf is blown out"],
    "inspect": ["hold it up to the light", "let me look at the tip", "have a look at the corners", "flex the blades"],
    "measure": ["measure the tip", "the gauge says point one", "put the calipers on it"],
    "leak": ["leak test", "quick suck test", "check it for leaks", "close the butt and suck the air out"],
    "crow": ["crow it", "blow it on the bocal", "nice crow", "it peeps"],
    "play": ["play a scale", "try it on the bassoon", "some long tones now", "play low F"],
    "break_in": ["play it in for ten minutes", "I break it in slowly"],
    "rest": ["put it away to dry", "let it rest overnight", "back in the case until Monday"],
    "retire": ["into the bin with it", "throw it away", "this one has had its day"],
}  # fmt: skip

SYMPTOM_SAID = {
    "flat": ["it plays flat", "the pitch is low"],
    "sharp": ["it has gone sharp", "ten cents high"],
    "sagging": ["the E sags", "it won't hold its pitch"],
    "unstable": ["the tone wavers", "the C cracks on the attack"],
    "stuffy": ["it is stuffy", "muffled up top"],
    "buzzy": ["there's a buzz in it", "like a kazoo"],
    "bright": ["too bright", "it sounds thin"],
    "resistant": ["too much resistance", "it's hard to blow"],
    "free": ["too free", "it has no core"],
    "slow_response": ["the low notes won't speak", "slow to respond"],
    "low_closes": ["low C closes when I push", "the low notes cut out"],
    "high_weak": ["the high notes are weak", "the top notes don't come"],
    "no_crow": ["it won't crow", "no crow at all"],
    "high_crow": ["the crow is too high", "the rattle is missing"],
    "deep_crow": ["the crow is too low", "a loose crow"],
    "tip_closed": ["the tip is closing", "the opening is too small"],
    "tip_open": ["it's too open", "the aperture is too wide"],
    "uneven_opening": ["the opening is lopsided", "one corner collapses first"],
    "thick_tip": ["the tip is too thick", "thick corners"],
    "bump": ["there's a bump in the left channel", "I feel a ridge"],
    "uneven_blades": ["the left side is stiffer than the right", "the blades don't match"],
    "loose_wire": ["the first wire is loose", "a slack wire"],
    "leak": ["it leaks on the left", "I hear air at the side"],
    "swollen": ["the tube has swollen", "it won't go on the mandrel to the mark"],
    "soft_cane": ["the cane is spongy", "soggy today"],
    "hard_cane": ["the cane is brittle", "a hard piece of cane"],
    "crack": ["there's a crack", "the tube has split"],
    "mould": ["dark spots on the bark", "it smells mouldy"],
}

MODE_SAID = [
    ("negated", "I'm not touching the heart"),
    ("negated", "no scraping on the rails today"),
    ("negated", "hands off the spine"),
    ("negated", "the wings stay as they are, I leave them"),
    ("negated", "could sand the inside, but it doesn't need it"),
    ("plan", "the rails want thinning"),
    ("plan", "remember to clip it"),
    ("plan", "on Friday I'll scrape the back"),
    ("plan", "once it has dried I'll sand the tip"),
    ("plan", "thin the back next time"),
    ("recap", "yesterday I clipped it"),
    ("recap", "I scraped the rails last week"),
    ("recap", "as you saw earlier, I reamed it"),
    ("recap", "we've done the channels, so far so good"),
    ("done", "I'm about to scrape the tip"),
    ("done", "that's the tip scraped"),
    ("done", "I'm putting it away to dry until Thursday"),
    ("done", "I want to take a little off the tip here"),
]

NOTHING_SAID = [
    "you should always soak the reed first",
    "when you clip a reed, the pitch goes up",
    "in the old days they sanded everything",
    "she scraped the heart and ruined it",
    "scraping the back lowers the pitch",
    "a sharp knife makes all the difference",
    "the crow outside is noisy this morning",
    "I play in an orchestra on Fridays",
    "the rest of the lesson is about posture",
    "thanks for the tip, it helped",
    "I learned it by heart",
    "my back hurts from sitting here",
    "subscribe to my channel",
    "the battery is flat",
    "let me move the camera so you can see the tip",
    "there is a leak in the kitchen",
    "I clean the plaque and oil the reamer",
    "measure twelve is the hard one",
    "the bell rang and I went off the rails",
    "open the window, it's stuffy in here",
]


@pytest.mark.parametrize(("step", "text"), [(s, t) for s, texts in STEP_SAID.items() for t in texts])
def test_step(step: str, text: str) -> None:
    assert [x.step for x in understand(text).labels if x.mode == "done"] == [step]


@pytest.mark.parametrize(("symptom", "text"), [(s, t) for s, texts in SYMPTOM_SAID.items() for t in texts])
def test_symptom(symptom: str, text: str) -> None:
    assert understand(text).symptoms == (symptom,)


@pytest.mark.parametrize("zone", [z for z in vocabulary().zones if z not in ("opening", "binding")])
def test_zone(zone: str) -> None:
    alias = vocabulary().zones[zone].aliases[0]
    assert understand(f"let me look at the {alias}").labels[0].zones == (zone,)


@pytest.mark.parametrize(("mode", "text"), MODE_SAID)
def test_mode(mode: str, text: str) -> None:
    assert mode in [x.mode for x in by_rules(read(text, lexicon())).labels]
    assert {x.mode for x in by_rules(read(text, lexicon())).labels} == {mode}


@pytest.mark.parametrize("text", NOTHING_SAID)
def test_no_work(text: str) -> None:
    assert understand(text).labels == ()


def test_every_step_and_symptom_is_tried() -> None:
    assert list(STEP_SAID) == list(vocabulary().steps)
    assert set(SYMPTOM_SAID) == set(vocabulary().symptoms)


def test_a_phrase_is_found_wherever_its_words_stand() -> None:
    finder = Finder(
        [compile_pattern("a", "(~take|) (some|a bit) ... off {(the|its) rails}"), compile_pattern("b", "* up")]
    )
    words = ["so", "i", "took", "a", "bit", "of", "cane", "off", "the", "rails", ",", "stand", "up", "."]
    assert [(f.id, f.start, f.end) for f in finder.find(words)] == [("a", 8, 10), ("b", 11, 13)]
    assert finder.find(["a", "bit", "of", "cane", "off", "the", "back"]) == []
