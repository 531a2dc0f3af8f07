"""Make and model of the tyres as said, and whether front and rear are a pair: words of the narrator, with the quote.

Every make here is invented; the lexicon has no list of any, so the names are read by how and where they stand.
"""

import pytest
from made_records import Make

from walkround.narration.lexicon import Lexicon
from walkround.pipeline import page_of
from walkround.report.record import Report

T, B = "Torvex Roadline", "Bellinger Tourgrip"


def makes(report: Report) -> tuple[str | None, str | None]:
    front, rear = (report.bike.get(f"{end}_tyre_make") for end in ("front", "rear"))
    return str(front.value) if front else None, str(rear.value) if rear else None


def asked(report: Report) -> str:
    return " ".join(f"{q.about}: {q.text}" for q in report.questions)


@pytest.mark.parametrize(
    ("text", "front", "rear"),
    [
        ("The tyres are a matched pair of Torvex Roadline Threes.", f"{T} Threes", f"{T} Threes"),
        ("Tyres next. They're Torvex Roadlines, plenty of tread.", f"{T}s", f"{T}s"),
        (f"Front tyre is a {T}, rear is a {B}.", T, B),
        ("Front's a Torvex and the rear tyre's a Bellinger.", "Torvex", "Bellinger"),
        ("The front tyre's a Torvex Roadline 3, four mil on it.", f"{T} 3", None),
        (f"Rear tyre, {B}, three mil.", None, B),
        (f"Front tyre: {T}. Rear tyre: {B}.", T, B),
        ("Nice pair of tyres, Torvex on the front and a Bellinger on the back.", "Torvex", "Bellinger"),
        ("It's on Torvex Roadlines front and rear, tyres are nearly new.", f"{T}s", f"{T}s"),
        ("The rear tyre is a Bellinger GT Sport, one eighty fifty-five seventeen.", None, "Bellinger GT Sport"),
        ("Tyres wise there's a Torvex Roadline up front, and at the back a Bellinger.", T, "Bellinger"),
        ("I fitted a new Bellinger rear tyre last week.", None, "Bellinger"),
        ("The front and rear tyres are both Bellingers.", "Bellingers", "Bellingers"),
    ],
)
def test_makes_by_shape_and_place(make: Make, text: str, front: str | None, rear: str | None) -> None:
    report = make(text)
    assert makes(report) == (front, rear)
    for fact in report.bike.values():
        assert fact.quote
        assert fact.quote in text
        assert fact.review is None


@pytest.mark.parametrize(
    "text",
    [
        "The tyre, Martin's given me a gauge, so hold on, it says three mil.", "The front tyre is a bit worn.",
        "The tyres were fitted by Halden Tyres last June.", "Rear tyre I had put on in May and it's got five mil.",
        "The tyres are good, and the Corvane badge is scratched.", "The tyre is down to two mil, John reckons.",
        "The tyres are fine. It's a Corvane Fellside.", "The tyres have a Bremlock caliper next to them.",
    ],
)  # fmt: skip
def test_other_names_are_no_make(make: Make, text: str) -> None:
    assert makes(make(text)) == (None, None)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("the tyres are torvex roadlines front and rear", "by where it stands"),
        ("Tyres are Italian.", "may be a make"),
        ("The tires are a matched pair of Torwek's road line threes.", "by where it stands"),
        ("Front tire is a bellinger tour grip.", "by where it stands"),
        ("Front wheel, nice and straight. Tyre's a Torvex Roadline.", "whether the front or the rear"),
    ],
)
def test_what_is_less_than_sure_is_put_to_a_person(make: Make, text: str, says: str) -> None:
    report = make(text)
    assert says in (report.bike["front_tyre_make"].review or "")
    assert says in asked(report)
    assert asked(report).count("What was meant?") == 1


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("The tyres are a matched pair.", "matching"), ("The tyres are odd tyres.", "not matching"),
        ("Tyres: odd make on the front.", "different make"), ("The tyres aren't the same make.", "different make"),
        ("The front tyre's a different make to the rear.", "different make"),
        ("The tyres are the same make but a different model.", "same make, different model"),
        ("Both tyres have the same date code.", "same date"), ("The tyres have different dates.", "different date"),
        ("The tyres are the same age as the bike.", None), ("Tyre pressures are the same front and rear.", None),
        ("The tyres are good. The mirrors match.", None), ("I'd put a pair of tyres on it.", None),
        ("Tyres are fresh, the pair.", None), ("A few cracks in the tyres, the odd one on the front.", None),
    ],
)  # fmt: skip
def test_a_pair_or_odd_in_what(make: Make, text: str, value: str | None) -> None:
    fact = make(text).bike.get("tyre_pair")
    assert (fact.value if fact else None) == value


def test_the_same_without_saying_in_what_is_asked(make: Make) -> None:
    report = make("Tyres. Same both ends.")
    assert report.bike["tyre_pair"].value == "the same"
    assert "in what front and rear are the same" in asked(report)


def test_a_pair_said_two_ways_is_asked(make: Make) -> None:
    assert "otherwise" in asked(make("The tyres are a matched pair. The front tyre is an odd make."))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (f"Front tyre is a {T}, rear is a {B}.", "Are they a pair?"),
        (f"The tyres are a matched pair. Front tyre is a {T}, rear tyre is a {B}.", "Which is right?"),
        (f"The tyres are two different makes. Front tyre is a {T}, rear tyre is a {B}.", None),
        (f"Front tyre is a {T}, rear tyre is a {T}.", None),
        ("The tyres are the same date. Front tyre is week ten of 22. Rear tyre is week forty of 22.", "said to match"),
        ("The tyres are a matched pair. Front tyre is week ten of 22. Rear tyre is week forty of 22.", None),
        ("The tyres are the same make. Front tyre is week ten of 18. Rear tyre is week forty of 22.", "Are they a"),
    ],
)
def test_names_and_dates_that_do_not_meet_are_asked_about(make: Make, text: str, says: str | None) -> None:
    text = asked(make(text))
    assert (says or "") in text
    assert bool(text) == bool(says)


def test_they_stand_with_the_tyres_on_the_page(make: Make, lexicon: Lexicon) -> None:
    page = page_of(make(f"The tyres are a matched pair of {T} Threes."), lexicon, None)
    part = page[page.index('id="measurements"') :]
    assert "Front tyre, make and model: <bdi>Torvex Roadline Threes</bdi>" in part
    assert "Front and rear: <bdi>matching</bdi>" in part
    assert "tyre make" not in page[: page.index('id="measurements"')].lower()
