"""Great Britain's registration marks since 1 September 2001 and what their age identifier says (DVLA INF104)."""

import re
from dataclasses import dataclass
from datetime import date, timedelta

from walkround.trade.days import MONTHS, day_words
from walkround.trade.tables import Tables

_FORM = re.compile(r"([A-Z]{2})\s?(\d{2})\s?([A-Z]{3})")
#: The first day of the present form.
BEGAN = date(2001, 9, 1)


@dataclass(frozen=True)
class Period:
    """The days between which a mark with an age identifier was first issued, both included."""

    first: date
    last: date


def age_period(identifier: str) -> Period | None:
    """The half-year of an age identifier: "19" is March to August 2019, "69" September 2019 to February 2020.

    None for what is no identifier of this form: letters, 01 (never issued) and anything but two digits.
    """
    if not re.fullmatch(r"\d{2}", identifier) or identifier == "01":
        return None
    number = int(identifier)
    if number == 0:
        return Period(date(2050, 9, 1), date(2051, 3, 1) - timedelta(days=1))
    if number <= 50:
        return Period(date(2000 + number, 3, 1), date(2000 + number, 8, 31))
    year = 2000 + number - 50
    return Period(date(year, 9, 1), date(year + 1, 3, 1) - timedelta(days=1))


def identifier_of(mark: str) -> str | None:
    """The age identifier of a whole mark, or None where it is not of the present form."""
    found = _FORM.fullmatch(mark.strip().upper())
    return found[2] if found else None


def form_question(tables: Tables, mark: str) -> str | None:
    """What to ask about a mark that cannot be: letters that are never issued. None where nothing is odd."""
    found = _FORM.fullmatch(mark.strip().upper())
    if found is None:
        return (
            f"“{mark}” is not the form of a mark issued since September 2001; older and personal marks are lawful. "
            "Is it read right?"
        )
    table = tables.tree["registration"]["GB"]
    odd = sorted(set(found[1]) & set(table["first_letters_never"]) | set(found[3]) & set(table["last_letters_never"]))
    if odd:
        return (
            f"“{mark}” holds {' and '.join(odd)} where that letter is not issued ({table['source']}). Is it read right?"
        )
    return None


def words(period: Period) -> str:
    """ "1 March to 31 August 2019"."""
    first = day_words(period.first)
    if period.first.year == period.last.year:
        first = f"{period.first.day} {MONTHS[period.first.month - 1]}"
    return f"{first} to {day_words(period.last)}"


def meaning(tables: Tables, identifier: str) -> str | None:
    """When a bike with this age identifier may first have been registered, as a sentence with its source."""
    period = age_period(identifier)
    if period is None:
        return None
    source = tables.origin("registration", "GB").source
    return f"{identifier}: first registered {words(period)}, unless the mark is a personal one ({source})."


def year_question(tables: Tables, identifier: str, year: int) -> str | None:
    """What to ask where the plate and the year that was said do not meet. Never an accusation.

    A model's year may be the one before or after that of its registration, so only what is further off is asked
    about; a mark may lawfully make a bike look older than it is, never newer.
    """
    period = age_period(identifier)
    if period is None or period.first.year - 1 <= year <= period.last.year + 1:
        return None
    source = tables.origin("registration", "GB").source
    if year < period.first.year:
        return (
            f"The year said is {year}, and the age identifier {identifier} stands for {words(period)} ({source}). "
            "A bike may be registered long after it was made, abroad first for instance. Which is right?"
        )
    return (
        f"The year said is {year}, and the age identifier {identifier} stands for {words(period)} ({source}). "
        "A mark may lawfully be older than the bike. Which is right?"
    )
