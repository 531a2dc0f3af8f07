"""The lexicon's words in a narration: the longest name wins, and a name is not the part that it holds."""

import generator
import pytest
from rows import Find

from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Term, between
from walkround.narration.reader import Reader
from walkround.narration.terms import longest


def things(reader: Reader, text: str) -> list[str]:
    return [term.id for term in reader.parse(generator.transcript(text))._.terms.things]


def states(reader: Reader, text: str) -> list[str]:
    return [term.id for term in reader.parse(generator.transcript(text))._.terms.states]


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("the engine bar", "engine-bar"),
        ("the tank pad", "tank-pad"),
        ("the left bar end", "bar-end"),
        ("the bar end mirror", "mirror"),
        ("the brake light", "tail-light"),
        ("the front brake lever", "brake-lever"),
        ("the rear brake lever", "rear-brake-pedal"),
        ("the slip-on", "exhaust-silencer"),
        ("the brake hose", "brake-hose"),
        ("the chain guard", "chain-guard"),
        ("the clutch cover", "engine-casing"),
        ("the clutch lever", "clutch-lever"),
        ("the fuel gauge", "instruments"),
        ("the tank cap", "fuel-cap"),
        ("the seat cowl", "pillion-seat"),
        ("the radiator shroud", "radiator"),
        ("the radiator hose", "coolant-hose"),
        ("the oil cooler", "oil-cooler"),
        ("the exhaust header", "exhaust-header"),
        ("the side stand", "side-stand"),
        ("the steering lock", "ignition-lock"),
        ("the number plate bracket", "number-plate"),
        ("the number plate light", "lights-working"),
        ("the frame slider", "crash-bung"),
        ("the head gasket", "engine-casing"),
        ("the rear fender", "rear-mudguard"),
        ("the back tire", "rear-tyre"),
        ("the hind wheel", "rear-wheel"),
        ("the front left indicator", "front-indicator"),
        ("the mud-flap", "rear-mudguard"),
        ("the mudflap", "rear-mudguard"),
        ("the wind-screen", "windscreen"),
        ("the Top Yoke", "top-yoke"),
        ("the gearshift", "gear-lever"),
        ("the tyre lever", "tyre lever"),
    ],
)
def test_a_name_is_the_whole_name(reader: Reader, text: str, part: str) -> None:
    assert things(reader, text) == [part]


@pytest.mark.parametrize(
    "text",
    [
        "It stands out in front.",
        "To be fair I had a good look.",
        "Take it for a test ride.",
        "You'd be hard pushed to find better.",
        "In any case I'll cover the rest later.",
        "The key thing is the price.",
        "A full tank of fuel.",
    ],
)
def test_a_turn_of_phrase_names_no_fault(reader: Reader, text: str) -> None:
    assert "scratch" not in states(reader, text)
    assert [t for t in things(reader, text) if t in ("keys", "fuel-tank", "test-certificate")] == []


@pytest.mark.parametrize(
    ("text", "defect"),
    [
        ("a stone chip", "stone-chip"),
        ("a paint chip", "paint-chip"),
        ("a chip", "paint-chip"),
        ("a hairline scratch", "scratch"),
        ("a hairline crack", "crack"),
        ("a scuff mark", "scuff"),
        ("a sticker mark", "residue"),
        ("a burn mark", "stain"),
        ("an oil stain", "stain"),
        ("a trace of oil", "leak"),
        ("a tight spot", "wear"),
        ("a flat spot in the throttle", "not-working"),
        ("surface rust", "corrosion"),
        ("it's squared off", "wear"),
        ("the lacquer's lifting", "peeling"),
        ("it doesn't sit flush", "misaligned"),
        ("it's rattly", "noise"),
        ("cable tied", "something-wrong"),
    ],
)
def test_a_fault_is_the_whole_phrase(reader: Reader, text: str, defect: str) -> None:
    assert states(reader, text) == [defect]


def test_no_word_runs_over_a_full_stop(reader: Reader) -> None:
    assert things(reader, "That's the top. Box section swingarm.") == ["swingarm"]


def test_a_plural_may_be_another_part(reader: Reader) -> None:
    assert things(reader, "The bars.") == ["handlebar"]


def test_its_singular_is_not(reader: Reader) -> None:
    assert things(reader, "The bar.") == []


def test_a_word_may_name_a_part_only_at_the_head(find: Find) -> None:
    assert find("Plate, cracked.") == ["number-plate/-/crack"]


def test_the_longest_of_overlapping_words_wins() -> None:
    short, long = Term("part", "tank", 0, 1), Term("part", "pad", 0, 2)
    assert longest([short, long]) == [long]


def test_of_names_as_long_the_later_wins_of_other_words_the_earlier() -> None:
    first, second = Term("part", "a", 0, 2), Term("part", "b", 1, 3)
    assert longest([first, second]) == [second]
    first, second = Term("defect", "a", 0, 2), Term("defect", "b", 1, 3)
    assert longest([second, first]) == [first]


def test_between_takes_those_that_begin_inside() -> None:
    terms = [Term("part", str(i), i, i + 2) for i in range(6)]
    assert [t.start for t in between(terms, 2, 4)] == [2, 3]


def test_every_plain_name_of_a_part_names_it(reader: Reader, lexicon: Lexicon) -> None:
    # "Front suspension" is given to the forks and to the suspension; both come to the fork leg.
    hidden = {"front suspension"}
    wrong = {}
    for part in lexicon.parts:
        for name in generator.names(part):
            found = things(reader, f"Your {name} here.")
            if name not in hidden and found != [part]:
                wrong[name] = found
    assert wrong == {}
