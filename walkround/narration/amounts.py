"""How much was said: a number, a range ("three to four", "between five and six"), with "about" beside it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from spacy.tokens import Doc

from walkround.narration.lexicon import Lexicon
from walkround.narration.numbers import find_numbers
from walkround.narration.openings import forms

#: What stands between the two ends of a range.
_BRIDGES = {("to",), ("or",), ("or", "maybe"), ("maybe",), ("or", "perhaps"), ("perhaps",), ("possibly",), ("till",)}
#: How far (tokens) before the number a word such as "about" may stand.
ABOUT_REACH = 4
_DENOMINATORS = (2, 4, 8, 16, 32, 64)


@dataclass(slots=True)
class Amount:
    """A number at tokens ``start`` up to ``end``; ``upper`` is the far end of a range.

    ``unit`` is set only where the number itself says it: "5/32" is a count of thirty-seconds of an inch.
    """

    value: float
    start: int
    end: int
    upper: float | None = None
    about: bool = False
    unit: str | None = None
    review: str | None = None  #: how it was put together, where a person should look


def find_amounts(doc: Doc, lexicon: Lexicon) -> list[Amount]:
    """All amounts of a Doc in order."""
    words: list[str] = doc._.folds
    written = _written_fractions(doc)
    taken = {i for a in written for i in range(a.start, a.end)}
    plain = [
        Amount(n.value, n.start, n.end)
        for n in find_numbers(words)
        if not any(i in taken for i in range(n.start, n.end))
    ]
    amounts = _ranges(doc, words, sorted([*plain, *written], key=lambda a: a.start))
    for index, amount in enumerate(amounts):
        floor = amounts[index - 1].end if index else 0
        amount.about = said_about(doc, lexicon, amount.start, floor)
    return amounts


def said_about(doc: Doc, lexicon: Lexicon, start: int, floor: int = 0) -> bool:
    """Whether a word such as "about" stands before token ``start``, in the same breath."""
    low = max(floor, start - ABOUT_REACH)
    for i in range(start - 1, low - 1, -1):
        if doc._.tokens[i].mark in (".", "?", ","):
            low = i + 1
            break
    # "It says four" is a reading; "say four" is a guess.
    words = ["says" if doc[i].text == "say" and doc._.tokens[i].plural else doc[i].text for i in range(low, start)]
    return forms(lexicon, "about", "before").within(words, 0, len(words))


def _written_fractions(doc: Doc) -> list[Amount]:
    """ "1/2", "1 1/2", "5/32" as recognisers and typists write them."""
    found: list[Amount] = []
    toks = doc._.tokens
    words: list[str] = doc._.folds
    for i in range(len(doc) - 1):
        if not words[i][0].isdigit():
            continue
        seconds = re.fullmatch(r"(\d{1,2})\.30", words[i])
        if seconds and words[i + 1] == "second":  # "six thirty-seconds", as recognisers write it
            found.append(Amount(int(seconds[1]), i, i + 2, unit="1/32 in"))
            continue
        raw = doc._.words[toks[i].word].text
        if toks[i].word != toks[i + 1].word or "/" not in raw or not (words[i] + words[i + 1]).isdigit():
            continue
        if re.sub(r"(?<=\d)(nds?|ths?|rds?)$", "", raw.strip(" .,;:?!()")).split("/") != [words[i], words[i + 1]]:
            continue
        stop = i + 2
        while stop < len(doc) and toks[stop].word == toks[i].word:
            stop += 1  # "4/32nds"
        top, bottom = int(words[i]), int(words[i + 1])
        if bottom not in _DENOMINATORS or not 0 < top < bottom:
            continue
        if bottom == 32:
            found.append(Amount(top, i, stop, unit="1/32 in"))
        elif i and words[i - 1].isdigit() and int(words[i - 1]) < 100 and not toks[i - 1].mark:
            found.append(Amount(int(words[i - 1]) + top / bottom, i - 1, stop))
        else:
            found.append(Amount(top / bottom, i, stop))
    return found


def _ranges(doc: Doc, words: Sequence[str], amounts: list[Amount]) -> list[Amount]:
    """Join the two ends of a range."""
    joined: list[Amount] = []
    for amount in amounts:
        before = joined[-1] if joined else None
        if before and before.upper is None and before.unit == amount.unit and _bridged(doc, words, before, amount):
            low = before.value
            if low < 100 and amount.value >= 1000 and low < amount.value / 1000:
                low *= 1000  # "five or six thousand"
            joined[-1] = Amount(low, before.start, amount.end, amount.value, unit=amount.unit)
            continue
        joined.append(amount)
    return joined


def _bridged(doc: Doc, words: Sequence[str], low: Amount, high: Amount) -> bool:
    """Whether two numbers are the ends of one range: the second is the greater, and of the same size."""
    scaled = high.value >= 1000 and low.value < high.value / 1000
    if not low.value < high.value or not (high.value <= 6 * low.value or scaled):
        return False
    toks = doc._.tokens
    if any(toks[i].mark in (".", "?") for i in range(low.start, high.start)):
        return False
    gap = tuple(words[low.end : high.start])
    if gap in _BRIDGES:
        return True
    if gap == ("and",):
        return "between" in words[max(0, low.start - 2) : low.start]
    if not gap and toks[low.end - 1].mark == ",":  # "two and a half, three mil"
        step = high.value / 1000 - low.value if scaled else high.value - low.value
        return 0 < step <= 1
    raw = doc._.words[toks[low.end - 1].word].text
    if not any(c.isdigit() for c in raw) and low.value < 20 <= high.value and high.value % 10 == 0:
        return False  # "the twelve-fifty" is 1250
    return not gap and toks[low.end - 1].word == toks[high.start].word and any(dash in raw for dash in "-–—")


def before_about(lexicon: Lexicon, words: Sequence[str], at: int) -> int:
    """The token before which "about" and the like stand, right before a number at token ``at``."""
    about = forms(lexicon, "about", "before")
    while (start := about.start_before(words, at)) is not None:
        at = start
    return at
