"""Tyre sizes and date codes as they are read out: "one eighty fifty-five zed R seventeen, seventy-three W".

The form of a designation and what its parts mean: UN Regulation No. 75, paragraphs 2 and 3. Which widths, ratios
and rims there are: common practice, no source. How they are spoken is in lexicon/measures.toml.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from walkround.narration.lexicon import Lexicon
from walkround.narration.numbers import number_at
from walkround.narration.openings import Forms, forms

_SIZE = re.compile(r"(\d{2,3})(\d{2,3})(\d{2})")
#: The most tokens that a size, with its load index and speed symbol, is spoken in.
LONGEST = 16
#: The most small words between "date code" and the code ("date code on the rear tyre is").
SMALL_WORDS = 6
#: Years in which a tyre that is on a bike may have been made: four digits outside these are a week and a year.
EARLIEST, LATEST = 1960, 2060
SPEEDS = frozenset("jklmnpqrstuhvwy")


@dataclass(frozen=True, slots=True)
class Marking:
    """What is moulded on a tyre, as spoken at tokens ``start`` up to ``end``."""

    text: str
    start: int
    end: int
    review: str | None = None


@dataclass(frozen=True, slots=True)
class _Item:
    """A spoken number as its digits; those of a long written number may be cut anywhere."""

    digits: str
    end: int
    free: bool
    lumped: str | None = None  # "190" that may be 100 and 90: what to say of it


def _spoken(lexicon: Lexicon, key: str) -> list[tuple[tuple[str, ...], str]]:
    table = lexicon.trees["measures.toml"]["tyre_marking"][key]
    found = [(lexicon.fold(form), symbol) for symbol, forms in table.items() for form in forms]
    return sorted(found, key=lambda f: -len(f[0]))


def find_tyre_sizes(words: Sequence[str], lexicon: Lexicon, owners: Sequence[int] | None = None) -> list[Marking]:
    """All tyre sizes among folded words, in order, none overlapping another. ``owners`` tells which written word each
    folded one is a piece of."""
    builds = _spoken(lexicon, "construction")
    fillers = set(lexicon.trees["measures.toml"]["tyre_marking"]["between"])
    found: list[Marking] = []
    i = 0
    while i < len(words):
        size = _size_at(words, i, builds, fillers) if number_at(words, i) else None
        if size and size.review and (owners is None or owners[size.start] != owners[size.end - 1]):
            size = None  # only "190-19", written as one, is so read
        if size is None:
            i += 1
            continue
        found.append(_with_service(words, size, fillers))
        i = found[-1].end
    return found


def _items_at(words: Sequence[str], i: int) -> list[_Item]:
    """The ways to read a number at word i as digits: "one hundred ninety" is 190, or 100 and then 90."""
    number = number_at(words, i)
    if number is None:
        return []
    if words[i][0].isdigit():
        bare = re.sub(r"\D", "", words[i])
        items = [_Item(bare, i + 1, len(bare) > 3)]
        if re.fullmatch(r"[123](?:[2-9]\d)", bare):  # "a hundred ninety" heard as 190
            items.append(_Item(f"{bare[0]}00{bare[1:]}", i + 1, True, "width and ratio were heard as one number"))
        return items
    if number.whole is None:
        return []
    items = [_Item(str(number.whole), number.end, False)]
    if "hundred" in words[i : number.end] and "and" not in words[i : number.end] and number.whole % 100:
        cut = list(words[i : number.end]).index("hundred") + i + 1
        items.insert(0, _Item(str(number.whole // 100 * 100), cut, False))
    return items


def _size_at(
    words: Sequence[str], start: int, builds: list[tuple[tuple[str, ...], str]], fillers: set[str]
) -> Marking | None:
    """The tyre size that begins at word ``start``, or None."""
    stack: list[tuple[int, tuple[_Item, ...], str]] = [(start, (), "")]
    while stack:
        i, items, build = stack.pop()
        text = _size_of(items, build)
        if text:
            return Marking(text, start, i, next((item.lumped for item in items if item.lumped), None))
        if i >= len(words) or i - start > LONGEST or sum(len(item.digits) for item in items) > 8:
            continue
        if items and words[i] in fillers:
            stack.append((i + 1, items, build))
        for form, symbol in builds if items and not build else ():
            if tuple(words[i : i + len(form)]) == form:
                stack.append((i + len(form), items, symbol))
                break
        stack.extend((item.end, (*items, item), build) for item in reversed(_items_at(words, i)))
    return None


def _size_of(items: tuple[_Item, ...], build: str) -> str | None:
    digits = "".join(item.digits for item in items)
    cuts, at = set(), 0
    for item in items:
        cuts |= set(range(at, at + len(item.digits) + 1)) if item.free else {at, at + len(item.digits)}
        at += len(item.digits)
    for wide in (3, 2):
        for tall in (2, 3):
            if len(digits) != wide + tall + 2 or not {wide, wide + tall} <= cuts:
                continue
            width, ratio, rim = int(digits[:wide]), int(digits[wide : wide + tall]), int(digits[wide + tall :])
            if 60 <= width <= 330 and width % 10 == 0 and 25 <= ratio <= 100 and ratio % 5 == 0 and 8 <= rim <= 23:
                return f"{width}/{ratio} {build}{rim}" if build else f"{width}/{ratio}-{rim}"
    return None


def _with_service(words: Sequence[str], size: Marking, fillers: set[str]) -> Marking:
    """The load index and speed symbol after a size ("fifty-eight W"), and "M C" before them."""
    text, i = size.text, size.end
    if tuple(words[i : i + 2]) == ("m", "c") or words[i : i + 1] == ["mc"]:
        text, i = f"{text} M/C", i + (1 if words[i] == "mc" else 2)
    bracket = words[i : i + 2] == ["in", "bracket"]
    j = i + 2 if bracket else i
    number = number_at(words, j) if j < len(words) else None
    if number and number.whole is not None and 30 <= number.whole <= 99 and number.end < len(words):
        symbol = words[number.end]
        if symbol in SPEEDS:
            service = f"{number.whole}{symbol.upper()}"
            text = f"{text} ({service})" if bracket else f"{text} {service}"
            return Marking(text, size.start, number.end + 1, size.review)
    return Marking(text, size.start, i, size.review)


def find_date_codes(words: Sequence[str], lexicon: Lexicon) -> list[Marking]:
    """Date codes: "date code twenty-three twenty-two", "week twenty-three of twenty-two", "a 2322 date code"."""
    cues = forms(lexicon, "date_code", "cues")
    between = set(lexicon.trees["measures.toml"]["date_code"]["between"])
    found: list[Marking] = []
    taken: set[int] = set()
    for i in range(len(words)):
        if i in taken:
            continue
        code = (
            _week_and_year(words, i)
            or _after_cue(words, i, cues, between)
            or _before_cue(words, i, cues)
            or _code_of_tyre(words, i)
        )
        if code:
            found.append(code)
            taken |= set(range(code.start, code.end))
            while len(code.text) == 4 and (code := _further(words, code.end, between)):
                found.append(code)
                taken |= set(range(code.start, code.end))
    return found


def _further(words: Sequence[str], i: int, between: set[str]) -> Marking | None:
    """The second code of "twelve twenty-one front and thirty-three nineteen rear"."""
    j = i
    while j < len(words) and j - i < SMALL_WORDS and (words[j] in between or words[j] == "and"):
        j += 1
    if "and" not in words[i:j]:
        return None
    digits, end = _digits_from(words, j)
    return Marking(digits, j, end) if len(digits) == 4 and 1 <= int(digits[:2]) <= 53 else None


def _digits_from(words: Sequence[str], i: int, most: int = 4) -> tuple[str, int]:
    """The digits of the numbers that stand one after the other from word i, at most ``most`` of them."""
    digits = ""
    while i < len(words) and len(digits) < most:
        if re.fullmatch(r"\d+", words[i]):
            piece, end = words[i], i + 1
        else:
            number = number_at(words, i)
            if number is None or number.whole is None or words[i] in ("a", "an"):
                break
            piece, end = str(number.whole), number.end
        if len(digits) + len(piece) > most:
            break
        digits, i = digits + piece, end
    return digits, i


def _week_and_year(words: Sequence[str], i: int) -> Marking | None:
    if words[i] != "week" or i + 1 >= len(words):
        return None
    week, j = _digits_from(words, i + 1, most=2)
    if not week:
        return None
    while j < len(words) and words[j] in ("of", "in", "the", "year"):
        j += 1
    year, end = _digits_from(words, j)
    if len(year) == 4 and year[:2] in ("19", "20"):
        year = year[2:]
    if len(year) == 1 and end == j + 2:
        year = f"0{year}"  # "oh nine" gave one digit and a nought
    if len(year) != 2:
        return None
    return Marking(f"{week:0>2}{year}", i, end)


def _after_cue(words: Sequence[str], i: int, cues: Forms, between: set[str]) -> Marking | None:
    end = cues.end_from(words, i)
    if end is None:
        return None
    j = end
    while j < len(words) and j - end < SMALL_WORDS and words[j] in between:
        j += 1
    if j < len(words) and words[j] == "week":
        return None  # the week and year after it say so themselves
    digits, stop = _digits_from(words, j)
    code = "code" in words[i:end] or list(words[i:end]) == ["dot"]
    return _coded(digits, j, stop, code) if len(digits) in (2, 3, 4) else None


def _code_of_tyre(words: Sequence[str], i: int) -> Marking | None:
    """ "Front tyre, code 4118": four digits after "code" where a tyre was named just before."""
    if words[i] != "code" or "tyre" not in words[max(0, i - 6) : i]:
        return None
    digits, end = _digits_from(words, i + 1)
    return Marking(digits, i + 1, end) if len(digits) == 4 and 1 <= int(digits[:2]) <= 53 else None


def _coded(digits: str, start: int, end: int, code: bool) -> Marking | None:
    if len(digits) == 4 and digits[:2] in ("19", "20") and EARLIEST <= int(digits) <= LATEST:
        if not code:
            return None  # "dated 2021" is a year
        return Marking(digits, start, end, f"“{digits}” may be week {int(digits[:2])} or the year {digits}")
    return Marking(digits, start, end)


def _before_cue(words: Sequence[str], i: int, cues: Forms) -> Marking | None:
    """ "A twenty-three date code": the number stands before the words, and none after them."""
    digits, end = _digits_from(words, i)
    if len(digits) not in (2, 4) or (i and words[i - 1] in ("of", "and")):
        return None
    stop = cues.end_from(words, end)
    if stop is None or stop - end < 2 or (stop < len(words) and number_at(words, stop)):
        return None
    return _coded(digits, i, end, True)
