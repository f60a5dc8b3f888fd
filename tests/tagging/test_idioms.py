"""Grammar that tells how a sentence stands, what words mean beside their neighbours, and words taken back."""

from __future__ import annotations

import pytest

from annotate.tagging import lexicon, understand
from annotate.tagging.sentence import read
from annotate.tagging.understand import by_rules

Told = list[tuple[str, str, tuple[str, ...]]]


def _labels(text: str) -> Told:
    return [(x.mode, x.step, x.zones) for x in by_rules(read(text, lexicon())).labels]


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("Before the break I did the left channel.", [("recap", "scrape", ("channels",))]),
        ("After supper I'll look at the collar.", [("plan", "inspect", ("collar",))]),
        ("In the last video I clipped this one.", [("recap", "clip", ())]),
        ("All in all, eight strokes off each rail.", [("recap", "scrape", ("rails",))]),
        ("It was stiff, so I'd taken four strokes off each wing.", [("recap", "scrape", ("wings",))]),
        ("P two I threw out on Sunday.", [("recap", "retire", ())]),
        ("We started by thinning the back.", [("done", "scrape", ("back",))]),
    ],
)
def test_a_time_said_first_and_the_verbs_form_tell_when(text: str, labels: Told) -> None:
    assert _labels(text) == labels


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("If the low notes still choke, I'll thin the wings.", [("plan", "scrape", ("wings",))]),
        ("When you come back on Friday we'll clip it.", [("plan", "clip", ())]),
        ("so next rehearsal I'm gonna soak this one longer", [("plan", "soak", ())]),
        ("two turns with the reamer and then tonight I will crow it", [("done", "ream", ()), ("plan", "crow", ())]),
    ],
)
def test_what_waits_for_something_is_a_plan(text: str, labels: Told) -> None:
    assert _labels(text) == labels


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("I could clip it but I won't.", [("negated", "clip", ())]),
        ("I'm going nowhere near the heart.", [("negated", "scrape", ("heart",))]),
        ("I'll spare the heart.", [("negated", "scrape", ("heart",))]),
        ("Never mind the wires for now.", [("negated", "wires", ())]),
        ("I won't bother with the butt.", [("negated", "ream", ("butt",))]),
        ("The collar stays where it is.", [("negated", "scrape", ("collar",))]),
    ],
)
def test_work_that_is_let_be(text: str, labels: Told) -> None:
    assert _labels(text) == labels


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("It's the channels I'm paring down.", [("done", "scrape", ("channels",))]),
        ("Here is the heart, which I do not scrape.", [("negated", "scrape", ("heart",))]),
        ("I take a shade off the rails.", [("done", "scrape", ("rails",))]),
        ("scraped back, both blades", [("done", "scrape", ("back",))]),
        ("a quick toot on the bassoon", [("done", "play", ())]),
        ("scraping the back, always toward the tip", [("done", "scrape", ("back",))]),
        ("The attack on low F is slow.", []),
        ("There's a split at the collar, running up the left.", []),
        ("The crows on my roof wake me.", []),
        ("Notice how I support the tip.", []),
    ],
)
def test_words_mean_what_their_neighbours_make_them(text: str, labels: Told) -> None:
    assert _labels(text) == labels


def test_oboe_zones_are_known_where_the_instrument_is_not() -> None:
    assert _labels("I thin the blend") == [("done", "scrape", ("blend",))]
    (label,) = understand("I thin the blend", words=lexicon("bassoon")).labels or (None,)
    assert label is None or label.zones == ()
    assert _labels("I blend it into the heart") == [("done", "scrape", ("heart",))]


@pytest.mark.parametrize(
    ("text", "symptoms"),
    [
        ("The wire's a bit wobbly.", ("loose_wire",)),
        ("the notes keep cracking", ("unstable",)),
        ("Now this one is a beast, so hard, I can barely get a sound out.", ("resistant",)),
        ("This gouge is very hard, like bone.", ("hard_cane",)),
        ("I crow it, and that's all deep and floppy.", ("deep_crow",)),
        ("He does not go to the mark on the bocal.", ("swollen",)),
    ],
)
def test_a_fault_is_that_of_its_thing(text: str, symptoms: tuple[str, ...]) -> None:
    assert by_rules(read(text, lexicon())).symptoms == symptoms


