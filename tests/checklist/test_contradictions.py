"""Two things said of one part that cannot both hold: kept as a fault, and asked with both times."""

import pytest
from talks import record, timed

from walkround.report.record import Report


def states(report: Report, part: str) -> set[str]:
    return {row.state for row in report.checklist if row.part == part}


def told(report: Report) -> list[tuple[str, list[tuple[int, float]]]]:
    return [(q.about, [(e.source, round(e.start)) for e in q.evidence]) for q in report.questions]


def test_no_marks_and_a_dent_five_minutes_later() -> None:
    report = record(
        timed(
            [
                (120.0, "There are no marks on the tank."),
                (300.0, "The seat is fine."),
                (430.0, "There's a tiny dent on the tank."),
            ]
        )
    )
    assert states(report, "fuel-tank") == {"finding"}
    (question,) = report.questions
    assert question.about == "Fuel tank"
    assert [(e.quote, e.start) for e in question.evidence] == [
        ("There are no marks on the tank.", 120.0),
        ("There's a tiny dent on the tank.", 430.0),
    ]
    assert any(row.review for row in report.checklist if row.part == "fuel-tank")


@pytest.mark.parametrize(
    ("first", "later", "asked"),
    [
        ("There's a dent in the tank.", "The tank is perfect.", True),  # whichever comes first
        ("The tank is spotless.", "The tank is scratched.", True),
        ("There's no rust on the frame.", "There's rust on the frame.", True),
        ("The tank doesn't leak.", "There's a scratch on the tank.", False),  # another fault
        ("The seat is fine.", "There's a scratch on the tank.", False),  # another part
        ("The left mirror is perfect.", "The right mirror is scratched.", False),  # the other side
        ("Both mirrors are perfect.", "The right mirror is scratched.", True),
        ("The tank is perfect, apart from a scratch on the tank.", "The scratch on the tank is small.", False),
        ("The tank is perfect.", "There might be a scratch on the tank.", False),  # not said to be there
    ],
)
@pytest.mark.parametrize("films", [1, 2])
def test_what_is_asked(first: str, later: str, asked: bool, films: int) -> None:
    if films == 1:
        report = record(timed([(10.0, first), (200.0, later)]))
        expected = [(0, 10.0), (0, 200.0)]
    else:
        report = record(timed([(10.0, first)]), timed([(5.0, later)]))
        expected = [(0, 10.0), (1, 5.0)]
    assert [where for _, where in told(report)] == ([expected] if asked else [])
    if asked:
        assert not states(report, "fuel-tank") & {"clear"}


def test_praise_in_the_same_breath_is_no_contradiction() -> None:
    report = record(timed([(10.0, "The tank is lovely."), (14.0, "There's just one scratch on the tank.")]))
    assert report.questions == []
    assert states(report, "fuel-tank") == {"finding"}
