"""Sizes that were spoken: number, unit, the part they belong to and what they measure."""

import re

from spacy.tokens import Doc

from walkround.narration.amounts import Amount, find_amounts, said_about
from walkround.narration.figures import Measured, limits_said, meter_readings, one_range, pairs
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import between
from walkround.narration.openings import forms
from walkround.narration.polarity import Said
from walkround.narration.text import quote
from walkround.narration.tyrewords import find_date_codes, find_tyre_sizes

#: The greatest number that is taken for a depth where no unit was said.
BARE_DEPTH = 12
BARE_PRESSURE = 60
BARE_VOLTS = 15
#: How far (tokens) behind a figure its limit may begin ("four point two and the limit's four").
LIMIT_AHEAD = 5
#: How far (tokens) on the next figure, with its unit, may stand.
NEXT_FIGURE = 8
_DEPTH_UNITS = ("mm", "1/32 in")
_PRESSURES = ("psi", "bar")
Units = dict[tuple[str, ...], str]
_AND_PARTS: dict[tuple[str, ...], float] = {
    ("and", "a", "half"): 0.5,
    ("and", "a", "quarter"): 0.25,
    ("and", "three", "quarter"): 0.75,
}


def find_measures(doc: Doc, lexicon: Lexicon) -> list[Measured]:
    """All numbers with a unit, tyre sizes and date codes; recited limits and distances are left out."""
    words: list[str] = doc._.folds
    table = lexicon.trees["measures.toml"]
    units = {lexicon.fold(form): unit for unit, forms in table["units"].items() for form in forms if lexicon.fold(form)}
    found = _markings(doc, words, lexicon)
    marked = {i for m in found for i in range(m.start, m.end)}
    amounts = [a for a in find_amounts(doc, lexicon) if not any(i in marked for i in range(a.start, a.end))]
    amounts = meter_readings(doc, words, amounts, lexicon)
    sized = [m for a in amounts if (m := _with_unit(doc, words, a, units, lexicon))]
    found += [
        m
        for m in pairs(words, amounts, one_range(doc, words, sized, amounts, lexicon), lexicon)
        if not _crosses(doc, m)
    ]
    found += _article_units(doc, words, units, lexicon, found)
    found += _bare(doc, words, amounts, found, lexicon)
    kept = [m for m in found if m.unit is None or not _recited(doc, words, m, lexicon, amounts)]
    limits_said(doc, words, amounts, kept, lexicon)
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
        return Measured(value, unit, amount.start, end, about, upper=upper, review=amount.review)
    return None


def _bare(doc: Doc, words: list[str], amounts: list[Amount], found: list[Measured], lexicon: Lexicon) -> list[Measured]:
    """ "The back one's got five", "two on the back": a depth in the unit spoken of last."""
    out: list[Measured] = []
    table = lexicon.trees["measures.toml"]["bare"]
    axis = {w for forms in lexicon.axis.values() for w in forms}
    taken = {i for m in found for i in range(m.start, m.end)}
    named = {t.end for t in doc._.terms.things}
    ordered = sorted(found, key=lambda m: m.start)
    for amount in amounts:
        s, e = amount.start, amount.end
        if s in taken or words[s] == "oh" or amount.unit or words[s:e] == ["half"]:
            continue  # "the pads are about half" tells of no depth
        told = forms(lexicon, "bare", "before").start_before(words, s) is not None or (s > 0 and words[s - 1] in axis)
        heads = s in named or (doc._.clauses.before[s] >= 1 if s else True)
        placed = bool(axis & set(words[e : e + 3]))
        if not (told or (heads and words[s:e] != ["one"])):
            continue
        limited = forms(lexicon, "recited", "least").within(words, e, min(len(words), e + LIMIT_AHEAD))
        if not (limited or doc._.clauses.ends_at(e) or (words[e] if e < len(words) else "") in table["after"]):
            continue
        if not told and not (placed or s in named or amount.value != int(amount.value)):
            continue
        earlier = [m for m in found + out if m.start < s and not m.quantity]
        last = max(earlier, key=lambda m: m.start, default=None)
        near = _unit_to_come(doc, amount, ordered)
        if near and (placed or axis & set(words[max(0, s - 6) : s])):
            out.append(Measured(amount.value, near, s, e, amount.about, upper=amount.upper, review=amount.review))
            continue
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


def _unit_to_come(doc: Doc, amount: Amount, found: list[Measured]) -> str | None:
    """The unit said with the next figure of the sentence: "front four, rear three millimetres"."""
    stop = doc._.clauses.span_of(amount.start)[1]
    later = next(iter(between(found, amount.end, stop)), None)
    if (
        later is None
        or later.quantity
        or later.unit not in (*_DEPTH_UNITS, *_PRESSURES)
        or isinstance(later.value, str)
    ):
        return None
    alike = later.value / 3 <= amount.value <= later.value * 3
    return later.unit if alike and not later.bare and later.start - amount.end < NEXT_FIGURE else None


def _pressure(
    words: list[str], doc: Doc, amount: Amount, last: Measured | None, placed: bool
) -> tuple[str, str | None] | None:
    """The unit of a pressure said without one, and what to say of it: "thirty-six psi front and forty-two back"."""
    if amount.value > BARE_PRESSURE:
        return None
    near = placed and last is not None and last.unit in _PRESSURES and amount.start - last.end < 8
    if near and last and isinstance(last.value, float | int) and last.value / 2 < amount.value < last.value * 2:
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
        couple = tuple(words[i : i + 3]) == ("a", "couple", "of") or tuple(words[i : i + 2]) == ("couple", "of")
        at = i + (3 if word == "a" else 2) if couple else i + 1
        bare_unit = (
            words[i + 1] in ("inch", "mil", "mm")
            and tuple(words[i + 2 : i + 5]) in _AND_PARTS
            and not word[0].isdigit()
        )
        bare_unit = bare_unit and i not in taken and i + 1 not in taken  # "about inch and a half", "mil and a half"
        if (not couple and not bare_unit and word not in ("a", "an")) or (
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
            couple
            or said_about(doc, lexicon, at if bare_unit else i)
            or (forms(lexicon, "about", "after").end_from(words, end) is not None)
        )
        out.append(Measured(value, unit, at if bare_unit else i, end, about, upper=upper))
    return out


#: Words before "slack" that make it what the chain is, and not what was measured.
_CALLED_SLACK = frozenset("is 's 're are was bit too very quite little pretty rather really getting gone so".split())


def counted(doc: Doc, said: Said, measures: list[Measured]) -> bool:
    """ "Thirty-five mil of slack": the word names what was measured and is no fault."""
    if said.form not in ("slack", "free play", "play in it") and not _of_chain(doc, said):
        return False
    before = {t.text for t in doc[max(0, said.start - 2) : said.start]}
    if said.form == "slack" and before & _CALLED_SLACK:
        return False  # "the chain is slack, there's two inches": a fault, and then how much
    at = said.start - 1 if said.start and doc[said.start - 1].text == "of" else said.start
    if any(m.end == at for m in measures):
        return True
    stop = doc._.clauses.span_of(said.start)[1]
    return any(  # "slack in the chain is an inch and a quarter"
        said.end < m.start < min(stop, said.end + 7) and doc[m.start - 1].text in ("is", "'s", "at", "about", "measure")
        for m in measures
    )


def _of_chain(doc: Doc, said: Said) -> bool:
    """ "Play in the chain" is its slack; play in anything else is a fault, however much of it there is."""
    start, end = doc._.clauses.span_of(said.start)
    return said.form.startswith("play") and any(t.id == "chain" for t in between(doc._.terms.things, start, end))


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
