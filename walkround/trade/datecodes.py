"""The week in which a tyre was made, from the last digits of its identification number (49 CFR 574.5).

Week 1 is the first full calendar week of the year; weeks run from Sunday to Saturday, and the last may run into the
next year. It is not the week of ISO 8601: a maker may print that one, so a code that only it knows is asked about and
not refused.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from walkround.trade.days import MONTHS
from walkround.trade.tables import Tables


@dataclass(frozen=True)
class TyreDate:
    """``first`` and ``last`` are the days of the week of making (or of the year, where only that was said)."""

    text: str
    first: date | None
    last: date | None
    ask: str | None = None


def first_sunday(year: int) -> date:
    """The Sunday on which week 1 begins."""
    day = date(year, 1, 1)
    return day + timedelta(days=(6 - day.weekday()) % 7)


def weeks_in(year: int) -> int:
    """52 or 53: weeks whose Sunday falls in the year."""
    return ((date(year, 12, 31) - first_sunday(year)).days // 7) + 1


def week_of(week: int, year: int) -> tuple[date, date] | None:
    """Sunday and Saturday of a week, or None where the year has no such week."""
    if not 1 <= week <= weeks_in(year):
        return None
    sunday = first_sunday(year) + timedelta(weeks=week - 1)
    return sunday, sunday + timedelta(days=6)


def read_code(code: str, today: date | None = None) -> TyreDate:
    """What a date code says. ``today`` is the day of filming: nothing is made after it. Never raises."""
    if not (code.isascii() and code.isdigit()) or len(code) not in (2, 3, 4):
        return TyreDate(f"“{code}” is no date code", None, None, "a date code has four digits; look at the sidewall")
    if len(code) == 2:
        year = 2000 + int(code)
        made = TyreDate(
            f"the year {year}, as it is commonly said (common practice, no source)",
            date(year, 1, 1), date(year, 12, 31),
            "only two digits were said; four stand on the sidewall, week and year",
        )  # fmt: skip
        return _not_after(made, today)
    if len(code) == 3:
        return _old_form(code, today)
    week, year = int(code[:2]), 2000 + int(code[2:])
    if year - 2000 > 80:
        year -= 100
    span = week_of(week, year)
    if span is None:
        if week == 53 and date(year, 12, 28).isocalendar().week == 53:
            first = date.fromisocalendar(year, 53, 1)
            text = f"week 53 of {year} by ISO 8601, which some makers print; by 49 CFR 574.5 there is none"
            return TyreDate(
                text, first, first + timedelta(days=6), "there is no week 53 in that year by the rule; misheard?"
            )
        who = f"{year} has" if week == 53 else "no year has"
        text = f"“{code}”: {who} {'no' if week == 53 else 'a'} week {week}"
        return TyreDate(text, None, None, f"{year} has no week {week}; misheard, or another number?")
    return _not_after(TyreDate(f"week {week} of {year}, {MONTHS[span[0].month - 1]} {span[0].year}", *span), today)


def _old_form(code: str, today: date | None) -> TyreDate:
    """Three digits, before July 2000: the decade is not said."""
    week, digit = int(code[:2]), int(code[2])
    years = [y for y in (1990 + digit, 1980 + digit, 1970 + digit) if week_of(week, y)]
    if not years:
        return TyreDate(f"“{code}” is no date code", None, None, f"no year has a week {week}; misheard?")
    listed = " or ".join(str(y) for y in years)
    return TyreDate(
        f"week {week} of {listed}: the form with three digits, used before July 2000, does not say the decade",
        None, date(years[0], 12, 31), "three digits mean a tyre made before July 2000, unless one was not heard",
    )  # fmt: skip


def _not_after(made: TyreDate, today: date | None) -> TyreDate:
    if today and made.first and made.first > today:
        return TyreDate(made.text, made.first, made.last, "that is after the day of filming; misheard?")
    return made


def age_in_years(made: TyreDate, today: date) -> tuple[float, float] | None:
    """Least and greatest age in years of 365.25 days on the day of filming, or None where it cannot be told."""
    if made.first is None or made.last is None or made.first > today:
        return None
    return max(0.0, (today - made.last).days / 365.25), (today - made.first).days / 365.25


def meaning(tables: Tables, code: str, today: date | None) -> tuple[str, str | None]:
    """(what the code says, in words with its source; what a person should ask)."""
    made = read_code(code, today)
    text = made.text
    span = age_in_years(made, today) if today else None
    if span:
        low, high = span
        old = f"{high:.1f}" if round(low, 1) == round(high, 1) else f"{low:.1f} to {high:.1f}"
        text += f"; {old} years old on the day of filming"
        years = tables.tree["tyre_age"]["years"]
        if low >= years:
            text += f", more than the {years} years after which many change a tyre ({tables.origin('tyre_age').source})"
    return f"{text} ({tables.origin('date_code').source}).", made.ask
