"""Where statements end: by marks, by silences, by openers, and by a new subject where there are no marks."""

from collections.abc import Callable

import generator
import pytest
from rows import found

from walkround.narration.model import Reading
from walkround.narration.reader import Reader
from walkround.narration.text import mark_after
from walkround.speech.transcript import Segment, Transcript, Word

Listen = Callable[[Transcript], Reading]


def sentences(reader: Reader, talk: Transcript) -> list[str]:
    doc = reader.parse(talk)
    return [doc[start:end].text for start, end in doc._.clauses.sentences]


def timed(*runs: str, silence: float) -> Transcript:
    """Runs of words with a silence of so many seconds between them, a third of a second a word."""
    words, now = [], 0.0
    for run in runs:
        for text in run.split():
            words.append(Word(text, now, now + 0.33))
            now += 0.33
        now += silence
    return Transcript((Segment(0.0, now, tuple(words)),), "recognised", "made for a test")


@pytest.mark.parametrize(
    ("word", "mark"),
    [("tank.", "."), ("tank?", "?"), ("tank!", "."), ("tank,", ","), ("tank...", ","), ("tank", ""), ("tank.”", "."),
     ("tank;", "."), ("tank –", ","), ("3.5", "")],
)  # fmt: skip
def test_marks(word: str, mark: str) -> None:
    assert mark_after(word) == mark


def test_full_stops_end_statements(reader: Reader) -> None:
    talk = generator.transcript("The tank's clean. The seat isn't.")
    assert sentences(reader, talk) == ["the tank 's clean", "the seat isn't"]


def test_a_long_silence_ends_a_statement_without_marks(reader: Reader) -> None:
    talk = timed("here is the tank", "here is the seat", silence=1.3)
    assert sentences(reader, talk) == ["here is the tank", "here is the seat"]


def test_a_breath_does_not(reader: Reader) -> None:
    talk = timed("here is", "the tank", silence=0.2)
    assert sentences(reader, talk) == ["here is the tank"]


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("the tank is scratched the seat is torn", ["fuel-tank/-/scratch", "rider-seat/-/tear"]),
        ("no marks on the tank there's a tear in the seat", ["rider-seat/-/tear"]),
        ("the left mirror is cracked the right mirror is fine", ["mirror/left/crack"]),
        ("the screen has no cracks the headlight has a chip", ["headlight/-/paint-chip"]),
        ("there's a dent in the tank there's a scuff on the left bar end", ["bar-end/left/scuff", "fuel-tank/-/dent"]),
        ("the horn works the horn button is loose", ["switchgear/-/loose"]),
    ],
)
def test_a_new_subject_begins_a_statement_where_there_are_no_marks(
    listen: Listen, text: str, faults: list[str]
) -> None:
    assert found(listen(generator.transcript(text))) == faults


# Read wrongly today without marks: "there might be" begins no statement, so that "the clutch is perfect there might
# be a wobble on the bar end" gives the wobble to the clutch; "I'm not sure if" stays with the statement before it, so
# that "the tank is scratched I'm not sure if the sprocket is rusty" doubts the scratch and states the rust.


def test_words_keep_their_times(reader: Reader) -> None:
    talk = timed("the tank is dented", "the seat is torn", silence=2.0)
    rows = reader.read(talk).findings
    assert [(row.quote, round(row.start, 2)) for row in rows] == [
        ("the tank is dented", 0.0),
        ("the seat is torn", 3.32),
    ]


def test_an_empty_transcript_reads_as_nothing(reader: Reader) -> None:
    assert reader.read(Transcript((), "given", "made for a test")) == Reading()
