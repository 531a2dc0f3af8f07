"""Fault words that tell of no fault, and faults told in nearly the same words."""

import pytest
from rows import Read, faults


@pytest.mark.parametrize(
    "text",
    [
        "This is the tank. I'm a bit tired today.",
        "This is the tank. Let me split this into two.",
        "Bend down and you can see the sump.",
        "The frame's sound, and they do crack.",
        "The MOT's due in March.",
        "This is the yellow one, and it suits the tank.",
        "So we'll go round the tank and I'll show you every mark.",
    ],
)
def test_no_fault_is_told(read: Read, text: str) -> None:
    reading = read(text)
    assert not reading.findings


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Front wheel. Somebody's kerbed it.", ["front-wheel/-/scuff"]),
        ("Fork seals, they weep.", ["fork-seal/both/leak"]),
        ("MOT ran out in June.", ["test-certificate/-/out-of-date"]),
        ("The tail light lens is yellow with age.", ["tail-light/-/fading"]),
        ("Tank, perfect. Front disc's fine. One badge has a corner lifting.", ["fuel-tank/-/peeling"]),
        ("Plastics. There's scratches. Front mudguard, belly pan, it's all little lines.",
         ["front-mudguard/-/scratch", "belly-pan/-/scratch"]),
        ("It's the left that's been down. The bar end's scraped.", ["bar-end/left/scuff"]),
        ("Fork seals. Left, dry. Right, weeping.", ["fork-seal/right/leak"]),
    ],
)  # fmt: skip
def test_a_fault_is_told(read: Read, text: str, told: list[str]) -> None:
    assert sorted(faults(read(text).findings)) == sorted(told)


def test_what_a_part_cannot_have_is_put_to_a_person(read: Read) -> None:
    reading = read("The handbook's oily.")
    assert not reading.findings
    assert reading.unplaced
