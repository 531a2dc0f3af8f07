"""Sizes that were spoken: number, unit, the part they belong to and what they measure."""

import re
from dataclasses import dataclass

from spacy.tokens import Doc

from walkround.narration.amounts import Amount, find_amounts, said_about
from walkround.narration.lexicon import Lexicon
from walkround.narration.numbers import number_at
from walkround.narration.openings import forms
from walkround.narration.polarity import Said
from walkround.narration.text import quote
from walkround.narration.tyrewords import find_date_codes, find_tyre_sizes

#: The greatest number that is taken for a depth where no unit was said.
BARE_DEPTH = 12
BARE_PRESSURE = 60
BARE_VOLTS = 15
_DEPTH_UNITS = ("mm", "1/32 in")
_PRESSURES = ("psi", "bar")
#: Where across a tyre a depth is taken.
_ACROSS = frozenset("down in at on across along".split())
_ZONES = frozenset("middle centre center edge side shoulder wall crown".split())
Units = dict[tuple[str, ...], str]
_AND_PARTS: dict[tuple[str, ...], float] = {
    ("and", "a", "half"): 0.5,
    ("and", "a", "quarter"): 0.25,
    ("and", "three", "quarter"): 0.75,
}


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


def find_measures(doc: Doc, lexicon: Lexicon) -> list[Measured]:
    """All numbers with a unit, tyre sizes and date codes; recited limits and distances are left out."""
    words = [t.text for t in doc]
    table = lexicon.trees["measures.toml"]
    units = {lexicon.fold(form): unit for unit, forms in table["units"].items() for form in forms if lexicon.fold(form)}
    found = _markings(doc, words, lexicon)
    marked = {i for m in found for i in range(m.start, m.end)}
    amounts = [a for a in find_amounts(doc, lexicon) if not any(i in marked for i in range(a.start, a.end))]
    sized = [m for a in amounts if (m := _with_unit(doc, words, a, units, lexicon))]
    found += [m for m in _one_range(words, sized) if not _crosses(doc, m)]
    found += _article_units(doc, words, units, lexicon, found)
    found += _bare(doc, words, amounts, found, lexicon)
    kept = [m for m in found if m.unit is None or not _recited(doc, words, m, lexicon, amounts)]
    return sorted(kept, key=lambda m: m.start)


def _markings(doc: Doc, words: list[str], lexicon: Lexicon) -> list[Measured]:
    found = []
    for size in find_tyre_sizes(words, lexicon, [tok.word for tok in doc._.tokens]):
        text = size.text
        if "(" in quote(doc, size.start, size.end) and "(" not in text:  # typed: "(73W)" is for more than W
            text = re.sub(r" (\d\d[A-Z])$", r" (\1)", text)
        found.append(Measured(text, None, size.start, size.end, quantity="tyre size", review=size.review))
    taken = {i for m in found for i in range(m.start, m.end)}
    for code in find_date_codes(words, lexicon):
        if not taken & set(range(code.start, code.end)):
            found.append(Measured(code.text, None, code.start, code.end, quantity="date code", review=code.review))
    return found


def _crosses(doc: Doc, measured: Measured) -> bool:
    """Whether a sentence ends between the number and its unit."""
    return any(t.mark in (".", "?") for t in doc._.tokens[measured.start : measured.end - 1])


def _with_unit(doc: Doc, words: list[str], amount: Amount, units: Units, lexicon: Lexicon) -> Measured | None:
    about, at = amount.about, amount.end
    between = forms(lexicon, "about", "between").end_from(words, at)
    if between is not None:
        about, at = True, between
    if words[at : at + 2] in (["of", "a"], ["of", "an"]):
        at += 2
    if amount.unit:
        return Measured(amount.value, amount.unit, amount.start, at, about, upper=amount.upper)
    for size in (4, 3, 2, 1):
        said = tuple(words[at : at + size])
        unit = units.get(said)
        if unit is None or len(said) < size:
            continue
        value, upper, end = amount.value, amount.upper, at + size
        more = _AND_PARTS.get(tuple(words[end : end + 3]), 0.0)
        if more:
            value, upper, end = (value, upper + more, end + 3) if upper else (value + more, None, end + 3)
        about = about or (forms(lexicon, "about", "after").end_from(words, end) is not None)
        return Measured(value, unit, amount.start, end, about, upper=upper)
    return None


