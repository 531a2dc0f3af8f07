"""Days, months and spans of months as they are spoken: "the fourteenth of June", "October twenty twenty-seven"."""

from dataclasses import dataclass

from spacy.tokens import Doc

from walkround.narration.lexicon import Lexicon
from walkround.narration.numbers import find_numbers, number_at, runs, year_of

ORDINALS = {
    w: n
    for n, w in enumerate(
        "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth "
        "fifteenth sixteenth seventeenth eighteenth nineteenth twentieth".split(),
        1,
    )
} | {"thirtieth": 30}


@dataclass(frozen=True, slots=True)
class When:
    """A day or a month in words, at tokens ``start`` up to ``end``. ``named``: a month was named."""

    text: str
    start: int
    end: int
    named: bool = True


def day_or_month(doc: Doc, lexicon: Lexicon, start: int, end: int) -> When | None:
    """The first month named between two tokens, with its day and year where they were said."""
    names = {lexicon.fold(name)[0]: name for name in lexicon.trees["measures.toml"]["months"]["names"]}
    words = [t.text for t in doc[start:end]]
    for i, word in enumerate(words):
        name = names.get(word)
        if name is None or (word in ("march", "may") and not _capital(doc, start + i)):
            continue
        day, first = _day_before(words, i)
        last = i + 1
        if day is None:
            day, last = _day_after(words, i + 1)
        year, stop = _year(words, last)
        nearer = words[i - 1] if i and year is None and words[i - 1] in ("next", "this", "last") else None
        text = " ".join(str(part) for part in (nearer, day, name, year) if part)
        return When(text, start + first, start + stop)
    return None


def _capital(doc: Doc, i: int) -> bool:
    """ "May" and "March" are months with a capital, or after "in", "till" and the like."""
    raw = doc._.words[doc._.tokens[i].word].text
    return raw[:1].isupper() or (i > 0 and doc[i - 1].text in ("in", "until", "till", "of", "next", "to", "last"))


def _day_before(words: list[str], i: int) -> tuple[int | None, int]:
    j = i - 1 if i and words[i - 1] == "of" else i
    if j < 1:
        return None, i
    if words[j - 1] in ORDINALS:
        tens = {"twenty": 20, "thirty": 30}.get(words[j - 2], 0) if j > 1 else 0
        return tens + ORDINALS[words[j - 1]], j - (2 if tens else 1)
    if words[j - 1] in ("th", "st", "nd", "rd") and j > 1 and words[j - 2].isdigit():
        return int(words[j - 2]), j - 2
    if words[j - 1].isdigit() and 1 <= int(words[j - 1]) <= 31:
        return int(words[j - 1]), j - 1
    return None, i


def _day_after(words: list[str], i: int) -> tuple[int | None, int]:
    j = i + 1 if words[i : i + 1] == ["the"] else i
    if j >= len(words):
        return None, i
    if words[j] in ORDINALS:
        return ORDINALS[words[j]], j + 1
    if words[j] in ("twenty", "thirty") and j + 1 < len(words) and words[j + 1] in ORDINALS:
        return {"twenty": 20, "thirty": 30}[words[j]] + ORDINALS[words[j + 1]], j + 2
    if words[j].isdigit() and 1 <= int(words[j]) <= 31 and words[j + 1 : j + 2] in (["th"], ["st"], ["nd"], ["rd"]):
        return int(words[j]), j + 2
    return None, i


def _year(words: list[str], i: int) -> tuple[int | None, int]:
    """ "2027", "twenty twenty-seven", "'27", "twenty-seven" after a month."""
    j = i + 1 if words[i : i + 1] in (["of"], ["in"]) else i
    grouped = runs(find_numbers(words[j : j + 6]), words[j : j + 6])
    if grouped and grouped[0][0].start == 0:
        for take in (3, 2, 1):
            if len(grouped[0]) >= take and (year := year_of(grouped[0][:take])):
                return year, j + grouped[0][take - 1].end
    number = number_at(words, j) if j < len(words) else None
    if number and number.whole is not None and 10 <= number.whole <= 60 and j == i:
        return 2000 + number.whole, number.end
    return None, i
