"""The age identifier of a mark at every boundary.

DVLA leaflet INF104, "Vehicle registration numbers and number plates": 02 to 50 for March to August of 20yy, 51 to 99
for September of 20(yy - 50) to the end of February, from 1 September 2001 (form, start and half-year rule seen;
"00" and that 01 was never issued: from memory).
"""

from datetime import date, timedelta
from itertools import pairwise

import pytest

from walkround.narration.lexicon import load_lexicon
from walkround.trade.registration import age_period, form_question, identifier_of, meaning, year_question
from walkround.trade.tables import Tables

TABLES = Tables(load_lexicon())
PERIODS = [
    ("51", date(2001, 9, 1), date(2002, 2, 28)), ("02", date(2002, 3, 1), date(2002, 8, 31)),
    ("52", date(2002, 9, 1), date(2003, 2, 28)), ("53", date(2003, 9, 1), date(2004, 2, 29)),
    ("08", date(2008, 3, 1), date(2008, 8, 31)), ("58", date(2008, 9, 1), date(2009, 2, 28)),
    ("12", date(2012, 3, 1), date(2012, 8, 31)), ("61", date(2011, 9, 1), date(2012, 2, 29)),
    ("17", date(2017, 3, 1), date(2017, 8, 31)), ("67", date(2017, 9, 1), date(2018, 2, 28)),
    ("19", date(2019, 3, 1), date(2019, 8, 31)), ("69", date(2019, 9, 1), date(2020, 2, 29)),
    ("70", date(2020, 9, 1), date(2021, 2, 28)), ("74", date(2024, 9, 1), date(2025, 2, 28)),
    ("26", date(2026, 3, 1), date(2026, 8, 31)), ("76", date(2026, 9, 1), date(2027, 2, 28)),
    ("00", date(2050, 9, 1), date(2051, 2, 28)),
]  # fmt: skip


@pytest.mark.parametrize(("identifier", "first", "last"), PERIODS)
def test_periods(identifier: str, first: date, last: date) -> None:
    period = age_period(identifier)
    assert period is not None
    assert (period.first, period.last) == (first, last)


def test_the_periods_follow_one_another_without_a_gap() -> None:
    order = ["51", *[i for n in range(2, 51) for i in (f"{n:02}", f"{n + 50:02}")][:-1], "00"]
    periods = [age_period(i) for i in order]
    for before, after in pairwise(periods):
        assert before is not None
        assert after is not None
        assert before.last + timedelta(days=1) == after.first, (before, after)


@pytest.mark.parametrize("identifier", ["01", "", "1", "123", "S", "AB", "1x"])
def test_what_is_no_identifier(identifier: str) -> None:
    assert age_period(identifier) is None
    assert meaning(TABLES, identifier) is None


@pytest.mark.parametrize(
    ("identifier", "year", "asks"),
    [
        ("67", 2017, False), ("67", 2018, False), ("67", 2016, False), ("67", 2015, True), ("67", 2020, True),
        ("19", 2019, False), ("19", 2018, False), ("19", 2022, True), ("51", 2001, False), ("01", 1990, False),
    ],
)  # fmt: skip
def test_year_said_against_the_plate(identifier: str, year: int, asks: bool) -> None:
    asked = year_question(TABLES, identifier, year)
    assert (asked is not None) == asks
    if asked:
        assert asked.endswith("Which is right?")


@pytest.mark.parametrize(
    ("mark", "asks"),
    [
        ("AB19 CDE", None), ("ab19cde", None), ("IB19 CDE", "I"), ("QB19 CDE", "Q"), ("ZB19 CDE", "Z"),
        ("AB19 IDE", "I"), ("AB19 CDQ", "Q"), ("AB19 ZZZ", None),
        ("S123 ABC", "older and personal"), ("1 A", "older and personal"), ("", "older and personal"),
    ],
)  # fmt: skip
def test_letters_that_are_never_issued(mark: str, asks: str | None) -> None:
    """Memory tag without I, Q, Z; last letters without I, Q (two pages)."""
    asked = form_question(TABLES, mark)
    assert (asked is None) if asks is None else (asked is not None and asks in asked and asked.endswith("?"))


def test_the_identifier_of_a_mark() -> None:
    assert identifier_of("AB19 CDE") == "19"
    assert identifier_of("S123 ABC") is None


def test_the_sentence_names_the_leaflet() -> None:
    assert meaning(TABLES, "69") == (
        "69: first registered 1 September 2019 to 29 February 2020, unless the mark is a personal one "
        "(DVLA leaflet INF104, Vehicle registration numbers and number plates)."
    )
