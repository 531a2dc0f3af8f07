"""Numbers as they are spoken and as recognisers write them.

``find_numbers`` takes folded words and returns the numbers among them. Worked examples and their sources are
in tests/external/test_spoken_numbers.py.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

_UNITS = {
    w: n
    for n, w in enumerate(
        [
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ]
    )
} | {"nought": 0, "naught": 0, "oh": 0, "nil": 0}
_TENS = {
    w: 10 * n for n, w in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2)
}
_TENS |= {"fourty": 40}
_FRACTIONS = {"half": 0.5, "quarter": 0.25, "eighth": 0.125, "sixteenth": 0.0625}
_GLYPHS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
_DIGITS = re.compile(r"\d{1,3}(?:,\d{3})+|\d+(?:\.\d+)?")
#: Words that a number can begin with, beside digits: nearly every word of a talk is none of them.
_BEGINNING = frozenset((*_UNITS, *_TENS, *_FRACTIONS, *_GLYPHS, "a", "an"))


@dataclass(frozen=True, slots=True)
class Number:
    """A number at words ``start`` up to ``end``. ``digits``: it was written with digits, not letters."""

    value: float
    start: int
    end: int
    digits: bool = False

    @property
    def whole(self) -> int | None:
        """The value where it is a whole number."""
        return int(self.value) if self.value == int(self.value) else None


def _below_hundred(words: Sequence[str], i: int) -> tuple[int, int] | None:
    if i >= len(words):
        return None
    if words[i] in _UNITS:
        return _UNITS[words[i]], i + 1
    if words[i] in _TENS:
        if i + 1 < len(words) and 0 < _UNITS.get(words[i + 1], 0) < 10 and words[i + 1] != "oh":
            return _TENS[words[i]] + _UNITS[words[i + 1]], i + 2
        return _TENS[words[i]], i + 1
    return None


def _below_thousand(words: Sequence[str], i: int) -> tuple[int, int] | None:
    if i < len(words) and words[i] == "a" and i + 1 < len(words) and words[i + 1] == "hundred":
        head: tuple[int, int] | None = (1, i + 1)
    else:
        head = _below_hundred(words, i)
    if head is None:
        return None
    value, j = head
    if j < len(words) and words[j] == "hundred" and value > 0:
        value, j = value * 100, j + 1
        k = j + 1 if j < len(words) and words[j] == "and" else j
        rest = _below_hundred(words, k)
        if rest and rest[0] > 0:
            value, j = value + rest[0], rest[1]
    return value, j


def _fraction(words: Sequence[str], i: int) -> tuple[float, int] | None:
    """ "and a half", "and a quarter", "and three quarters" from word i."""
    if i + 1 >= len(words) or words[i] != "and":
        return None
    if words[i + 1] == "a" and i + 2 < len(words) and words[i + 2] in _FRACTIONS:
        return _FRACTIONS[words[i + 2]], i + 3
    if words[i + 1] in _FRACTIONS:
        return _FRACTIONS[words[i + 1]], i + 2
    if _UNITS.get(words[i + 1], 0) in (3, 5, 7) and i + 2 < len(words) and words[i + 2] in _FRACTIONS:
        part = _UNITS[words[i + 1]] * _FRACTIONS[words[i + 2]]
        return (part, i + 3) if part < 1 else None
    if words[i + 1] == "an" and i + 2 < len(words) and words[i + 2] in _FRACTIONS:
        return _FRACTIONS[words[i + 2]], i + 3
    return None


def _cardinal(words: Sequence[str], i: int) -> tuple[float, int] | None:
    if i + 1 < len(words) and words[i] == "a" and words[i + 1] in ("thousand", "thou"):
        head: tuple[float, int] | None = (1, i + 1)
    else:
        head = _below_thousand(words, i)
    if head is None:
        return None
    value, j = head
    half = _fraction(words, j)
    if half and half[1] < len(words) and words[half[1]] in ("thousand", "thou", "k"):
        return (value + half[0]) * 1000, half[1] + 1
    if j < len(words) and words[j] in ("thousand", "k") and value > 0:
        value, j = value * 1000, j + 1
        k = j + 1 if j < len(words) and words[j] == "and" else j
        rest = _below_thousand(words, k)
        if rest and rest[0] > 0:
            value, j = value + rest[0], rest[1]
    return value, j


def _spoken_decimal(words: Sequence[str], value: float, j: int) -> tuple[float, int]:
    """The digits after "point": "three point two", "nought point eight"."""
    if j >= len(words) or words[j] != "point" or value != int(value):
        return value, j
    digits, k = "", j + 1
    while k < len(words) and 0 <= _UNITS.get(words[k], -1) < 10:
        digits += str(_UNITS[words[k]])
        k += 1
    if k == j + 1 and k < len(words) and re.fullmatch(r"\d+", words[k]):
        digits, k = words[k], k + 1
    return (float(f"{int(value)}.{digits}"), k) if digits else (value, j)


def number_at(words: Sequence[str], i: int) -> Number | None:
    """The number that begins at word i, the longest that makes sense, or None."""
    if words[i] not in _BEGINNING and not words[i][:1].isdigit():
        return None
    written = _DIGITS.fullmatch(words[i])
    if written:
        value, j = float(words[i].replace(",", "")), i + 1
        if value < 100 and j < len(words) and words[j] in _GLYPHS:
            return Number(value + _GLYPHS[words[j]], i, j + 1, digits=True)
        half = _fraction(words, j)
        if half and value < 100:
            value, j = value + half[0], half[1]
        if j < len(words) and words[j] in ("thousand", "k") and value < 1000:
            value, j = value * 1000, j + 1
            k = j + 1 if j < len(words) and words[j] == "and" else j
            rest = _below_thousand(words, k)
            if rest and rest[0] > 0:
                value, j = value + rest[0], rest[1]
            elif k < len(words) and re.fullmatch(r"\d{1,3}", words[k]):
                value, j = value + int(words[k]), k + 1
        elif value >= 1000 and value % 100 == 0 and j + 1 < len(words) and words[j] == "and":
            room = 1000 if value % 1000 == 0 else 100  # "14,000 and 60", "8,900 and 99", as recognisers write it
            rest = _below_thousand(words, j + 1)
            if rest and 0 < rest[0] < room:
                value, j = value + rest[0], rest[1]
            elif re.fullmatch(r"\d{1,3}", words[j + 1]) and 0 < int(words[j + 1]) < room:
                value, j = value + int(words[j + 1]), j + 2
        elif j < len(words) and words[j] == "hundred" and value < 100:
            value, j = value * 100, j + 1
        return Number(value, i, j, digits=True)
    simple = _simple_fraction(words, i)
    if simple:
        return simple
    found = _cardinal(words, i)
    if found is None:
        return None
    value, j = _spoken_decimal(words, found[0], found[1])
    half = _fraction(words, j)
    if half and value == found[0] and value < 100:
        value, j = value + half[0], half[1]
    return Number(value, i, j)


def _simple_fraction(words: Sequence[str], i: int) -> Number | None:
    """ "half an inch", "three quarters of an inch", "an eighth of an inch", "quarter inch", "¾"."""
    if words[i] in _GLYPHS:
        return Number(_GLYPHS[words[i]], i, i + 1, digits=True)
    j = i + 1 if words[i] in ("a", "an") else i
    value = None
    if j < len(words) and words[j] in _FRACTIONS:
        value, j = _FRACTIONS[words[j]], j + 1
    elif _UNITS.get(words[i], 0) in (3, 5, 7) and i + 1 < len(words) and words[i + 1] in _FRACTIONS:
        value, j = _UNITS[words[i]] * _FRACTIONS[words[i + 1]], i + 2
    if value is None or value >= 1:
        return None
    if j + 1 < len(words) and words[j] == "of" and words[j + 1] in ("a", "an"):
        return Number(value, i, j + 2)
    if j < len(words) and words[j] in ("a", "an"):
        return Number(value, i, j + 1)
    return Number(value, i, j)


def find_numbers(words: Sequence[str]) -> list[Number]:
    """All numbers of a text in order. "one" and "two" are numbers only beside other words that say so:
    what they count is for the caller to decide."""
    found, i = [], 0
    while i < len(words):
        number = number_at(words, i)
        if number is None:
            i += 1
        else:
            found.append(number)
            i = number.end
    return found


def runs(numbers: Sequence[Number], words: Sequence[str]) -> list[list[Number]]:
    """Numbers that stand directly one after the other: "nine seven four two", "one twenty seventy seventeen"."""
    grouped: list[list[Number]] = []
    for number in numbers:
        if grouped and grouped[-1][-1].end == number.start:
            grouped[-1].append(number)
        else:
            grouped.append([number])
    return grouped


def joined(run: Sequence[Number]) -> int | None:
    """A run of whole numbers read as digits side by side: "eleven two oh six" is 11206."""
    if any(n.whole is None for n in run):
        return None
    return int("".join(str(n.whole) for n in run))


def year_of(run: Sequence[Number]) -> int | None:
    """A year from a run: "twenty nineteen", "nineteen seventy-four", "two thousand and fifteen", "2021"."""
    values = [n.whole for n in run]
    if len(values) == 1 and values[0] is not None and 1900 <= values[0] <= 2099:
        return values[0]
    if len(values) == 2 and values[0] in (19, 20) and values[1] is not None and 10 <= values[1] < 100:
        return values[0] * 100 + values[1]
    if len(values) == 3 and values[0] in (19, 20) and values[1] == 0 and values[2] is not None and values[2] < 10:
        return values[0] * 100 + values[2]
    return None