@pytest.mark.parametrize(
    ("text", "step", "blade"),
    [
        ("Top blade, er, bottom blade, I'm going down the left channel.", "scrape", "down"),
        ("I scraped, no, I tell a lie, I sanded the tip.", "sand", None),
    ],
)
def test_the_last_word_counts(text: str, step: str, blade: str | None) -> None:
    assert [(x.step, x.blade) for x in understand(text).labels] == [(step, blade)]


def test_a_number_taken_back_at_once() -> None:
    told = understand("The gauge says seventeen, no, I read it upside down, eleven hundredths at the tip.")
    assert [(m.quantity, str(m.value), m.unit) for m in told.measurements] == [("thickness", "0.11", "mm")]


def test_a_gauge_reads_and_no_reed_is_meant() -> None:
    assert understand("Gauge reads seventeen at the heart.").reed is None
    assert [m.quantity for m in understand("Reamed two turns; bocal now seats at 7 mm.").measurements] == [
        "count",
        "length",
    ]


def test_sides_compared_are_those_of_the_fault() -> None:
    (label,) = understand("I look against the lamp and the left half is darker than the right.").labels
    assert (label.step, label.side, label.symptoms) == ("inspect", None, ("uneven_blades",))


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("needs the wings thinned before Thursday", [("plan", "scrape", ("wings",))]),
        ("tonight it must be thrown away", [("plan", "retire", ())]),
        ("On New Year's Day I wound the third wire tighter.", [("recap", "wires", ("wire_3",))]),
        ("It was the favourite until last night, when I put it in the bin.", [("recap", "retire", ())]),
        ("Earlier this morning you saw me file the rails.", [("recap", "scrape", ("rails",))]),
        ("Number five is hereby discarded.", [("done", "retire", ())]),
        ("I'm eyeballin' the tip.", [("done", "inspect", ("tip",))]),
        ("The literature disagrees about soaking.", []),
        ("Do I look like I know where the spine is?", []),
    ],
)
def test_days_participles_and_talk(text: str, labels: Told) -> None:
    assert _labels(text) == labels


@pytest.mark.parametrize(
    ("text", "symptoms"),
    [
        ("the tip has been closing on us all morning", ("tip_closed",)),
        ("this cane has gone as stiff and brittle as a biscuit", ("hard_cane",)),
        ("the low E's still dropping", ("sagging",)),
    ],
)
def test_faults_that_go_on(text: str, symptoms: tuple[str, ...]) -> None:
    assert understand(text).symptoms == symptoms


def test_letters_and_numbers_with_a_word_between() -> None:
    said = understand("Reed number C hyphen eight, a last pull of the knife along the spine.")
    assert said.reed is not None and said.reed.name == "C-8"
    clip = understand("Yesterday I clipped half a millimetre because the tip was too open.")
    assert [(m.quantity, m.unit) for m in clip.measurements] == [("length", "mm")]


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("She's got a ridge of five hundredths halfway down.", []),
        ("Sanding belongs at the end, never at the start.", []),
        ("That wire fence in the garden needs tightening before winter.", []),
        ("My gran always swore a soaked reed was a happy reed.", []),
        ("It just closed up on me when I leaned on the D.", []),
        ("Emptied the bin.", []),
        ("Razored the right corner a hair.", [("done", "scrape", ("corners",))]),
        ("A slow F major scale, the C sags.", [("done", "play", ())]),
        ("Up to the bulb, and the left channel's darker.", [("done", "inspect", ("channels",))]),
        ("I read sixty percent off the wall hygrometer.", [("done", "measure", ())]),
    ],
)
def test_sizes_of_faults_other_senses_and_short_notes(text: str, labels: Told) -> None:
    assert _labels(text) == labels


