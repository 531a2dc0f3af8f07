"""Sizes that were spoken: number, unit, the part they belong to and what they measure."""

from dataclasses import dataclass

from spacy.tokens import Doc

from walkround.narration.grammar import MEASURES_ABOUT, MEASURES_AFTER_BARE, MEASURES_BEFORE_BARE
from walkround.narration.lexicon import Lexicon
from walkround.narration.numbers import Number, find_numbers, runs, tyre_size
from walkround.narration.polarity import Said


@dataclass(slots=True)
class Measured:
    """A number with its unit at tokens ``start`` up to ``end``."""

    value: float | str
    unit: str | None
    start: int
    end: int
    approximate: bool = False
    quantity: str = ""
    bare: bool = False  # no unit was said: it counts only for tyres and pads


def find_measures(doc: Doc, lexicon: Lexicon) -> list[Measured]:
    """All numbers with a unit, and tyre sizes; recited limits and distances are left out."""
    words = [t.text for t in doc]
    table = lexicon.trees["measures.toml"]
    units = {lexicon.fold(form): unit for unit, forms in table["units"].items() for form in forms if lexicon.fold(form)}
    numbers = find_numbers(words)
    found = _tyre_sizes(words, numbers)
    sized = {i for m in found for i in range(m.start, m.end)}
    for number in numbers:
        if number.start in sized:
            continue
        measured = _with_unit(words, number, units, doc)
        if measured and not any(t.mark in (".", "?") for t in doc._.tokens[measured.start : measured.end - 1]):
            found.append(measured)
    found += _article_units(words, units, {m.start for m in found}, {m.end for m in found})
    found += _bare(doc, words, numbers, found)
    kept = [m for m in found if m.unit is None or not _recited(doc, m, lexicon)]
    return sorted(kept, key=lambda m: m.start)


def _tyre_sizes(words: list[str], numbers: list[Number]) -> list[Measured]:
    found: list[Measured] = []
    for run in runs(_bridged(numbers, words), words):
        for take in (4, 3):
            for i in range(len(run) - take + 1):
                size = tyre_size(run[i : i + take])
                if size and not any(m.start < run[i + take - 1].end and run[i].start < m.end for m in found):
                    text = f"{size[0]}/{size[1]}-{size[2]}"
                    found.append(Measured(text, None, run[i].start, run[i + take - 1].end, quantity="tyre size"))
    return found


def _bridged(numbers: list[Number], words: list[str]) -> list[Number]:
    """Numbers with the "ZR" or "by" between them taken as part of the number before."""
    out: list[Number] = []
    for number in numbers:
        gap = words[out[-1].end : number.start] if out else ["x"]
        if out and gap and all(w in ("zr", "z", "r", "zed", "by", "b", "are") for w in gap) and len(gap) <= 2:
            last = out[-1]
            out[-1] = Number(last.value, last.start, number.start, last.digits)
        out.append(number)
    return out


def _with_unit(words: list[str], number: Number, units: dict[tuple[str, ...], str], doc: Doc) -> Measured | None:
    for size in (4, 3, 2, 1):
        said = tuple(words[number.end : number.end + size])
        unit = units.get(said)
        if unit is None or len(said) < size:
            continue
        value, end = number.value, number.end + size
        if tuple(words[end : end + 3]) == ("and", "a", "half"):
            value, end = value + 0.5, end + 3
        elif tuple(words[end : end + 3]) == ("and", "a", "quarter"):
            value, end = value + 0.25, end + 3
        about = any(w in MEASURES_ABOUT for w in words[max(0, number.start - 3) : number.start])
        ranged = number.start >= 2 and words[number.start - 1] in ("or", "to")
        return Measured(value, unit, number.start, end, about or ranged)
    return None


def _bare(doc: Doc, words: list[str], numbers: list[Number], found: list[Measured]) -> list[Measured]:
    """ "the back one's got five", "two on the back": a depth in the unit spoken of last."""
    out = []
    taken = {i for m in found for i in range(m.start, m.end)}
    for number in numbers:
        before = words[number.start - 1] if number.start else ""
        after = words[number.end] if number.end < len(words) else ""
        if (
            number.start in taken
            or number.value > 12
            or before not in MEASURES_BEFORE_BARE
            or words[number.start] == "oh"
        ):
            continue
        if not (doc._.clauses.ends_at(number.end) or after in MEASURES_AFTER_BARE):
            continue
        units = [m.unit for m in found if m.start < number.start and m.unit in ("mm", "1/32 in") and not m.bare]
        out.append(Measured(number.value, units[-1] if units else "mm", number.start, number.end, bare=True))
    return out


def _article_units(
    words: list[str], units: dict[tuple[str, ...], str], starts: set[int], ends: set[int]
) -> list[Measured]:
    """ "an inch", "a mil and a half", "a couple of mil"."""
    found: list[Measured] = []
    for i, word in enumerate(words[:-1]):
        couple = tuple(words[i : i + 3]) == ("a", "couple", "of") or tuple(words[i : i + 2]) == (
            "couple",
            "of",
        )
        at = i + (3 if word == "a" else 2) if couple else i + 1
        if not couple and word not in ("a", "an"):
            continue
        unit = units.get(tuple(words[at : at + 1]))
        if unit not in ("mm", "cm", "in", "thou") or i in starts or (i > 0 and i + 1 in ends):
            continue
        if any(s <= i < e for s, e in zip(sorted(starts), sorted(ends), strict=True)):
            continue
        if couple and word == "couple" and i and words[i - 1] == "a":
            continue
        value, end = (2.0 if couple else 1.0), at + 1
        if tuple(words[end : end + 3]) == ("and", "a", "half"):
            value, end = value + 0.5, end + 3
        about = couple or any(w in MEASURES_ABOUT for w in words[max(0, i - 2) : i])
        found.append(Measured(value, unit, i, end, about))
    return found


def counted(doc: Doc, said: Said, measures: list[Measured]) -> bool:
    """ "Thirty-five mil of slack": the word names what was measured and is no fault."""
    at = said.start - 1 if said.start and doc[said.start - 1].text == "of" else said.start
    return said.form in ("slack", "play in it", "free play") and any(m.end == at for m in measures)


def _recited(doc: Doc, measured: Measured, lexicon: Lexicon) -> bool:
    """Whether the number is a limit, a specification or a distance that is only recited."""
    table = lexicon.trees["measures.toml"]
    start, end = doc._.clauses.span_of(measured.start, 1)
    before = doc[start : measured.start].text
    after = " " + doc[measured.end : min(end, measured.end + 4)].text + " "
    if measured.unit in ("miles", "km"):
        return True
    if measured.unit == "years":
        said = f" {doc[measured.start : measured.end + 2].text} "
        if " old " not in said and " age " not in said:
            return True
    return lexicon.holds(before, table["recited"]["before"]) or any(
        after.startswith(f" {' '.join(lexicon.fold(w))} ") for w in table["recited"]["after"]
    )


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
