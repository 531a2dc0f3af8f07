"""The bike's name from the opening words: by its shape, and not made a title where it is not sure."""

from functools import cache

import pytest

from walkround.narration.lexicon import load_lexicon
from walkround.narration.model import FactRow
from walkround.narration.naming import NO_CAPITALS, WEAKLY
from walkround.narration.reader import Reader
from walkround.report.record import Fact, Media, Report, Tool, TranscriptRow
from walkround.report.wording import title_of
from walkround.speech.timed_text import read_plain_text
from walkround.speech.transcript import Segment, Transcript, Word


@cache
def reader() -> Reader:
    return Reader(load_lexicon())


def name_in(talk: str, weak: str | None = None) -> FactRow | None:
    """The name in words that were written down, or were heard with one word weakly."""
    said = Transcript(tuple(read_plain_text(talk, None)), "estimated", "made for a test")
    if weak is not None:
        words = [Word(w.text, w.start, w.end, 0.2 if w.text == weak else 0.95) for w in said.words()]
        said = Transcript((Segment(0.0, 60.0, tuple(words)),), "recognised", "made for a test")
    return reader().read(said).facts.get("name")


@pytest.mark.parametrize(
    ("talk", "name"),
    [
        ("Hello, this is the Velmoor Garganey 640, 2019, on a 19 plate.", "Velmoor Garganey 640"),
        ("Morning all. So this one's the Velmoor Garganey, the 640, and it's a 2019.", "Velmoor Garganey 640"),
        ("What I've got for you is a 2017 Velmoor Garganey 640R, and the odometer's on 900.", "Velmoor Garganey 640R"),
        ("Velmoor Garganey E6, 23 plate, 2023.", "Velmoor Garganey E6"),
        ("Okay. It's the Velmoor Garganey, nineteen seventy-four, M reg.", "Velmoor Garganey"),
        ("This is the, er, the Velmoor 640, it's a 2019.", "Velmoor 640"),
    ],
)
def test_a_name_that_is_plainly_said_is_read(talk: str, name: str) -> None:
    fact = name_in(talk)
    assert fact
    assert (fact.value, fact.review) == (name, None)


@pytest.mark.parametrize(
    "talk",
    [
        "Hey, Dale Barrow here at Three Forks, it's a 2017 and it's on 26,000 miles.",
        "This is the one you asked about. It was registered in March 2013.",
        "It's a September 2019 bike on a 69 plate.",
        "Front Tyre 120, three mil. Rear Tyre 180, four mil.",
        "This is the bike. I rang Maurice Pell about it in 2019.",
        "The seat has a tear in it.",
        "",
    ],
)
def test_what_is_no_name_is_none(talk: str) -> None:
    assert name_in(talk) is None


def test_without_capitals_it_is_a_guess_and_no_title() -> None:
    fact = name_in("hello this is the velmoor garganey 640 it's a 2019 on a 19 plate the seat has a tear in it")
    assert fact
    assert (fact.value, fact.review) == ("velmoor garganey 640", NO_CAPITALS)
    assert name_in("hello this is the bike it's done 640 miles the seat has a tear in it") is None


def test_a_name_that_was_weakly_heard_is_for_a_person() -> None:
    fact = name_in("This is the Velmoor Garganey 640, it's a 2019.", weak="Garganey")
    assert fact
    assert fact.review == WEAKLY


def test_the_title_says_what_is_sure_and_a_person_comes_first() -> None:
    year, name = Fact(value=2019), Fact(value="Velmoor Garganey 640")
    unsure = Fact(value="velmoor garganey 640", review=NO_CAPITALS)
    by_hand = {"title": Fact(value="The red Garganey", given=True)}
    model = {"make": Fact(value="Velmoor", given=True), "model": Fact(value="Garganey", given=True)}

    def title(**bike: Fact) -> str:
        words = TranscriptRow(source="a test", language="en", timing="given", segments=[])
        return title_of(Report(tool=Tool(version="0", lexicon_sha256=""), media=Media(), transcript=words, bike=bike))

    assert title(year=year, name=name) == "2019 Velmoor Garganey 640"
    assert title(year=year, name=unsure) == "2019 motorcycle"
    assert title(year=year, name=name, **model) == "2019 Velmoor Garganey"
    assert title(year=year, name=name, **by_hand) == "The red Garganey"
