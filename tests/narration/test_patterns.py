"""Families of fault words, and things that are not there: what they must catch and what they must not."""

from collections.abc import Callable

import pytest

from walkround.errors import LexiconError
from walkround.narration.lexicon import Lexicon
from walkround.narration.lexicon_check import check
from walkround.narration.model import Reading
from walkround.narration.patterns import tenses

Read = Callable[[str], Reading]


def faults(reading: Reading) -> list[tuple[str | None, str]]:
    return [(row.part, row.defect) for row in reading.findings]


@pytest.mark.parametrize(
    ("verb", "forms"),
    [
        ("weep", {"weep", "weeping", "weeped"}),
        ("ooze", {"ooze", "oozing", "oozed"}),
        ("sag", {"sag", "sagging", "sagged"}),
        ("fray", {"fray", "fraying", "frayed"}),
        ("drop down", {"drop down", "dropping down", "dropped down"}),
    ],
)
def test_tenses(verb: str, forms: set[str]) -> None:
    assert set(tenses(verb)) == forms


@pytest.mark.parametrize(
    ("text", "part", "defect"),
    [
        ("The sump's begun to sweat a bit.", "sump", "leak"),
        ("Clutch lever, the ball's off the end of it.", "clutch-lever", "broken"),
        ("There's a corner gone off the number plate.", "number-plate", "broken"),
        ("The header's brown with it all the way along.", "exhaust-header", "corrosion"),
        ("Fuel gauge. It reads full all the time.", "instruments", "not-working"),
        ("The horn does nothing.", "horn", "not-working"),
        ("The fuel cap's supposed to lock and it doesn't.", "fuel-cap", "not-working"),
        ("The luggage rack should have four screws in it and it has three.", "luggage-rack", "missing"),
        ("The service book, there's no stamps after the second one.", "service-history", "missing"),
        ("The headlight stands crooked.", "headlight", "misaligned"),
    ],
)
def test_families_of_fault_words(read: Read, text: str, part: str, defect: str) -> None:
    assert faults(read(text)) == [(part, defect)]


@pytest.mark.parametrize(
    "text",
    [
        "The sump hasn't begun to sweat.",
        "The bar ends come off with one bolt if you want to fit guards.",
        "Both stands go up and down without sticking.",
        "There's nothing wrong with the paint, no lifting, no bubbling.",
        "Everything on the dash comes on and goes off as it should.",
        "The chain's hardly run in.",
    ],
)
def test_no_fault_where_the_words_mean_none(read: Read, text: str) -> None:
    assert faults(read(text)) == []


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("The left mirror, well, there isn't one.", "mirror"),
        ("There's no horn on it.", "horn"),
        ("The owner's manual we don't have.", "handbook"),
        ("Where the toolkit should be there's nothing.", "toolkit"),
    ],
)
def test_things_that_are_not_there(read: Read, text: str, part: str) -> None:
    assert faults(read(text)) == [(part, "missing")]


def test_no_good_word_is_copied_to_what_is_not_there(read: Read) -> None:
    reading = read("Rear indicators. Back right's fine. Back left, well, there isn't one.")
    assert [(r.part, r.side, r.defect) for r in reading.findings] == [("rear-indicator", "left", "missing")]


@pytest.mark.parametrize("text", ["No mirror vibration at all.", "There's no horn bracket on these."])
def test_a_denied_fault_or_piece_is_not_a_missing_part(read: Read, text: str) -> None:
    assert faults(read(text)) == []


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("Everything works bar the horn.", "horn"),
        ("All lamps operate with one exception, which is the number plate lamp.", "lights-working"),
        ("All the lights work except the left rear indicator.", "rear-indicator"),
    ],
)
def test_what_is_excepted_from_what_works(read: Read, text: str, part: str) -> None:
    reading = read(text)
    assert faults(reading) == [(part, "not-working")]
    assert part not in {verdict.part for verdict in reading.verdicts}


def test_an_exception_with_words_of_its_own_is_left_to_them(read: Read) -> None:
    assert faults(read("The brakes work, apart from a bit of squeal.")) == [("brakes-working", "noise")]


@pytest.mark.parametrize(
    "family",
    [
        {"defect": "no-such-fault", "say": ["x"]},
        {"defect": "leak", "say": ["{no-such-class} x"]},
        {"defect": "leak", "say": ["x"], "only": ["no-such-part"]},
        {"defect": "leak", "say": ["x"], "no-such-key": 1},
        {"say": ["x"]},
    ],
)
def test_a_wrong_family_is_named_with_its_line(lexicon: Lexicon, family: dict[str, object]) -> None:
    tree = lexicon.trees["patterns.toml"]
    trees = {**lexicon.trees, "patterns.toml": {**tree, "family": {"weep": family}}}
    with pytest.raises(LexiconError, match=r"patterns\.toml line \d+: "):
        check(Lexicon(trees, "", lexicon.sources), lexicon.sources)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Chain. It's got two links that won't bend.", ("chain", "wear")),
        ("Headlight. The reflector has lost its silvering.", ("headlight", "fading")),
        ("Left box, the hinge pin's been replaced with a nail.", ("pannier", "broken")),
        ("The bar you put your foot on has lost its rubber.", ("rider-footrest", "missing")),
        ("The tank took a little hit by the cap.", ("fuel-tank", "dent")),
    ],
)
def test_everyday_words_for_parts_and_faults(read: Read, text: str, found: tuple[str, str]) -> None:
    assert found in faults(read(text))
