"""Numbers as they are spoken, against reference libraries and worked examples.

References: num2words 0.5 (LGPL) writes numbers as English words, years by ``to="year"``; text2num 3 (MIT) reads
them. num2words puts commas between groups ("eleven thousand, two hundred and six"), which nobody speaks and which
text2num refuses: they are taken out on both sides.

Worked examples: tyre sizes by UN Regulation No. 75, paragraphs 2 and 3 (nominal section width in mm, nominal aspect
ratio in per cent, nominal rim diameter code); how sizes, mileages and years are spoken are conventions of British
speech, from memory. Ranges of sizes: common practice, no source.
"""

from collections.abc import Callable

import pytest
from num2words import num2words
from text_to_num import alpha2digit, text2num

from walkround.narration.lexicon import load_lexicon
from walkround.narration.numbers import find_numbers, joined, runs, year_of
from walkround.narration.tyrewords import find_tyre_sizes

HIGHEST = 199_999
#: Prime to 10: over the range every ending of three digits comes up.
STEP = 7


def spoken(number: int, to: str = "cardinal") -> list[str]:
    """The words of a number, hyphens and commas taken out."""
    return str(num2words(number, to=to)).replace(",", "").replace("-", " ").split()


def ours(words: list[str]) -> list[float]:
    """The numbers that our reader finds."""
    return [number.value for number in find_numbers(words)]


def test_every_number_to_two_thousand_comes_back() -> None:
    wrong = [n for n in range(2001) if ours(spoken(n)) != [n]]
    assert wrong == []


def test_numbers_to_the_highest_mileage_come_back() -> None:
    wrong = [n for n in range(0, HIGHEST + 1, STEP) if ours(spoken(n)) != [n]]
    assert wrong == []


def test_the_edges_of_hundreds_and_thousands_come_back() -> None:
    edges = {base + off for base in range(0, HIGHEST + 1, 1000) for off in (0, 1, 9, 10, 11, 19, 20, 99, 100, 101, 999)}
    wrong = [n for n in sorted(edges) if n <= HIGHEST and ours(spoken(n)) != [n]]
    assert wrong == []


def test_the_whole_of_the_words_is_the_number() -> None:
    for n in range(0, HIGHEST + 1, 991):
        words = spoken(n)
        number = find_numbers(words)[0]
        assert (number.start, number.end) == (0, len(words)), words


def test_american_speech_without_and_reads_the_same() -> None:
    wrong = [n for n in range(0, HIGHEST + 1, 211) if ours([w for w in spoken(n) if w != "and"]) != [n]]
    assert wrong == []


def test_we_agree_with_text2num_on_plain_cardinals() -> None:
    for n in (*range(0, 1001), *range(1001, HIGHEST + 1, 487)):
        words = spoken(n)
        assert ours(words) == [text2num(" ".join(words), "en")] == [n]


def test_what_text2num_writes_in_digits_we_read() -> None:
    """The other way: its digits in a sentence are the numbers that we find in the words."""
    for n in range(11, HIGHEST + 1, 1009):
        words = f"it shows {' '.join(spoken(n))} on the clock".split()
        digits = alpha2digit(" ".join(words), "en").split()
        assert ours(words) == ours(digits) == [n]


def test_what_num2words_writes_is_what_we_read_back() -> None:
    """The other way round: from words to our number and by num2words to the same words."""
    for n in range(0, HIGHEST + 1, 787):
        words = spoken(n)
        assert spoken(int(ours(words)[0])) == words


@pytest.mark.parametrize("year", range(1950, 2027))
def test_years(year: int) -> None:
    numbers = find_numbers(spoken(year, to="year"))
    assert year_of(numbers) == year


@pytest.mark.parametrize("year", range(1950, 2027))
def test_years_in_digits(year: int) -> None:
    assert year_of(find_numbers([str(year)])) == year


@pytest.mark.parametrize(
    ("said", "value"),
    [
        # conventions of British speech, from memory
        ("eleven thousand two hundred and six", 11206),
        ("twelve and a half thousand", 12500),
        ("eleven and a half thou", 11500),
        ("nine k", 9000),
        ("twelve hundred", 1200),
        ("fifty two hundred", 5200),
        ("a hundred and eighty", 180),
        ("a thousand", 1000),
        ("four and a half", 4.5),
        ("three and a quarter", 3.25),
        ("two and three quarter", 2.75),
        ("three point two", 3.2),
        ("nought point eight", 0.8),
        ("zero point eight", 0.8),
        ("oh", 0),
        ("nil", 0),
        ("half a", 0.5),
        ("three quarter of an", 0.75),
        ("three eighth", 0.375),
        ("14,000 and 60", 14060),
        ("12 thousand", 12000),
        ("8,412", 8412),
        ("4.5", 4.5),
        ("4 and a half", 4.5),
    ],
)
def test_worked_examples(said: str, value: float) -> None:
    assert ours(said.split()) == [value]