def test_a_roof_that_leaks_is_no_fault_of_a_reed() -> None:
    assert understand("The roof leaks whenever it blows from the west.").symptoms == ()


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("He told me to clip it, so I won't.", [("negated", "clip", ())]),
        ("She'd like me to ream it further, but I won't.", [("negated", "ream", ())]),
        (
            "I'm scraping the rails now, no I'm not, it's the channels I'm scraping.",
            [("done", "scrape", ("channels",))],
        ),
        ("I'm on the wings, no, I'm not, I'm on the corners, shaving.", [("done", "scrape", ("corners",))]),
    ],
)
def test_wishes_refused_and_slips_of_the_tongue(text: str, labels: Told) -> None:
    assert _labels(text) == labels


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("Spent the morning filing the rails of this one.", [("recap", "scrape", ("rails",))]),
        ("I've been over the channels twice already.", [("recap", "scrape", ("channels",))]),
        ("It was clipped in October.", [("recap", "clip", ())]),
        ("Back in the spring I'd put new wires on it.", [("recap", "wires", ())]),
        ("Remind me to check the collar next session.", [("plan", "inspect", ("collar",))]),
        ("The spine gets nothing.", [("negated", "scrape", ("spine",))]),
        ("The guillotine takes a sliver.", [("done", "clip", ())]),
        ("The reamer bites three turns in.", [("done", "ream", ())]),
        ("Lay it by for a week.", [("done", "rest", ())]),
    ],
)
def test_times_gone_by_and_tools_that_work(text: str, labels: Told) -> None:
    assert _labels(text) == labels


@pytest.mark.parametrize(
    "text",
    [
        "In the beginning players carved them from one piece.",
        "I swept the shavings off the floor.",
        "The bench needs sanding.",
        "We clip coupons at home.",
        "Scrape the plate clean before you stack it.",
    ],
)
def test_the_same_verbs_on_other_things(text: str) -> None:
    assert _labels(text) == []


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("Shall I clip it or not?", []),
        ("Should the wires be that tight?", []),
        ("Should I thin the rails? No.", [("negated", "scrape", ("rails",))]),
        ("Scraping is ninety percent listening.", []),
        ("Soak it too long and the cane goes soft.", []),
        ("The rails of the tram squeal round the corner.", []),
        ("I can't play the tape back.", []),
        ("Three days since I scraped the heart.", [("recap", "scrape", ("heart",))]),
        ("On the twelfth I sanded the tip.", [("recap", "sand", ("tip",))]),
    ],
)
def test_questions_rules_and_dates(text: str, labels: Told) -> None:
    assert _labels(text) == labels


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("Middle wire loose, cinched.", [("done", "wires", ("wire_2",))]),
        ("I loosened wire three, I mean wire one.", [("done", "wires", ("wire_1",))]),
        ("Tuesday, no, Wednesday, I'm going to ream it.", [("plan", "ream", ())]),
        ("Let me see if any air gets out: no.", [("done", "leak", ())]),
        ("It's dry in the workshop.", []),
        ("The opening is too much closed.", []),
        ("The gauge is giving me thirty thou in the heart.", [("done", "measure", ("heart",))]),
        ("The clipping can wait until Sunday.", [("plan", "clip", ())]),
        ("The corners, my dears, I dust with the file.", [("done", "scrape", ("corners",))]),
    ],
)
def test_causes_found_by_another_hand(text: str, labels: Told) -> None:
    assert _labels(text) == labels


@pytest.mark.parametrize(
    ("text", "amounts"),
    [
        ("Seven timid little strokes on the left rail.", [("strokes", 7)]),
        ("That one I measure at point one two at the tip.", [("thickness", 0.12)]),
    ],
)
def test_counts_with_any_adjective_and_one_as_a_reed(text: str, amounts: list[tuple[str, float]]) -> None:
    assert [(m.quantity, float(m.value)) for m in understand(text).measurements] == amounts
