"""Praise that is not to be taken at its word leaves a part in doubt; praise that is meant clears it."""

import pytest
from rows import Read, found, good, states

from walkround.narration.lexicon import Lexicon


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("The horn works. Sometimes.", "horn"),
        ("The rear shock feels good. I'm not sure of it, mind.", "rear-shock"),
        ("The headlight's good. Half of it.", "headlight"),
        ("The swingarm's clean. It knocked about when I tried it on the stand.", "swingarm"),
        ("The windscreen's clear. Star-shaped thing here in the corner.", "windscreen"),
        ("The radiator's dry. There was a drop under it this morning.", "radiator"),
        ("The rear wheel's true, but grab the rim and waggle it and it clonks.", "rear-wheel"),
        ("The seat is like new. Apart from what the mouse did.", "rider-seat"),
        ("Engine runs sweet. You get some top end clatter, then it quiets down.", "engine-running"),
        ("Horn, nothing.", "horn"),
        ("Rear tyre's got nothing on it.", "rear-tyre"),
        ("The headlight's good but the reflector's gone dull.", "headlight"),
        ("The fuel tank is perfect. I pulled the cap and looked inside, and there's rust in there.", "fuel-tank"),
        ("The swingarm's clean. The chain's cut a slot in it.", "swingarm"),
        ("Two keys, good. The spare one doesn't turn in the lock.", "keys"),
        ("MOT's good, I have it here. It's a month over.", "test-certificate"),
        ("Most of the switches are good.", "switchgear"),
    ],
)
def test_praise_that_is_limited_clears_nothing(read: Read, lexicon: Lexicon, text: str, part: str) -> None:
    assert "clear" not in states(lexicon, read(text), part).values()


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("The seat's lovely. It's the original one.", "rider-seat"),
        ("The horn works. Right, round the back.", "horn"),
        ("The tank's perfect. There's a scratch on the screen, I think.", "fuel-tank"),
        ("Gear lever moves easily.", "gear-lever"),
        ("The engine turns over very nicely.", "engine-running"),
        ("I can find no fault with the brake hoses.", "brake-hose"),
    ],
)
def test_plain_praise_still_clears(read: Read, lexicon: Lexicon, text: str, part: str) -> None:
    assert "clear" in states(lexicon, read(text), part).values()


@pytest.mark.parametrize(
    "text", ["The paint scratches easily.", "There's a scratch on the tank. You can see it clearly."]
)
def test_how_a_mark_is_seen_is_no_praise(read: Read, text: str) -> None:
    assert not good(read(text))


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Pads are good, front and back.", ["front-brake-pads/-", "rear-brake-pads/-"]),
        ("Spokes are tight on both wheels.", ["front-wheel/-", "rear-wheel/-"]),
        ("Left-hand disc, no marks. Right-hand disc, no rust.", ["front-brake-disc/left", "front-brake-disc/right"]),
        ("The left rider's footrest is good, the right one as well.", ["rider-footrest/left", "rider-footrest/right"]),
        ("Front pads were down to nothing, we've just put a new set in.", ["front-brake-pads/-"]),
    ],
)
def test_which_are_praised(read: Read, text: str, parts: list[str]) -> None:
    assert good(read(text)) == parts


def test_praise_before_a_comma_is_not_of_the_next_part(read: Read) -> None:
    reading = read("Fork tubes, the left one's spot on, the right has a nick in it.")
    assert good(reading) == ["fork-stanchion/left"]
    assert found(reading) == ["fork-stanchion/right/scratch"]


def test_right_behind_left_is_a_side(read: Read) -> None:
    assert found(read("Side panels. Left, nothing. Right, there's a scuff low down.")) == ["side-panel/right/scuff"]


@pytest.mark.parametrize(
    ("text", "promised"),
    [
        ("That guard's loose. I'll bond that back on.", True),
        ("The mirror's cracked and there's a new one coming.", True),
        ("That pad is going to be replaced.", True),
        ("It's not leaving until I've changed that tyre.", True),
        ("There's a dent and I'm not fixing it.", False),
        ("I'll point that out when we get there.", False),
        ("I'll show you it in a minute.", False),
    ],
)
def test_promises(read: Read, text: str, promised: bool) -> None:
    assert bool(read(text).promises) == promised
