"""Days in words, whatever the locale, and the days that a record speaks of."""

from datetime import UTC, date, datetime, timedelta

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def day_words(day: date) -> str:
    """ "14 May 2026"."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def last_day(text: str) -> date | None:
    """The last day that "14 June 2027" or "June 2027" stands for; None without a year."""
    words = text.split()
    if len(words) < 2 or not words[-1].isdigit() or words[-2] not in MONTHS:
        return None
    year, month = int(words[-1]), MONTHS.index(words[-2]) + 1
    try:
        if len(words) > 2 and words[0].isdigit():
            return date(year, month, int(words[0]))
        return date(year + month // 12, month % 12 + 1, 1) - timedelta(days=1)
    except ValueError:
        return None


def day_of(text: str | None) -> date | None:
    """The day of an ISO 8601 time, or None where it is none."""
    try:
        return datetime.fromisoformat(text).date() if text else None
    except ValueError:
        return None


def utc_day_of(text: str | None) -> date | None:
    """The day of an ISO 8601 time in UTC, so that two times can be laid beside one another; None where it is none.

    A time without a zone is taken as it stands.
    """
    try:
        when = datetime.fromisoformat(text) if text else None
    except ValueError:
        return None
    if when is None:
        return None
    return when.astimezone(UTC).date() if when.tzinfo else when.date()
