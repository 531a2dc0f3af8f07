"""What does not fit together: questions for a person, in words, with the arithmetic shown. Never an accusation."""

from dataclasses import dataclass
from datetime import date

from walkround.report.record import Fact, Question, Report, Spoken
from walkround.trade.days import day_words, last_day
from walkround.trade.registration import age_period
from walkround.trade.tables import Tables
from walkround.trade.units import convert

DAYS_A_YEAR = 365.25


@dataclass(frozen=True)
class Use:
    """Miles a year, least and greatest, and the sum that they came from, in words."""

    least: float
    greatest: float
    sum: str


def evidence(*facts: Fact | None) -> list[Spoken]:
    """The words of facts that were spoken."""
    return [
        Spoken(quote=f.quote, start=f.start, end=f.start, source=f.source)
        for f in facts
        if f is not None and f.quote is not None and f.start is not None
    ]


def year_said(report: Report) -> int | None:
    """The year that was said or given, where it is a number."""
    fact = report.bike.get("year")
    return int(fact.value) if fact and str(fact.value).isdigit() else None


def first_registered(report: Report) -> tuple[date, date] | None:
    """The first and last day on which the bike may have been registered, by its plate, else by its year."""
    plate = report.bike.get("plate_age")
    period = age_period(str(plate.value)) if plate else None
    if period:
        return period.first, period.last
    year = year_said(report)
    return (date(year, 1, 1), date(year, 12, 31)) if year and 1900 <= year <= 2100 else None


def use(report: Report, today: date | None) -> Use | None:
    """Miles a year up to the day of filming, or None where the mileage, its unit, the age or the day is not known."""
    mileage, unit, days = report.bike.get("mileage"), report.bike.get("mileage_unit"), first_registered(report)
    if mileage is None or unit is None or days is None or today is None or isinstance(mileage.value, str):
        return None
    miles = convert(float(mileage.value), str(unit.value), "miles")
    youngest, oldest = (today - days[1]).days, (today - days[0]).days
    if miles is None or youngest <= 0:
        return None
    low, high = miles / (oldest / DAYS_A_YEAR), miles / (youngest / DAYS_A_YEAR)
    said = f"{mileage.value:,} {unit.value}"
    if unit.value != "miles":
        said += f" ({miles:,.0f} miles)"
    years = f"{youngest / DAYS_A_YEAR:.1f} to {oldest / DAYS_A_YEAR:.1f}"
    return Use(
        low, high,
        f"{said} in {years} years, first registered {day_words(days[0])} to {day_words(days[1])} and filmed "
        f"{day_words(today)}: {low:,.0f} to {high:,.0f} miles a year",
    )  # fmt: skip


def mileage_questions(tables: Tables, report: Report, today: date | None) -> list[Question]:
    """Asked where the miles a year are unusual; the bounds are common practice without a source."""
    worked = use(report, today)
    if worked is None:
        return []
    usual = tables.tree["usual"]
    mileage = report.bike["mileage"]
    if worked.least > usual["miles_a_year"]:
        text = f"{worked.sum}. That is more than most motorcycles cover. Was the mileage heard right?"
    elif worked.greatest < usual["miles_a_year_least"]:
        text = f"{worked.sum}. That is very little. Was the mileage heard right, and has the bike stood?"
    else:
        return []
    return [Question(about="mileage and age", text=text, evidence=evidence(mileage, report.bike.get("year")))]


def day_questions(report: Report, today: date | None) -> list[Question]:
    """Asked where the year or the plate is after the day of filming."""
    days = first_registered(report)
    if today is None or days is None or days[0] <= today:
        return []
    text = (
        f"The film was recorded on {day_words(today)} by its own date, and the year or plate that was said begins on "
        f"{day_words(days[0])}. Is the camera's date right, and were the words heard right?"
    )
    fact = report.bike.get("plate_age") or report.bike.get("year")
    return [Question(about="year and film", text=text, evidence=evidence(fact))]


def signed_questions(recorded: date | None, signed: date | None, most_days: int = 60) -> list[Question]:
    """Asked where the film is dated after the sign-off, or long before it. 60 days: our own choice, no source."""
    if recorded is None or signed is None:
        return []
    apart = (signed - recorded).days
    if 0 <= apart <= most_days:
        return []
    days = f"The film is dated {day_words(recorded)} and the report was signed off on {day_words(signed)}, "
    if apart < 0:
        return [Question(about="film and sign-off", text=f"{days}{-apart} days before it. Is the camera's date right?")]
    text = f"{days}{apart} days later. Has anything changed on the bike since it was filmed?"
    return [Question(about="film and sign-off", text=text)]


def paper_questions(report: Report, today: date | None) -> list[Question]:
    """Asked where the test certificate ran out before the day of filming, or the mileage is past a service due."""
    asked = []
    test, due, mileage = (report.bike.get(key) for key in ("test_expiry", "service_due_at", "mileage"))
    last = last_day(str(test.value)) if test else None
    if last and today and last < today:
        text = (
            f"The test certificate was said to run to {test.value if test else ''}, and the film is of "
            f"{day_words(today)}. Is there a later one, and was the date heard right?"
        )
        asked.append(Question(about="test certificate", text=text, evidence=evidence(test)))
    units = [report.bike[key].value for key in ("service_due_at_unit", "mileage_unit") if key in report.bike]
    if due is None or mileage is None or isinstance(due.value, str) or isinstance(mileage.value, str):
        return asked
    if due.value <= mileage.value and len(set(units)) <= 1:
        text = (
            f"The next service was said to be due at {due.value:,}, and the mileage is {mileage.value:,}. "
            "Has it been done?"
        )
        asked.append(Question(about="service", text=text, evidence=evidence(due, mileage)))
    return asked


def key_questions(report: Report) -> list[Question]:
    """Asked where the number of keys said and the keys listed as included do not meet."""
    said = report.bike.get("keys")
    if said is None or isinstance(said.value, str):
        return []
    listed = [row for row in report.included if row.part == "keys"]
    out = [row for row in report.excluded if row.part == "keys"]
    asked = []
    if out and said.value:
        count = _keys(int(said.value))
        text = f"{count} said, and a key is also said not to come with the bike. How many does the buyer get?"
        asked.append(Question(about="keys", text=text, evidence=[*evidence(said), *(_words(row) for row in out)]))
    if listed and not said.value:
        text = "No key was said, and a key is also said to come with the bike. How many does the buyer get?"
        asked.append(Question(about="keys", text=text, evidence=[*evidence(said), *(_words(row) for row in listed)]))
    return asked


def history_questions(report: Report, full_said: list[Spoken], proof_said: bool) -> list[Question]:
    """Asked where a full service history was claimed and no stamp, receipt or invoice was mentioned."""
    if not full_said or proof_said:
        return []
    text = (
        "A full service history was said, and no stamps, receipts or invoices were mentioned. "
        "What is there to show for it?"
    )
    return [Question(about="service history", text=text, evidence=full_said[:3])]


def _keys(count: int) -> str:
    return f"{count} key was" if count == 1 else f"{count} keys were"


def _words(row: Spoken) -> Spoken:
    return Spoken(quote=row.quote, start=row.start, end=row.end, source=row.source)
