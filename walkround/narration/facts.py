"""What is said of the whole bike: year, age on the plate, mileage and its unit, and what the papers say."""

from itertools import pairwise

from spacy.tokens import Doc

from walkround.narration.amounts import Amount, before_about, find_amounts
from walkround.narration.grammar import FACTS_PLATE
from walkround.narration.identity import read_identity
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms
from walkround.narration.model import FactRow, Reading
from walkround.narration.naming import read_name
from walkround.narration.numbers import Number, find_numbers, joined, runs, year_of
from walkround.narration.openings import forms
from walkround.narration.particulars import read_particulars
from walkround.narration.service import read_service, served_spans
from walkround.narration.text import quote, times
from walkround.narration.tyremakes import read_tyres
from walkround.narration.tyrewords import find_date_codes

_DISTANCE = {"mile": "miles", "kilometre": "km", "km": "km", "kay": "km"}
#: How far (tokens) a number may stand from "mileage" or "showing".
CUE_REACH = 14
#: After a distance these make it another one than the mileage ("a 16,000 mile service").
_RATES = [["an"], ["per"], ["away"], ["ago"], ["left"], ["service"], ["warranty"], ["range"], ["interval"], ["trip"]]
#: How far a unit may be corrected after the number ("kilometres. No. Miles").
UNIT_REACH = 9
#: The least mileage that a correction is taken to name.
CORRECTED_LEAST = 500


def read_facts(doc: Doc, lexicon: Lexicon, reading: Reading) -> None:
    """Fill ``reading.facts``."""
    words: list[str] = doc._.folds
    numbers = find_numbers(words)
    amounts = find_amounts(doc, lexicon)
    groups = [part for run in runs(numbers, words) for part in _apart(doc, run)]
    _year(doc, lexicon, words, groups, reading)
    _plate(doc, words, numbers, reading)
    read_service(doc, lexicon, amounts, reading)
    _mileage(doc, lexicon, groups, amounts, reading)
    read_particulars(doc, lexicon, amounts, reading)
    read_identity(doc, lexicon, reading)
    read_tyres(doc, lexicon, reading)
    read_name(doc, lexicon, reading)


def _apart(doc: Doc, run: list[Number]) -> list[list[Number]]:
    """ "Six hundred and two. Two owners": numbers with a full stop between them are no one number."""
    parts = [run[:1]]
    for last, number in pairwise(run):
        if doc._.tokens[last.end - 1].mark == ".":
            parts.append([])
        parts[-1].append(number)
    return parts


def fact_row(doc: Doc, value: int | float | str, start: int, end: int) -> FactRow:
    """A fact with the statement that it stands in; ``start`` up to ``end`` are its own words."""
    s, e = doc._.clauses.span_of(start)
    return FactRow(value, quote(doc, s, max(e, end)), times(doc, start, end)[0])


def _year(doc: Doc, lexicon: Lexicon, words: list[str], groups: list[list[Number]], reading: Reading) -> None:
    dated = forms(lexicon, "year", "of_something_else")

    def papers(start: int, end: int) -> bool:  # "the MOT runs to March 2027"
        return any(forms(lexicon, kind, "words").within(words, start, end) for kind in ("test", "service"))

    for run in groups:
        for size in (3, 2, 1):
            for i in range(len(run) - size + 1):
                part = run[i : i + size]
                value = year_of(part)
                after = words[part[-1].end] if part[-1].end < len(words) else ""
                if value is None or after in _DISTANCE or after in ("cc", "mil", "thou", "rpm", "pound"):
                    continue
                at = part[0].start
                month = at and lexicon.holds(words[at - 1], lexicon.trees["measures.toml"]["months"]["names"])
                clause = doc._.clauses.span_of(at, 2 if month else 1)[0]
                if dated.start_before(words, at) is not None or papers(clause, at):
                    continue
                if any(code.start <= at < code.end for code in find_date_codes(words, lexicon)):
                    continue
                if size == 1 and "," in quote(doc, part[0].start, part[0].end).strip(",."):
                    continue
                reading.facts["year"] = fact_row(doc, value, part[0].start, part[-1].end)
                return


def _plate(doc: Doc, words: list[str], numbers: list[Number], reading: Reading) -> None:
    inside = {i for t in doc._.terms.things if t.end - t.start > 1 for i in range(t.start, t.end)}
    by_end = {n.end: n for n in numbers}
    by_start = {n.start: n for n in numbers}
    for i, word in enumerate(words):
        if word not in FACTS_PLATE or i in inside or i == 0:
            continue
        number = by_end.get(i)
        before = words[i - 1]
        if number and number.whole is not None and 0 <= number.whole < 100:
            number = _corrected_plate(doc, words, numbers, i) or number
            reading.facts["plate_age"] = fact_row(doc, f"{number.whole:02}", number.start, i + 1)
            return
        if number and _half_year(number):
            reading.facts["plate_age"] = fact_row(doc, str(number.whole), number.start, i + 1)
            return
        after = by_start.get(i + 2) if words[i + 1 : i + 2] in (["is"], ["'s"]) else None
        if after and after.whole is not None and 2 <= after.whole < 100 and doc._.clauses.ends_at(after.end):
            reading.facts["plate_age"] = fact_row(doc, f"{after.whole:02}", i, after.end)
            return
        if (
            len(before) == 1
            and before.isalpha()
            and (before != "a" or word != "plate" or doc._.words[doc._.tokens[i - 1].word].text == "A")
        ):
            reading.facts["plate_age"] = fact_row(doc, before.upper(), i - 1, i + 1)
            return
    for number in numbers:  # "she's a 181": the Irish form, said without "plate"
        lead = words[max(0, number.start - 2) : number.start]
        if number.digits and lead == ["'s", "a"] and _half_year(number) and doc._.clauses.ends_at(number.end):
            reading.facts["plate_age"] = fact_row(doc, str(number.whole), number.start, number.end)
            return


