"""Signing off: who vouches for the record, when, and for which films, record and edits exactly."""

import hashlib
from datetime import date

from walkround.errors import InputError
from walkround.report import record as r
from walkround.review.log import Entry, Log, new_entry
from walkround.trade.days import utc_day_of
from walkround.trade.plausibility import signed_questions

CHANGED = "changed after it was signed, by {who} on {day}"
OTHER = "the record is no longer the one that was signed"
OTHER_FILM = "a film is no longer the one that was signed"


def open_rows(report: r.Report) -> int:
    """How many rows still need a person; what several films say of one thing is one of them."""
    rows = sum(row.review is not None for row in report.findings)
    rows += sum(row.settled is None or row.review is not None for row in report.unplaced)
    rows += sum(question.between_films and question.settled is None for question in report.questions)
    return rows + sum(row.review is not None for row in report.checklist)


def content_hash(report: r.Report) -> str:
    """SHA-256 of the record without what tells of the signing itself."""
    return hashlib.sha256(report.model_copy(update={"review": None, "signed": None}).to_json().encode()).hexdigest()


def films_of(report: r.Report) -> list[str | None]:
    """SHA-256 of each film, in order."""
    return [report.media.sha256, *(media.sha256 for media in report.added)]


def days_asked(report: r.Report, signed: date | None) -> list[r.Question]:
    """What to ask where a film is dated after the day of signing, or long before it: once each, in order of films."""
    asked: dict[str, r.Question] = {}
    for media in (report.media, *report.added):
        for question in signed_questions(utc_day_of(media.recorded_at), signed):
            asked.setdefault(question.text, question)
    return list(asked.values())


def signature(report: r.Report, log: Log, who: str) -> Entry:
    """The entry that signs the record off. Raises InputError while rows need a person, or without a name."""
    if not who.strip():
        raise InputError("A signature needs a name: write who signs.")
    amount = open_rows(report)
    if amount:
        raise InputError(
            f"{amount} {'line needs' if amount == 1 else 'lines need'} a person first: settle "
            f"{'it' if amount == 1 else 'them'}, then sign."
        )
    after = {"films": films_of(report), "record": content_hash(report), "log": log.head}
    return new_entry(log.entries[-1:], who.strip(), "sign", after=after)


def sealed(report: r.Report, log: Log, *, record: bool = True) -> r.Report:
    """The record with the state of the log and the last signature in it, and whether that still holds. Pure.

    Without ``record`` it is not asked whether the record is the one that was signed: its pictures may be missing yet.
    """
    if not log.entries:
        return report
    review = r.Review(edits=len(log.entries), log=log.head)
    signed = [entry for entry in log.entries if entry.action == "sign"]
    if not signed:
        return report.model_copy(update={"review": review})
    last = signed[-1]
    later = log.entries[last.id :]
    withdrawn = None
    if later:
        withdrawn = CHANGED.format(who=later[0].who, day=later[0].time[:10])
    elif last.after["films"] != films_of(report):
        withdrawn = OTHER_FILM
    elif record and last.after["record"] != content_hash(report):
        withdrawn = OTHER
    asked = days_asked(report, utc_day_of(last.time))
    row = r.Signed(who=last.who, at=last.time, withdrawn=withdrawn, asked=asked, **last.after)
    return report.model_copy(update={"review": review, "signed": row})
