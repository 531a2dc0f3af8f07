"""Spoken figures that belong together: the ends of a range, one for each end of the bike, a meter's reading."""

from dataclasses import dataclass

from spacy.tokens import Doc

from walkround.narration.amounts import Amount
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import between
from walkround.narration.openings import forms
from walkround.narration.text import quote

#: How far (tokens) after two figures the order of the ends may be said ("on the tyres, front and rear").
ORDER_REACH = 7
#: What a meter on a battery shows before the point where "point" is left out ("twelve seven").
METER = (11, 12, 13, 14)
#: How far (tokens) from a figure its limit may be said.
LIMIT_REACH = 14


@dataclass(slots=True)
class Measured:
    """A number with its unit at tokens ``start`` up to ``end``; ``upper`` is the far end of a range."""

    value: float | str
    unit: str | None
    start: int
    end: int
    approximate: bool = False
    quantity: str = ""
    bare: bool = False  # no unit was said: it counts only for tyres, pads, discs and batteries
    upper: float | None = None
    review: str | None = None
    end_said: str = ""  # "front" or "rear": one of two figures said of both ends together
    end_doubt: str | None = None  # why it may be that of the other end
    limit: float | None = None  # the least that it may be, where the narrator says it beside the figure


def meter_readings(doc: Doc, words: list[str], amounts: list[Amount], lexicon: Lexicon) -> list[Amount]:
    """ "Twelve seven" of a battery is 12.7: two numbers side by side, the first about its volts, the second a digit."""
    batteries = set(lexicon.trees["measures.toml"]["bare"]["volts"])
    joined: list[Amount] = []
    for amount in amounts:
        first = joined[-1] if joined else None
        side_by_side = first is not None and first.end == amount.start and not doc._.tokens[amount.start - 1].mark
        if first and side_by_side and first.value in METER and amount.value in range(10) and amount.upper is None:
            start, end = doc._.clauses.span_of(amount.start)
            if any(t.id in batteries for t in between(doc._.terms.things, start, end)):
                value = first.value + amount.value / 10
                said = quote(doc, first.start, amount.end)
                joined[-1] = Amount(
                    value, first.start, amount.end, about=first.about, review=f"“{said}” is taken for {value:g}"
                )
                continue
        joined.append(amount)
    return joined


def one_range(
    doc: Doc, words: list[str], sized: list[Measured], amounts: list[Amount], lexicon: Lexicon
) -> list[Measured]:
    """ "Three mil to four mil": two sizes in one unit with "to" or "or" between them are one range; and "two mil, two
    and a half tops"."""
    found: list[Measured] = []
    for m in sized:
        low = found[-1] if found else None
        if (
            low
            and low.unit == m.unit
            and low.upper is None
            and m.upper is None
            and words[low.end : m.start] in (["to"], ["or"], ["maybe"], ["or", "maybe"])
            and isinstance(low.value, float | int)
            and isinstance(m.value, float | int)
            and low.value < m.value
        ):
            found[-1] = Measured(low.value, m.unit, low.start, m.end, low.approximate, upper=m.value)
        else:
            found.append(m)
    begins = {a.start: a for a in amounts}
    for m in found:
        far = begins.get(m.end) if doc._.tokens[m.end - 1].mark == "," else None
        most = forms(lexicon, "about", "most").end_from(words, far.end) if far else None
        if far and most and m.upper is None and isinstance(m.value, float | int) and 0 < far.value - m.value <= m.value:
            m.upper, m.end = far.value, most
    return found


def pairs(words: list[str], amounts: list[Amount], sized: list[Measured], lexicon: Lexicon) -> list[Measured]:
    """ "Thirty-two and thirty-six psi": the first has the unit of the second; front and rear, in that order."""
    found: list[Measured] = []
    ends = {w: name for name, said in lexicon.axis.items() for w in said}
    ended = {a.end: a for a in amounts}
    for m in sized:
        first = ended.get(m.start - 1) if words[m.start - 1] == "and" else None
        if first is None or first.unit or first.upper or m.upper or (found and found[-1].end > first.start):
            found.append(m)
            continue
        after = [ends[w] for w in words[m.end : m.end + ORDER_REACH] if w in ends]
        order = after if after in (["front", "rear"], ["rear", "front"]) else ["front", "rear"]
        doubt = None if after == order else "two figures were said together; the front one first is only assumed"
        found.append(
            Measured(first.value, m.unit, first.start, first.end, first.about, end_said=order[0], end_doubt=doubt)
        )
        m.end_said, m.end_doubt = order[1], doubt
        found.append(m)
    return found


def limits_said(doc: Doc, words: list[str], amounts: list[Amount], kept: list[Measured], lexicon: Lexicon) -> None:
    """ "Four point six, and you're done at four and a half": give each figure the limit that is said beside it."""
    taken = {i for m in kept for i in range(m.start, m.end)}
    lead, behind = forms(lexicon, "recited", "least"), forms(lexicon, "recited", "least_after")
    for amount in amounts:
        if amount.start in taken or isinstance(amount.value, str):
            continue
        start, end = doc._.clauses.span_of(amount.start, 1)
        stop = behind.end_from(words, amount.end)
        first = max([start, *(i + 1 for i in taken if i < amount.start)])
        if not lead.within(words, first, amount.start) and not (stop is not None and stop <= end):
            continue
        near = [m for m in kept if isinstance(m.value, int | float) and _apart(m, amount) <= LIMIT_REACH]
        if near:
            min(near, key=lambda m: _apart(m, amount)).limit = amount.value


def _apart(measured: Measured, amount: Amount) -> int:
    return max(amount.start - measured.end, measured.start - amount.end)
