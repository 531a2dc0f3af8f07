"""Services: at what mileage or when one was done, and at what mileage or in how far one is due."""

from spacy.tokens import Doc

from walkround.narration.amounts import Amount, before_about
from walkround.narration.dates import day_or_month
from walkround.narration.lexicon import Lexicon
from walkround.narration.model import FactRow, Reading
from walkround.narration.openings import forms
from walkround.narration.text import quote, times

_DISTANCE = {"mile": "miles", "kilometre": "km", "km": "km"}
#: The words before the number in which what it stands for is looked for (tokens).
REACH = 10
#: A distance between services is not less than this.
LEAST = 100


def read_service(doc: Doc, lexicon: Lexicon, amounts: list[Amount], reading: Reading) -> None:
    """Fill ``serviced_at``, ``service_due_at``, ``service_due_in`` with their units, and ``serviced_on``."""
    words: list[str] = doc._.folds
    for start, end in doc._.clauses.sentences:
        if not forms(lexicon, "service", "words").within(words, start, end):
            continue
        for amount in (a for a in amounts if start <= a.start < end):
            kind = _kind(lexicon, amount, start, end, words)
            if kind is None:
                continue
            key, unit = kind
            if key not in reading.facts:
                reading.facts[key] = _row(doc, _whole(amount.value), amount.start, amount.end)
                reading.facts[key].approximate = amount.about
                reading.facts[key].upper = None if amount.upper is None else _whole(amount.upper)
                if unit:
                    reading.facts[f"{key}_unit"] = _row(doc, unit, amount.start, amount.end)
        when = day_or_month(doc, lexicon, start, end)
        if when and when.named and "serviced_on" not in reading.facts:
            low = max(start, when.start - REACH)
            done, due = forms(lexicon, "service", "on"), forms(lexicon, "service", "due")
            if done.within(words, low, when.start) and not due.within(words, low, when.start):
                reading.facts["serviced_on"] = _row(doc, when.text, when.start, when.end)


def _kind(lexicon: Lexicon, amount: Amount, start: int, end: int, words: list[str]) -> tuple[str, str | None] | None:
    """Which fact a number in a sentence on servicing is, with the unit that was said."""
    unit = _DISTANCE.get(words[amount.end]) if amount.end < len(words) else None
    if amount.value < LEAST or (unit is None and amount.value < 1000):
        return None
    low, at = max(start, amount.start - REACH), before_about(lexicon, words, amount.start)

    def just_said(key: str) -> bool:
        return forms(lexicon, "service", key).start_before(words, at, low) is not None

    due = forms(lexicon, "service", "due")
    if unit and just_said("due_in"):
        return ("service_due_in", unit) if due.within(words, start, end) else None
    if just_said("due_at") or (words[at - 1 : at] == ["at"] and due.within(words, low, at)):
        return "service_due_at", unit
    return ("serviced_at", unit) if just_said("at") else None


def served_spans(reading: Reading) -> set[int]:
    """First tokens of the numbers that were taken for a service and so are no mileage."""
    return {fact.at for key, fact in reading.facts.items() if key.startswith("service") and fact.at is not None}


def _whole(value: float) -> int | float:
    return int(value) if value == int(value) else value


def _row(doc: Doc, value: int | float | str, start: int, end: int) -> FactRow:
    s, e = doc._.clauses.span_of(start)
    return FactRow(value, quote(doc, s, max(e, end)), times(doc, start, end)[0], at=start)