def _half_year(number: Number) -> bool:
    """The Irish age identifier since 2013: two digits of the year, then 1 or 2 for its half (from memory)."""
    return number.whole is not None and 131 <= number.whole <= 999 and number.whole % 10 in (1, 2)


def _corrected_plate(doc: Doc, words: list[str], numbers: list[Number], at: int) -> Number | None:
    """ "a twenty-two plate, hang on, no, it's a seventy-two": the last one of the sentence."""
    terms: Terms = doc._.terms
    fixes = [e for s, e in terms.cue("joining.corrections") if at < s < at + 8]
    if not fixes:
        return None
    later = [n for n in numbers if fixes[-1] <= n.start < at + 20 and n.whole is not None and n.whole < 100]
    return later[0] if later else None


def _mileage(doc: Doc, lexicon: Lexicon, groups: list[list[Number]], amounts: list[Amount], reading: Reading) -> None:
    words: list[str] = doc._.folds
    before, after_it, never, allowed = (forms(lexicon, "mileage", k) for k in ("before", "after", "never", "allowed"))
    served = served_spans(reading)
    best: tuple[int, list[Number], int] | None = None
    for run in groups:
        value = run[-1].whole if len(run) == 1 or (run[-1].whole or 0) >= 100 else joined(run)
        part = run if len(run) > 1 and value == joined(run) else run[-1:]
        if len(part) > 1 and any("/" in doc._.words[doc._.tokens[n.start].word].text for n in part):
            continue  # "4/32nds"
        if len(part) > 1 and (value or 0) < 1000 and not _unit_after(words, part[-1].end):
            continue  # "reading twelve seven" of a meter
        if value is None or value < 50 or (year_of(part) == value and not _unit_after(words, part[-1].end)):
            continue
        start, end = part[0].start, part[-1].end
        after = _unit_after(words, end)
        cue = before.within(words, max(0, start - CUE_REACH), start)
        follows = after_it.end_from(words, end + bool(after)) is not None
        score = 2 * bool(after) + cue + 2 * follows
        if words[end : end + 3] in (["to", "be", "exact"], ["to", "be", "precise"]):
            score += 4
        if after and words[end + 1 : end + 2] in _RATES:
            score = 0
        lead = before_about(lexicon, words, start)
        due = never.start_before(words, lead) is not None and allowed.start_before(words, lead) is None
        if start in served or (due and not follows):
            score = 0  # "a service in 2,000 miles"
        if score and value >= 100 and (best is None or score > best[0]):
            best = (score, part, value)
    if best is None:
        return
    _, part, value = best
    part, value = _put_right(doc, groups, part) or (part, value)
    fact = fact_row(doc, value, part[0].start, part[-1].end)
    ranged = next((a for a in amounts if a.start <= part[0].start < a.end), None)
    if ranged:
        fact.approximate = ranged.about
        if ranged.upper is not None:
            fact.value, fact.upper = int(ranged.value), int(ranged.upper)
    reading.facts["mileage"] = fact
    unit = _unit(words, part[-1].end) or ("miles" if "plate_age" in reading.facts else None)
    if unit:  # a British plate, and no unit said: miles
        reading.facts["mileage_unit"] = fact_row(doc, unit, part[0].start, part[-1].end)


def _put_right(doc: Doc, groups: list[list[Number]], part: list[Number]) -> tuple[list[Number], int] | None:
    """ "Twelve thousand, no I tell a lie, ten thousand two hundred": the number after the correction."""
    stop = doc._.clauses.span_of(part[-1].end - 1)[1]
    fixes = [e for _, e in doc._.terms.within("joining.corrections", part[-1].end, stop)]
    later = [run for run in groups if fixes and fixes[0] <= run[0].start < stop]
    values = [(run, run[-1].whole if len(run) == 1 else joined(run)) for run in later]
    return next(((run, value) for run, value in reversed(values) if value and value >= CORRECTED_LEAST), None)


def _unit_after(words: list[str], at: int) -> str | None:
    for word in words[at : at + 1]:
        return _DISTANCE.get(word)
    return None


def _unit(words: list[str], at: int) -> str | None:
    """The last unit said within reach, else the one that the whole narration speaks in."""
    near = [
        _DISTANCE[words[i]]
        for i in range(at, min(len(words), at + UNIT_REACH))
        if words[i] in _DISTANCE and words[i - 1] != "not"
    ]
    if near:
        return near[-1]
    if "mile" in words or "mileage" in words:
        return "miles"
    return "km" if "kilometre" in words or "km" in words else None