def _one_range(words: list[str], sized: list[Measured]) -> list[Measured]:
    """ "Three mil to four mil": two sizes in one unit with "to" or "or" between them are one range."""
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
    return found


def _bare(doc: Doc, words: list[str], amounts: list[Amount], found: list[Measured], lexicon: Lexicon) -> list[Measured]:
    """ "The back one's got five", "two on the back": a depth in the unit spoken of last."""
    out: list[Measured] = []
    table = lexicon.trees["measures.toml"]["bare"]
    axis = {w for forms in lexicon.axis.values() for w in forms}
    taken = {i for m in found for i in range(m.start, m.end)}
    named = {t.end for t in doc._.terms.things}
    for amount in amounts:
        s, e = amount.start, amount.end
        if s in taken or words[s] == "oh" or amount.unit:
            continue
        told = forms(lexicon, "bare", "before").start_before(words, s) is not None
        heads = s in named or (doc._.clauses.before[s] >= 1 if s else True) or _second(words, amount, found)
        ended = s > 1 and words[s - 1] in axis and words[s - 2] in ("the", "and")  # "and the rear three"
        heads = heads or ended
        placed = ended or bool(axis & set(words[e : e + 3]))
        if words[max(0, s - 2) : s] == ["they", "are"] or amount.value < 1:
            continue  # "they are two", "about half": a count, a share
        if not (told or (heads and words[s:e] != ["one"])):
            continue
        behind = words[e] if e < len(words) else ""
        if not (doc._.clauses.ends_at(e) or behind in table["after"] or _across(words, e)):
            continue
        if not told and not (
            placed or s in named or _second(words, amount, found) or amount.value != int(amount.value)
        ):
            continue
        earlier = [m for m in found + out if m.start < s and not m.quantity]
        last = max(earlier, key=lambda m: m.start, default=None)
        pressed = _pressure(words, doc, amount, last, placed)
        if pressed:
            unit, why = pressed
            out.append(Measured(amount.value, unit, s, e, amount.about, upper=amount.upper, review=why))
            continue
        if amount.value > (BARE_DEPTH if amount.value == int(amount.value) else BARE_VOLTS):
            continue
        depths = [m.unit for m in sorted(earlier, key=lambda m: m.start) if m.unit in _DEPTH_UNITS and not m.bare]
        out.append(
            Measured(
                amount.value, depths[-1] if depths else "mm", s, e, amount.about, bare=True, upper=amount.upper,
                review=None if depths else "no unit was said; millimetres are only assumed",
            )
        )  # fmt: skip
    return out


def _across(words: list[str], end: int) -> bool:
    """ "... down the middle", "in the centre", "at the edges": where on a tyre a depth was taken."""
    return words[end : end + 1] != [] and words[end] in _ACROSS and bool(_ZONES & set(words[end + 1 : end + 3]))


def _second(words: list[str], amount: Amount, found: list[Measured]) -> bool:
    """ "Three mil at the edges and one and a half down the middle": a second depth joined to the first."""
    first = any(0 < amount.start - m.end <= 6 and m.unit in _DEPTH_UNITS for m in found)
    return first and words[amount.start - 1] in ("and", "but") and _across(words, amount.end)


def _pressure(
    words: list[str], doc: Doc, amount: Amount, last: Measured | None, placed: bool
) -> tuple[str, str | None] | None:
    """The unit of a pressure said without one, and what to say of it: "thirty-six psi front and forty-two back"."""
    if amount.value > BARE_PRESSURE:
        return None
    if amount.value > BARE_DEPTH and placed and last and last.unit in _PRESSURES and amount.start - last.end < 8:
        return str(last.unit), last.review
    start = doc._.clauses.span_of(amount.start)[0]
    if "pressure" not in words[start : amount.start]:
        return None
    if amount.value > BARE_DEPTH:
        return "psi", "no unit was said; psi is only assumed"
    return ("bar", "no unit was said; bar is only assumed") if 1 < amount.value < 5 else None


