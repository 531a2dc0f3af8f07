"""Which part a piece belongs to, which of two is meant, and what is no further fault."""

from collections.abc import Callable

import pytest

from walkround.narration.model import Reading

Read = Callable[[str], Reading]


def told(reading: Reading) -> list[tuple[str | None, str | None, str]]:
    return sorted((row.part, row.side, row.defect) for row in reading.findings)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Forks are nice. The slider on the right's got a deep scratch in it.", [("fork-leg", "right", "scratch")]),
        ("Crash bobbins. The slider on the right's got a scratch.", [("crash-bung", "right", "scratch")]),
        ("Fairings. The left panel's cracked at the bottom.", [("side-fairing", "left", "crack")]),
        ("Left mirror, the casing's got scratches all over it.", [("mirror", "left", "scratch")]),
        ("Mirrors are fine. Casing's scratched.", [("engine-casing", None, "scratch")]),
    ],
)
def test_a_piece_is_of_the_part_spoken_of(read: Read, text: str, expected: list[tuple[str, str, str]]) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Clutch lever's good. The other one's bent.", [("brake-lever", None, "bent")]),
        ("Front tyre's good. The other one's bald.", [("rear-tyre", None, "wear")]),
        ("Front mudguard's got a crack in it, down at the bottom on the back.", [("front-mudguard", None, "crack")]),
        ("Fork stanchions. The right, nothing. On the left there's a pit.", [("fork-stanchion", "left", "pitting")]),
        ("Panniers, the left one's got a dent you could sit in, the right one's fine.", [("pannier", "left", "dent")]),
        ("The twist grip's torn.", [("handlebar-grip", "right", "tear")]),
    ],
)
def test_which_of_two(read: Read, text: str, expected: list[tuple[str, str, str]]) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Petrol tank. I've had the cap off and it's rusty in there.", [("fuel-tank", None, "corrosion")]),
        ("Fuel tank. There's a dent to the right of the filler cap.", [("fuel-tank", None, "dent")]),
        ("The left fork's leaking, so the seal's shot.", [("fork-seal", "left", "leak")]),
        ("The rear tyre's twelve years old and it's cracking.", [("rear-tyre", None, "perished")]),
        ("It's a scooter. Levers, there's two, no clutch.", []),
        ("The shock's had its spring painted.", []),
    ],
)
def test_no_further_fault(read: Read, text: str, expected: list[tuple[str, str, str]]) -> None:
    assert told(read(text)) == expected


def test_what_may_lie_behind_a_fault_is_put_to_a_person(read: Read) -> None:
    reading = read("The lacquer on the tank's peeling at the seam. Could be rust under there.")
    assert told(reading) == [("fuel-tank", None, "peeling")]
    assert [row.defect for row in reading.unplaced] == ["corrosion"]
