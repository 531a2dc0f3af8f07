"""Left, right, both and the other: which words mean a side, and which do not."""

import pytest
from rows import Find


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("The right-hand mirror is cracked.", "mirror/right/crack"),
        ("The nearside indicator at the front is cracked.", "front-indicator/left/crack"),
        ("On the offside the fairing is scratched.", "side-fairing/right/scratch"),
        ("Both mirrors are loose.", "mirror/both/loose"),
        ("The mirror on the left is cracked.", "mirror/left/crack"),
        ("The crack goes right across the left mirror.", "mirror/left/crack"),
        ("The clutch side bar end is scraped.", "bar-end/left/scuff"),
        ("Kickstand side, the fairing is rubbed.", "side-fairing/left/scuff"),
        ("Throttle side, the bar end is scraped.", "bar-end/right/scuff"),
        ("Down the right, a scrape on the silencer.", "exhaust-silencer/right/scuff"),
        ("Moving to the left side. The fairing is cracked.", "side-fairing/left/crack"),
        ("The left mirror is fine. The other one is cracked.", "mirror/right/crack"),
        ("The left, sorry, right-hand mirror is scuffed.", "mirror/right/scuff"),
        ("The left-hand lower fairing is cracked.", "side-fairing/left/crack"),
        ("The fork seals are weeping.", "fork-seal/both/leak"),
    ],
)
def test_words_for_a_side(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("There are three mil left, and the mirror is cracked.", "mirror/-/crack"),
        ("Right, the mirror is cracked.", "mirror/-/crack"),
        ("Right then, the pannier's scratched.", "pannier/-/scratch"),
        ("All right, the fairing's scratched.", "side-fairing/-/scratch"),
        ("I left the scratched mirror on.", "mirror/-/scratch"),
        ("I'll go right round it, and the mirror's loose.", "mirror/-/loose"),
    ],
)
def test_words_that_are_no_side(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


def test_a_part_in_the_middle_has_no_side(find: Find) -> None:
    assert find("The left of the tank is dented.") == ["fuel-tank/-/dent"]


def test_the_camera_carries_the_side(find: Find) -> None:
    text = "Left side first. The fairing's scratched. Now the right side. The fairing's cracked."
    assert find(text) == ["side-fairing/left/scratch", "side-fairing/right/crack"]


def test_the_other_side_is_the_other_one(find: Find) -> None:
    text = "Left side. The fairing's fine. Round to the other side. The fairing is scuffed."
    assert find(text) == ["side-fairing/right/scuff"]
