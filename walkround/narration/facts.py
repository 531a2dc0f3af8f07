"""What is said of the whole bike: year, age on the plate, mileage and its unit."""

from spacy.tokens import Doc

from walkround.narration.grammar import FACTS_MILEAGE_CUES, FACTS_NOT_MILEAGE, FACTS_PLATE
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms
from walkround.narration.model import FactRow, Reading
from walkround.narration.numbers import Number, find_numbers, joined, runs, year_of
from walkround.narration.text import quote, times

_DISTANCE = {"mile": "miles", "kilometre": "km", "km": "km", "kay": "km"}
#: How far (tokens) a number may stand from "mileage" or "showing".
CUE_REACH = 14
#: How far a unit may be corrected after the number ("kilometres. No. Miles").
UNIT_REACH = 9


def read_facts(doc: Doc, lexicon: Lexicon, reading: Reading) -> None:
    """Fill ``reading.facts``."""
    words = [t.text for t in doc]
    numbers = find_numbers(words)
    groups = runs(numbers, words)
    _year(doc, words, groups, reading)
    _plate(doc, words, numbers, reading)
    _mileage(doc, words, groups, reading)


def _fact(doc: Doc, value: int | str, start: int, end: int) -> FactRow:
    s, e = doc._.clauses.span_of(start)
    return FactRow(value, quote(doc, s, max(e, end)), times(doc, start, end)[0])


def _year(doc: Doc, words: list[str], groups: list[list[Number]], reading: Reading) -> None:
    for run in groups:
        for size in (3, 2, 1):
            for i in range(len(run) - size + 1):
                part = run[i : i + size]
                value = year_of(part)
                after = words[part[-1].end] if part[-1].end < len(words) else ""
                if value is None or after in _DISTANCE or after in ("cc", "mil", "thou", "rpm", "pound"):
                    continue
                if size == 1 and "," in quote(doc, part[0].start, part[0].end).strip(",."):
                    continue
                reading.facts["year"] = _fact(doc, value, part[0].start, part[-1].end)
                return


def _plate(doc: Doc, words: list[str], numbers: list[Number], reading: Reading) -> None:
    inside = {i for t in doc._.terms.things if t.end - t.start > 1 for i in range(t.start, t.end)}
    by_end = {n.end: n for n in numbers}
    for i, word in enumerate(words):
        if word not in FACTS_PLATE or i in inside or i == 0:
            continue
        number = by_end.get(i)
        before = words[i - 1]
        if number and number.whole is not None and 0 <= number.whole < 100:
            number = _corrected_plate(doc, words, numbers, i) or number
            reading.facts["plate_age"] = _fact(doc, f"{number.whole:02}", number.start, i + 1)
            return
        if (
            len(before) == 1
            and before.isalpha()
            and (before != "a" or word != "plate" or doc._.words[doc._.tokens[i - 1].word].text == "A")
        ):
            reading.facts["plate_age"] = _fact(doc, before.upper(), i - 1, i + 1)
            return


def _corrected_plate(doc: Doc, words: list[str], numbers: list[Number], at: int) -> Number | None:
    """ "a twenty-two plate, hang on, no, it's a seventy-two": the last one of the sentence."""
    terms: Terms = doc._.terms
    fixes = [e for s, e in terms.cue("joining.corrections") if at < s < at + 8]
    if not fixes:
        return None
    later = [n for n in numbers if fixes[-1] <= n.start < at + 20 and n.whole is not None and n.whole < 100]
    return later[0] if later else None


def _mileage(doc: Doc, words: list[str], groups: list[list[Number]], reading: Reading) -> None:
    best: tuple[int, list[Number], int] | None = None
    for run in groups:
        value = run[-1].whole if len(run) == 1 or (run[-1].whole or 0) >= 100 else joined(run)
        part = run if len(run) > 1 and value == joined(run) else run[-1:]
        if value is None or value < 50 or (year_of(part) == value and not _unit_after(words, part[-1].end)):
            continue
        after = _unit_after(words, part[-1].end)
        cue = any(w in FACTS_MILEAGE_CUES for w in words[max(0, part[0].start - CUE_REACH) : part[0].start])
        score = 2 * bool(after) + cue
        if words[part[-1].end : part[-1].end + 3] in (["to", "be", "exact"], ["to", "be", "precise"]):
            score += 4
        if after and words[part[-1].end + 1 : part[-1].end + 2] in (
            ["an"],
            ["per"],
            ["away"],
            ["ago"],
            ["left"],
        ):
            score = 0
        if part[0].start and words[part[0].start - 1] in FACTS_NOT_MILEAGE:
            score = 0  # "a service in 2,000 miles"
        if score and value >= 100 and (best is None or score > best[0]):
            best = (score, part, value)
    if best is None:
        return
    _, part, value = best
    reading.facts["mileage"] = _fact(doc, value, part[0].start, part[-1].end)
    unit = _unit(words, part[-1].end) or ("miles" if "plate_age" in reading.facts else None)
    if unit:  # a British plate, and no unit said: miles
        reading.facts["mileage_unit"] = _fact(doc, unit, part[0].start, part[-1].end)


def _unit_after(words: list[str], at: int) -> str | None:
    for word in words[at : at + 1]:
        return _DISTANCE.get(word)
    return None


def _unit(words: list[str], at: int) -> str | None:
    """The last unit said within reach, else the one that the whole narration speaks in."""
    near = [_DISTANCE[w] for w in words[at : at + UNIT_REACH] if w in _DISTANCE]
    if near:
        return near[-1]
    if "mile" in words or "mileage" in words:
        return "miles"
    return "km" if "kilometre" in words or "km" in words else None
