"""Whose piece it is: a cap, a seal, a cover beside another part."""

import pytest
from rows import Find


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("The cap's missing off the rear shock.", "rear-shock/-/missing"),
        ("There's a dent in the end tank of the radiator.", "radiator/-/dent"),
        ("The bleed nipple's snapped off in the right front caliper.", "front-brake-caliper/right/broken"),
        ("The seal's perished on the top box.", "top-box/-/perished"),
        ("The dust seal on the left fork is torn.", "fork-seal/left/tear"),  # a part of its own within the fork
        ("The battery strap's missing.", "battery/-/missing"),
        ("The lacquer's coming off the front wheel.", "front-wheel/-/peeling"),
    ],
)
def test_a_piece_belongs_to_the_part_named_with_it(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("A dent on the tank and another on the silencer.", ["exhaust-silencer/-/dent", "fuel-tank/-/dent"]),
        ("The tank is dented. The seat is torn.", ["fuel-tank/-/dent", "rider-seat/-/tear"]),
        ("Coolant hose there at the back of the radiator, it's weeping.", ["coolant-hose/-/leak"]),
    ],
)
def test_a_part_that_only_tells_where_owns_nothing(find: Find, text: str, faults: list[str]) -> None:
    assert find(text) == faults


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("The caliper on the front right is loose.", "front-brake-caliper/right/loose"),
        ("The mirror's chipped, the right one.", "mirror/right/paint-chip"),
        ("The pannier is dented, that's the left one.", "pannier/left/dent"),
    ],
)
def test_a_side_said_after_the_fault(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


def test_an_engine_that_runs_has_no_scratches(find: Find) -> None:
    """The engine as it runs makes noises; marks and leaks are those of its casing."""
    assert find("The engine is scratched.") == ["engine-casing/-/scratch"]
    assert find("The engine rattles.") == ["engine-running/-/noise"]
