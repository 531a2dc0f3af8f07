"""Frame numbers against the rules and against a library.

Characters and length: ISO 3779. Check digit: 49 CFR 565.15(c), tables III to V; 1G4AH59H45G118341 is the sample of
the CFR's own table. Reference: vininfo 1.11 (BSD). The check digit is a duty in North America and China only (from
memory), so a European number that fails it is never refused.
"""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from vininfo import Vin

from walkround.narration.lexicon import load_lexicon
from walkround.trade.tables import Tables
from walkround.trade.vin import check_digit, model_years, questions, read_vin

TABLES = Tables(load_lexicon())
GOOD = [
    "1G4AH59H45G118341",
    "1M8GDM9AXKP042788",
    "JH2RC3605MM101581",
    "1G1BL52P7TR115520",
    "LJCPCBLCX11000237",
    "1" * 17,
]
LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
#: The model-year letters of the published table with both years of the 30-year cycle.
YEARS = """
A 1980 2010 B 1981 2011 C 1982 2012 D 1983 2013 E 1984 2014 F 1985 2015 G 1986 2016 H 1987 2017 J 1988 2018
K 1989 2019 L 1990 2020 M 1991 2021 N 1992 2022 P 1993 2023 R 1994 2024 S 1995 2025 T 1996 2026 V 1997 2027
W 1998 2028 X 1999 2029 Y 2000 2030 1 2001 2031 2 2002 2032 3 2003 2033 4 2004 2034 5 2005 2035 6 2006 2036
7 2007 2037 8 2008 2038 9 2009 2039
""".split()


@pytest.mark.parametrize("vin", GOOD)
def test_good_numbers(vin: str) -> None:
    assert read_vin(TABLES, vin).check is True
    assert read_vin(TABLES, vin).faults == ()
    assert Vin(vin).verify_checksum()


@pytest.mark.parametrize(
    ("vin", "check"), [("1M8GDM9AXKP042878", False), ("1M8GDM9JXKP042788", True), ("1M8GDM9AXKP042788", True)]
)
def test_swapped_digits_are_seen_and_a_for_j_is_not(vin: str, check: bool) -> None:
    """Two digits swapped: 352, remainder 0, not X. A and J have one value, so the check is blind to them."""
    assert read_vin(TABLES, vin).check is check


@given(st.text(LETTERS, min_size=17, max_size=17))
def test_the_check_digit_is_that_of_the_library(vin: str) -> None:
    """Its model-year rule is left out, and makers that it knows to use no check digit."""
    theirs = Vin(vin)
    assume(getattr(theirs.assembler, "uses_sae_checkdigit", True))
    assert (vin[8] == check_digit(TABLES, vin)) == theirs.verify_checksum(check_year=False)


def test_the_sum_worked_by_hand() -> None:
    """Products of 1M8GDM9AXKP042788: 8 28 48 35 16 12 18 10 0 18 56 0 24 10 28 24 16, 351 = 31 x 11 + 10."""
    assert sum([8, 28, 48, 35, 16, 12, 18, 10, 0, 18, 56, 0, 24, 10, 28, 24, 16]) == 351
    assert check_digit(TABLES, "1M8GDM9AXKP042788") == "X"


@pytest.mark.parametrize("place", range(0, len(YEARS), 3))
def test_model_years(place: int) -> None:
    code, first, again = YEARS[place : place + 3]
    assert model_years(TABLES, code) == (int(first), int(again))


@pytest.mark.parametrize("code", ["I", "O", "Q", "U", "Z", "0", "", "AB"])
def test_what_is_no_model_year(code: str) -> None:
    assert model_years(TABLES, code) == ()


@pytest.mark.parametrize(
    ("vin", "names"),
    [
        ("1M8GDM9AIKP042788", "it holds I"),
        ("1M8GDM9AOKP04278Q", "it holds O and Q"),
        ("1M8GDM9AXKP04278", "it has 16 characters and should have 17"),
        ("1M8GDM9AXKP0427888", "it has 18 characters"),
        ("", "it has 0 characters"),
        ("<script>alert(1)</script>", "neither a letter nor a digit"),
        ("ＪＨ２RC3605MM101581", "neither a letter nor a digit"),
    ],
)
def test_a_number_that_cannot_be_is_a_question(vin: str, names: str) -> None:
    asked = questions(TABLES, vin, None, 2027)
    assert len(asked) == 1
    assert names in asked[0]
    assert asked[0].endswith("?")


def test_spaces_and_small_letters_are_taken_as_typed() -> None:
    assert read_vin(TABLES, " jh2 rc3605-mm101581 ").check is True


def test_a_european_number_that_fails_the_check_digit_is_not_asked_about() -> None:
    number = read_vin(TABLES, "ZDMTEST00XB000001")
    assert number.check is False
    assert questions(TABLES, number.text, None, 2027) == []


def test_a_north_american_number_that_fails_is_asked_about() -> None:
    assert "check digit" in questions(TABLES, "1M8GDM9AXKP042878", None, 2027)[0]


def test_model_year_against_the_year_said() -> None:
    assert questions(TABLES, "1M8GDM9AXKP042788", 2019, 2027) == []
    assert questions(TABLES, "1M8GDM9AXKP042788", 2018, 2027) == []
    (asked,) = questions(TABLES, "1M8GDM9AXKP042788", 2009, 2027)
    assert "1989 or 2019" in asked
    assert asked.endswith("Which is right?")


def test_blind_spots_are_as_many_as_were_counted() -> None:
    """Of 512 changes of one character of JH2RC3605MM101581 (position 9 aside) 34 go unseen: those of equal value."""
    vin = "JH2RC3605MM101581"
    changed = [vin[:i] + c + vin[i + 1 :] for i in range(17) if i != 8 for c in LETTERS if c != vin[i]]
    assert len(changed) == 512
    assert sum(read_vin(TABLES, v).check is True for v in changed) == 34
