"""One fault told twice over is one; faults joined as further ones are several."""

import pytest
from rows import Find, Read


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("The fork gaiter has perished, it's gone hard.", ["fork-leg/-/perished"]),
        ("Front indicator, the left one droops, it's loose.", ["front-indicator/left/loose"]),
        ("The lacquer on the caliper's peeling and it's gone a bit milky.", ["front-brake-caliper/-/peeling"]),
    ],
)
def test_what_goes_on_about_a_fault_is_no_other_fault(find: Find, text: str, faults: list[str]) -> None:
    assert find(text) == faults


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("The tank has a scratch and a scuff.", ["fuel-tank/-/scratch", "fuel-tank/-/scuff"]),
        ("The tank has a scuff, a scratch.", ["fuel-tank/-/scratch", "fuel-tank/-/scuff"]),
        ("The chain has a tight spot in it, and there's some rust.", ["chain/-/corrosion", "chain/-/wear"]),
        ("The screen is cracked, and it's gone yellow on top of that.", ["windscreen/-/crack", "windscreen/-/fading"]),
        ("The chain's rusty, it's slack.", ["chain/-/corrosion", "chain/-/loose"]),  # of different kinds
    ],
)
def test_what_is_joined_as_further_is_another_fault(find: Find, text: str, faults: list[str]) -> None:
    assert find(text) == faults


def test_a_closer_word_names_the_fault(find: Find) -> None:
    assert find("Top box, the strut's gone, it won't stay up.") == ["top-box/-/not-working"]
    assert find("The screen's had it. There's a crack right across.") == ["windscreen/-/crack"]


def test_the_trace_keeps_the_further_words(read: Read) -> None:
    (row,) = read("The lacquer on the caliper's peeling and it's gone a bit milky.").findings
    assert any(step.step == "more of the same fault" for step in row.trace)