# Read otherwise today: "two thou" is 2 and a unit (a thousandth of an inch) rather than 2,000: which of them is meant
# is for the sizes to say, and a mileage of "two thou" is not read.


@pytest.mark.parametrize(
    ("said", "value"),
    [
        # digit by digit and in pairs: conventions of British speech, from memory
        ("eleven two oh six", 11206),
        ("four nine nine five", 4995),
        ("nine seven four two", 9742),
    ],
)
def test_numbers_said_in_a_row(said: str, value: int) -> None:
    words = said.split()
    assert joined(runs(find_numbers(words), words)[0]) == value


@pytest.mark.parametrize(
    ("said", "year"),
    [
        # conventions of British speech, from memory
        ("twenty nineteen", 2019),
        ("nineteen eighty seven", 1987),
        ("twenty oh nine", 2009),
        ("two thousand and nine", 2009),
        ("two thousand nine", 2009),
        ("nineteen seventy", 1970),
        ("twenty twenty six", 2026),
    ],
)
def test_years_as_they_are_spoken(said: str, year: int) -> None:
    assert year_of(find_numbers(said.split())) == year


@pytest.mark.parametrize("said", ["twenty", "thirty six", "eleven thousand", "twenty three thirty one four", "five"])
def test_what_is_no_year(said: str) -> None:
    assert year_of(find_numbers(said.split())) is None


#: Sizes in common use; form by UN R75 (width / ratio - rim).
SIZES = [
    (80, 90, 21), (90, 90, 21), (100, 90, 19), (110, 80, 19), (120, 70, 17), (120, 70, 19), (130, 80, 17),
    (130, 90, 16), (140, 80, 17), (150, 70, 17), (150, 80, 16), (160, 60, 17), (170, 60, 17), (180, 55, 17),
    (190, 50, 17), (190, 55, 17), (200, 55, 17), (240, 40, 18), (110, 70, 17), (140, 70, 17), (120, 80, 12),
]  # fmt: skip


def in_full(width: int, ratio: int, rim: int) -> str:
    """ "a hundred and twenty seventy seventeen"."""
    return " ".join(word for number in (width, ratio, rim) for word in spoken(number))


def in_pairs(width: int, ratio: int, rim: int) -> str:
    """ "one twenty seventy seventeen": the hundred left out, as it is said (from memory)."""
    hundred, rest = divmod(width, 100)
    head = [*spoken(hundred), *spoken(rest)] if hundred and rest >= 10 else spoken(width)
    return " ".join([*head, *spoken(ratio), *spoken(rim)])


def in_digits(width: int, ratio: int, rim: int) -> str:
    """ "120 70 17", as a recogniser writes it."""
    return f"{width} {ratio} {rim}"


def sizes_in(said: str) -> list[str]:
    return [size.text for size in find_tyre_sizes(said.split(), load_lexicon())]


def written(width: int, ratio: int, rim: int, build: str = "") -> str:
    return f"{width}/{ratio} {build}{rim}" if build else f"{width}/{ratio}-{rim}"


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("way", [in_full, in_pairs, in_digits])
def test_tyre_sizes(size: tuple[int, int, int], way: Callable[[int, int, int], str]) -> None:
    assert sizes_in(way(*size)) == [written(*size)]


@pytest.mark.parametrize("size", SIZES)
def test_tyre_sizes_with_construction_load_and_speed(size: tuple[int, int, int]) -> None:
    """ "one eighty fifty-five zed R seventeen, seventy-three W": 180/55 ZR17 73W."""
    *most, rim = in_pairs(*size).split()
    if len(spoken(size[2])) == 2:
        rim = f"{most.pop()} {rim}"
    said = f"{' '.join(most)} zed r {rim} seventy three w"
    assert sizes_in(said) == [f"{written(*size, build='ZR')} 73W"]


@pytest.mark.parametrize(
    ("heard", "size"),
    [
        # as recognisers write them
        ("180 55 zr 17", "180/55 ZR17"),
        ("18055 zr 17 73 w", "180/55 ZR17 73W"),
        ("1207017", "120/70-17"),
        ("120 by 70 by 17", "120/70-17"),
        ("110 80 r 19 59 v", "110/80 R19 59V"),
    ],
)
def test_tyre_sizes_as_they_are_written_down(heard: str, size: str) -> None:
    assert sizes_in(heard) == [size]


@pytest.mark.parametrize(
    "said",
    [
        "one two three", "twenty nineteen four", "five six seven", "one twenty seventy", "nine nine nine nine",
        "250 nineteen seventy four m reg", "255 17", "two thousand and nineteen", "eleven two oh six",
    ],
)  # fmt: skip
def test_what_is_no_tyre_size(said: str) -> None:
    assert sizes_in(said) == []
