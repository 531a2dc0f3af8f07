"""The date code of a tyre, against the rule and its own examples.

49 CFR 574.5: week 1 is the first full calendar week of the year (seen by way of an owner's manual), weeks run from
Sunday to Saturday and the last may run up to six days into the next year (from memory). 3197 and 0198 are the rule's
own examples (from memory); the other weeks were worked out from the rule and compared with Python's calendar for the
week of ISO 8601, which is another one.
"""

from datetime import date

import pytest

from walkround.narration.lexicon import load_lexicon
from walkround.trade.datecodes import age_in_years, first_sunday, meaning, read_code, week_of, weeks_in
from walkround.trade.tables import Tables

DAYS = [
    ("3197", date(1997, 8, 3), date(1997, 8, 9)),
    ("0198", date(1998, 1, 4), date(1998, 1, 10)),
    ("5299", date(1999, 12, 26), date(2000, 1, 1)),
    ("0100", date(2000, 1, 2), date(2000, 1, 8)),
    ("5300", date(2000, 12, 31), date(2001, 1, 6)),
    ("0101", date(2001, 1, 7), date(2001, 1, 13)),
    ("5209", date(2009, 12, 27), date(2010, 1, 2)),
    ("0109", date(2009, 1, 4), date(2009, 1, 10)),
    ("0110", date(2010, 1, 3), date(2010, 1, 9)),
    ("5306", date(2006, 12, 31), date(2007, 1, 6)),
    ("5312", date(2012, 12, 30), date(2013, 1, 5)),
    ("5317", date(2017, 12, 31), date(2018, 1, 6)),
    ("0519", date(2019, 2, 3), date(2019, 2, 9)),
    ("5219", date(2019, 12, 29), date(2020, 1, 4)),
    ("0120", date(2020, 1, 5), date(2020, 1, 11)),
    ("5220", date(2020, 12, 27), date(2021, 1, 2)),
    ("0121", date(2021, 1, 3), date(2021, 1, 9)),
    ("2322", date(2022, 6, 5), date(2022, 6, 11)),
    ("5323", date(2023, 12, 31), date(2024, 1, 6)),
    ("0124", date(2024, 1, 7), date(2024, 1, 13)),
    ("5328", date(2028, 12, 31), date(2029, 1, 6)),
]


@pytest.mark.parametrize(("code", "first", "last"), DAYS)
def test_weeks(code: str, first: date, last: date) -> None:
    made = read_code(code)
    assert (made.first, made.last, made.ask) == (first, last, None)


def test_years_with_a_week_53() -> None:
    assert [y for y in range(2000, 2031) if weeks_in(y) == 53] == [2000, 2006, 2012, 2017, 2023, 2028]


def test_week_1_is_the_first_full_week() -> None:
    for year in range(1990, 2050):
        sunday = first_sunday(year)
        assert sunday.weekday() == 6
        assert 1 <= sunday.day <= 7
        assert week_of(weeks_in(year), year) is not None
        assert week_of(weeks_in(year) + 1, year) is None


def test_it_is_not_the_iso_week() -> None:
    """For 2322 the week of ISO 8601 begins a day later; for 0519 a week earlier."""
    assert week_of(23, 2022) == (date(2022, 6, 5), date(2022, 6, 11))
    assert date.fromisocalendar(2022, 23, 1) == date(2022, 6, 6)
    assert date.fromisocalendar(2019, 5, 1) == date(2019, 1, 28)


@pytest.mark.parametrize("code", ["0022", "5422", "6022", "9921", "0000"])
def test_weeks_that_no_year_has_are_asked_about(code: str) -> None:
    made = read_code(code)
    assert made.first is None
    assert made.ask
    assert made.ask.endswith("?")


def test_a_week_that_only_iso_has_is_asked_about_and_not_refused() -> None:
    made = read_code("5320")
    assert made.first == date(2020, 12, 28)
    assert made.last == date(2021, 1, 3)
    assert made.ask


def test_the_form_before_2000_does_not_say_the_decade() -> None:
    made = read_code("317")
    assert "1997 or 1987 or 1977" in made.text
    assert made.ask


@pytest.mark.parametrize("code", ["", "1", "12345", "23a2", "week", "²³²²"])
def test_what_is_no_date_code_does_not_crash(code: str) -> None:
    assert read_code(code).ask


def test_a_code_after_the_day_of_filming_is_asked_about() -> None:
    assert read_code("2322", date(2022, 5, 1)).ask
    assert read_code("2322", date(2022, 7, 1)).ask is None


def test_age_on_the_day_of_filming() -> None:
    """Week 23 of 2022 (5 to 11 June 2022) to 25 November 2026: 1,628 to 1,634 days, of 365.25 days a year."""
    span = age_in_years(read_code("2322"), date(2026, 11, 25))
    assert span == pytest.approx((1628 / 365.25, 1634 / 365.25))


def test_the_sentence_names_its_rule_and_calls_practice_practice() -> None:
    tables = Tables(load_lexicon())
    said, ask = meaning(tables, "2318", date(2026, 11, 25))
    assert said.startswith("week 23 of 2018, June 2018; 8.4 to 8.5 years old on the day of filming")
    assert "common practice, no source" in said
    assert "49 CFR 574.5" in said
    assert ask is None
    assert "common practice" not in meaning(tables, "2324", date(2026, 11, 25))[0]