def _article_units(doc: Doc, words: list[str], units: Units, lexicon: Lexicon, found: list[Measured]) -> list[Measured]:
    """ "an inch", "a mil and a half", "a couple of mil", "a mil or two"."""
    out: list[Measured] = []
    taken = {i for m in found for i in range(m.start, m.end)}
    for i, word in enumerate(words[:-1]):
        bare = _bare_unit(words, i, units)  # "down to mil and a half"
        couple = tuple(words[i : i + 3]) == ("a", "couple", "of") or tuple(words[i : i + 2]) == ("couple", "of")
        at = i if bare else i + (3 if word == "a" else 2) if couple else i + 1
        if (not couple and not bare and word not in ("a", "an")) or (
            couple and word == "couple" and i and words[i - 1] == "a"
        ):
            continue
        unit = units.get(tuple(words[at : at + 1]))
        if unit not in ("mm", "cm", "in", "thou", "years") or i in taken or at in taken:
            continue
        value, end, upper = (2.0 if couple else 1.0), at + 1, None
        more = _AND_PARTS.get(tuple(words[end : end + 3]), 0.0)
        if more:
            value, end = value + more, end + 3
        elif words[end : end + 2] == ["or", "two"] and not couple:
            upper, end = 2.0, end + 2
        about = (
            couple or said_about(doc, lexicon, i) or (forms(lexicon, "about", "after").end_from(words, end) is not None)
        )
        out.append(Measured(value, unit, i, end, about, upper=upper))
    return out


def _bare_unit(words: list[str], index: int, units: Units) -> bool:
    """ "Mil and a half": a unit with neither number nor article before it, and a half behind it."""
    half = tuple(words[index + 1 : index + 4]) in _AND_PARTS
    before = words[index - 1] if index else ""
    return (
        half and units.get((words[index],)) == "mm" and before not in ("a", "an", "of") and not number_at([before], 0)
    )


def counted(doc: Doc, said: Said, measures: list[Measured]) -> bool:
    """ "Thirty-five mil of slack": the word names what was measured and is no fault."""
    if said.form not in ("slack", "play in it", "free play"):
        return False
    at = said.start - 1 if said.start and doc[said.start - 1].text == "of" else said.start
    if any(m.end == at for m in measures):
        return True
    stop = doc._.clauses.span_of(said.start)[1]
    return any(  # "slack in the chain is an inch and a quarter"
        said.end < m.start < min(stop, said.end + 7) and doc[m.start - 1].text in ("is", "'s", "at", "about", "measure")
        for m in measures
    )


def _recited(doc: Doc, words: list[str], measured: Measured, lexicon: Lexicon, amounts: list[Amount]) -> bool:
    """Whether the number is a limit, a specification or a distance that is only recited."""
    start, end = doc._.clauses.span_of(measured.start, 1)
    if measured.unit in ("miles", "km"):
        return True
    if measured.unit == "years" and not {"old", "age"} & set(words[measured.start : measured.end + 2]):
        return True
    nominal = lexicon.trees["measures.toml"]["recited"]["nominal_volts"]
    if measured.unit == "V" and measured.value in nominal and not doc._.tokens[measured.end - 1].plural:
        return True
    start = max([start, *(a.end for a in amounts if a.end <= measured.start)])
    limits, readings, after = (forms(lexicon, "recited", key) for key in ("before", "unless", "after"))
    stop = after.end_from(words, measured.end)
    if stop is not None and stop <= min(end, measured.end + 4):
        return True
    return limits.within(words, start, measured.start) and not readings.within(words, start, measured.start)


def quantity_of(lexicon: Lexicon, part: str, unit: str | None) -> str:
    """What a size of this part in this unit is called."""
    table = lexicon.trees["measures.toml"]["quantities"]
    for key, names in table.items():
        family = lexicon.families.get(key)
        if key == part or (family and part in family.members.values()):
            name = names.get(unit)
            if name:
                return str(name)
    return str(table["*"].get(unit, "size"))
