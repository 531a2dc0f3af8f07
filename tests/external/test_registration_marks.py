"""The age on a British number plate, as it is said.

Form and age identifiers: DVLA leaflet INF104, "Vehicle registration numbers and number plates": from 1 September 2001
two digits, 02 to 50 for March to August of 20yy and 51 to 99 for September of 20(yy - 50) to February. Prefix letters
(A to Y, 1983 to 2001) and suffix letters before them; I, O, Q, U and Z stand for no year: from memory.
What is tested is that the identifier is heard, not what year it stands for.
"""

import pytest
from num2words import num2words

from walkround.narration.lexicon import load_lexicon
from walkround.narration.reader import Reader
from walkround.speech.timed_text import read_plain_text
from walkround.speech.transcript import Transcript

IDENTIFIERS = [f"{n:02}" for n in (*range(2, 27), *range(51, 77))]
LETTERS = "ABCDEFGHJKLMNPRSTVWXY"


@pytest.fixture(scope="module")
def reader() -> Reader:
    return Reader(load_lexicon())


def plate(reader: Reader, text: str) -> object:
    talk = Transcript(tuple(read_plain_text(text, None)), "estimated", "made for a test")
    fact = reader.read(talk).facts.get("plate_age")
    return fact.value if fact else None


def said(identifier: str) -> str:
    """ "sixty-seven", and "oh eight" with the nought (convention of British speech, from memory)."""
    words = num2words(int(identifier))
    return f"oh {words}" if identifier.startswith("0") else words


@pytest.mark.parametrize("identifier", IDENTIFIERS)
@pytest.mark.parametrize("form", ["It's on a {} plate.", "This one's a {} reg, two owners.", "{} plate, low miles."])
def test_age_identifiers(reader: Reader, identifier: str, form: str) -> None:
    assert plate(reader, form.format(said(identifier))) == identifier
    assert plate(reader, form.format(identifier)) == identifier


# Read wrongly today: "an L plate" is always the learner's, so a bike of 1993 on an L is not given its letter in that
# form ("an L reg" is read); "A plate behind the engine." makes the letter A of the article that opens a sentence.


@pytest.mark.parametrize("letter", [letter for letter in LETTERS if letter != "A"])
def test_letters(reader: Reader, letter: str) -> None:
    if letter != "L":
        assert plate(reader, f"It's on a {letter} plate.") == letter
    assert plate(reader, f"It's a {letter.lower()} reg bike.") == letter


def test_the_letter_a_is_told_from_the_article(reader: Reader) -> None:
    assert plate(reader, "It's on an A plate.") == "A"
    assert plate(reader, "There's a plate on the back.") is None


@pytest.mark.parametrize(
    "text", ["The number plate is cracked.", "Behind it there's a plate.", "It's got 67 miles on it.", "Plate's clean."]
)
def test_what_is_no_age(reader: Reader, text: str) -> None:
    assert plate(reader, text) is None
