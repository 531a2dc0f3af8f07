"""Faults told in everyday words: nouns of damage, work that is not done, what is gone, sizes at their limit.

The sentences are our own. Which word means which fault of which part is common practice, no source.
"""

from collections.abc import Callable

import pytest

from walkround.narration.model import Reading

Read = Callable[[str], Reading]


def found(reading: Reading) -> list[tuple[str | None, str | None, str]]:
    return [(row.part, row.side, row.defect) for row in reading.findings]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Gear lever has a small bend in the middle.", [("gear-lever", None, "bent")]),
        ("Crash bar, small bend at the bottom.", [("engine-bar", None, "bent")]),
        ("Windscreen, a stone has hit it and there's a little star.", [("windscreen", None, "stone-chip")]),
        ("Engine cover, a bit of white coming through.", [("engine-casing", None, "corrosion")]),
        ("Right stanchion, a tiny nick just above the seal.", [("fork-stanchion", "right", "scratch")]),
        ("Mudguard at the front, a nick in the edge of it.", [("front-mudguard", None, "paint-chip")]),
        ("Left bar end's chewed up.", [("bar-end", "left", "scuff")]),
        ("The rear sprocket is all chewed up.", [("sprockets", None, "wear")]),
        ("The centre stand has lost some of its black.", [("centre-stand", None, "paint-chip")]),
        ("Rear tyre is chopped out on the edges.", [("rear-tyre", None, "wear")]),
    ],
)
def test_plain_nouns_of_damage(read: Read, text: str, expected: list[tuple[str, str | None, str]]) -> None:
    assert found(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "part", "defect"),
    [
        ("The horn doesn't go when you press it.", "horn", "not-working"),
        ("The tail light is not burning.", "tail-light", "not-working"),
        ("Left indicator at the back isn't blinking.", "rear-indicator", "not-working"),
        ("The screen won't stay where you put it.", "windscreen", "loose"),
        ("Neither mirror stays where you put it.", "mirror", "loose"),
        ("Brake lever comes back nearly to the bar.", "brake-lever", "not-working"),
        ("It cranks slow when it's cold.", "battery", "wear"),
        ("The clock's stuck on nine thousand.", "instruments", "not-working"),
        ("The lock on the pannier is not closing.", "pannier", "not-working"),
    ],
)
def test_what_does_not_do_its_work(read: Read, text: str, part: str, defect: str) -> None:
    assert [(p, d) for p, _, d in found(read(text))] == [(part, defect)]


@pytest.mark.parametrize(
    ("text", "part", "defect"),
    [
        ("The grips, they've gotten all gummy.", "handlebar-grip", "perished"),
        ("The back tyre's gone hard.", "rear-tyre", "perished"),
        ("Fork legs have gone white at the bottom.", "fork-leg", "corrosion"),
        ("The side panel's gone white in the sun.", "side-panel", "fading"),
        ("Headers are a bit blue from the heat.", "exhaust-header", "fading"),
        ("The silencer has become yellow near the joint.", "exhaust-silencer", "fading"),
        ("The red on the tank is not so deep any more.", "fuel-tank", "fading"),
        ("The side panel isn't as black as it was.", "side-panel", "fading"),
    ],
)
def test_what_has_gone_hard_or_of_another_colour(read: Read, text: str, part: str, defect: str) -> None:
    assert [(p, d) for p, _, d in found(read(text))] == [(part, defect)]


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("One key, no spare.", "keys"),
        ("The toolkit should be under the seat, and it isn't.", "toolkit"),
        ("Tools are there, but there's one missing.", "toolkit"),
        ("Chain guard's got a bolt gone out of it.", "chain-guard"),
        ("Left side panel has two screws and there should be four.", "side-panel"),
        ("Right mirror's just a stalk with no glass.", "mirror"),
        ("Bar end, there isn't one on the left.", "bar-end"),
        ("The footrest rubber is gone on left side.", "rider-footrest"),
    ],
)
def test_what_is_not_there(read: Read, text: str, part: str) -> None:
    assert [(p, d) for p, _, d in found(read(text))] == [(part, "missing")]


@pytest.mark.parametrize(
    ("text", "worn"),
    [
        ("Front rotors, they're four point six millimetres, and you're done at four and a half.", True),
        ("Rear disc is four point one and the limit's four.", True),
        ("Rear tyre's one point six and that's the legal limit.", True),
        ("Front discs measure five millimetres and the limit's four and a half.", False),
        ("Front pads are three mil and the limit's one and a half.", False),
        ("Front discs are four point four, minimum's four, so they're well in.", False),
    ],
)
def test_a_size_at_the_limit_that_is_said(read: Read, text: str, worn: bool) -> None:
    assert [d for _, _, d in found(read(text))] == (["wear"] if worn else [])


def test_a_family_that_cannot_be_of_the_part_gives_way(read: Read) -> None:
    assert found(read("The clear coat on the tank is toast.")) == [("fuel-tank", None, "wear")]
    assert found(read("Tank badge has gone from the right-hand side.")) == [("fuel-tank", None, "missing")]


def test_has_had_is_told_of_now(read: Read) -> None:
    reading = read("Clutch lever's had the end snapped off it, and I've got a good one in a drawer.")
    assert found(reading) == [("clutch-lever", None, "broken")]
    assert read("The tank's had a dent, and it's fine now.").findings == []


def test_what_follows_when_you_do_something_is_heard(read: Read) -> None:
    reading = read("Back wheel's got rust, and when you push it you can hear a whine.")
    assert found(reading) == [("rear-wheel", None, "corrosion"), ("rear-wheel", None, "noise")]


def test_only_what_is_wet_is_taken_back_by_washing(read: Read) -> None:
    assert [d for _, _, d in found(read("Rear fender, there's some swirl marks, that's from washing it."))] == ["mark"]
    assert read("The sump's wet, that's from washing it.").findings == []


def test_what_a_part_is_like_is_not_spoken_of(read: Read) -> None:
    reading = read("Left pannier's scratched. Right pannier, same as the left, scratched at the corner.")
    assert found(reading) == [("pannier", "left", "scratch"), ("pannier", "right", "scratch")]


@pytest.mark.parametrize(
    "text",
    [
        "The horn goes, the lights go.",
        "The rear tyre has five mil.",
        "Two keys, and the spare fob.",
        "The mirrors stay where you put them.",
        "Toolkit should be under the seat, and there it is.",
        "Brake lever comes back nicely.",
        "I turned the engine over slowly by hand.",
        "The seat rocks, it's that comfy.",
        "There's only one lock for both, one key does everything.",
        "The tank's had a polish.",
        "There's no star in the screen.",
        "The rear tyre's not square, it's nice and round.",
    ],
)
def test_no_fault(read: Read, text: str) -> None:
    assert found(read(text)) == []


def test_a_colour_said_to_be_no_rust_is_a_change_of_colour(read: Read) -> None:
    assert found(read("The header's gone brown, and I wouldn't call it rust.")) == [("exhaust-header", None, "fading")]
    assert found(read("The frame's rusty. The tank's not rusty.")) == [("frame", None, "corrosion")]


def test_a_light_for_something_is_on_the_dash(read: Read) -> None:
    reading = read("The little green light for the indicators doesn't come on.")
    assert found(reading) == [("instruments", None, "not-working")]


def test_a_rattle_when_it_is_cold_is_of_the_engine(read: Read) -> None:
    reading = read("Side stand's good. He had it running, and there was a rattle when it was cold.")
    assert found(reading) == [("engine-running", None, "noise")]
