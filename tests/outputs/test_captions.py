"""Captions: what they say, when, and within which limits."""

import random
from dataclasses import asdict
from itertools import pairwise

import pytest
from telling import told

from walkround.narration.reader import Reader
from walkround.outputs.captions import (
    CEILING,
    GAP,
    LEAST,
    LINE,
    LONG_PAUSE,
    MOST,
    beyond_limits,
    cues_of,
)
from walkround.outputs.films import films_of
from walkround.outputs.timedtext import Cue
from walkround.report.record import Report, Respelled


def cues(report: Report) -> list[Cue]:
    (film,) = films_of(report)
    return cues_of(report, film)


def test_the_demo_is_within_every_limit(demo: Report) -> None:
    found = asdict(beyond_limits(cues(demo)))
    assert found.pop("cues") > 30
    assert set(found.values()) == {0}, found


def test_every_word_is_shown_once_and_in_order(demo: Report, hostile: Report) -> None:
    for report in (demo, hostile):
        said = " ".join(word.text for s in report.transcript.segments for word in s.words)
        assert " ".join(cue.text for cue in cues(report)) == " ".join(said.split())


def test_a_cue_begins_with_its_first_word_and_never_crosses_a_long_pause(demo: Report) -> None:
    words = [word for s in demo.transcript.segments for word in s.words]
    number = 0
    for cue in cues(demo):
        count = len(cue.text.split())
        inside = words[number : number + count]
        assert cue.start == pytest.approx(inside[0].start, abs=0.001)
        assert all(b.start - a.end < LONG_PAUSE for a, b in pairwise(inside))
        number += count
    assert number == len(words)


def talk(rng: random.Random, pace: float) -> list[tuple[float, float, str]]:
    """Lines at ``pace`` characters a second, with pauses."""
    lines, now = [], rng.uniform(0, 3)
    for _ in range(rng.randint(1, 25)):
        words = ["".join(rng.choice("abcdefgh") for _ in range(rng.randint(1, 12))) for _ in range(rng.randint(1, 30))]
        text = " ".join(w + rng.choice(["", "", "", ",", "."]) for w in words)
        end = now + max(0.1, len(text) / pace)
        lines.append((now, end, text))
        now = end + rng.choice([0.0, 0.2, 0.5, 1.5, 6.0])
    return lines


@pytest.mark.parametrize("pace", [9.0, 14.0, 16.0])
def test_speech_that_can_be_read_gives_cues_that_can(reader: Reader, pace: float) -> None:
    """No line too long, no cue over 7 s, none close, whatever is said; at a fair pace none too fast."""
    rng = random.Random(int(pace))
    total = fast = 0
    for _ in range(12):
        found = beyond_limits(cues(told(reader, talk(rng, pace))))
        assert (found.long_lines, found.many_lines, found.lasting) == (0, 0, 0)
        total, fast = total + found.cues, fast + found.fast
    assert fast <= total * 0.02, (fast, total)


def test_fast_speech_is_counted_and_nothing_of_it_is_lost(reader: Reader) -> None:
    report = told(reader, [(0.0, 4.0, "The left mirror has a scratch on the back and so on. " * 6)])
    made = cues(report)
    found = beyond_limits(made)
    assert found.fast > 0
    assert found.long_lines == found.many_lines == 0
    assert len(" ".join(cue.text for cue in made).split()) == 6 * 12
    assert all(b.start >= a.end for a, b in pairwise(made))


def test_words_without_times_of_their_own_still_make_cues_in_order(reader: Reader) -> None:
    report = told(reader, [(1.0, 1.0, "The left mirror has a scratch. " * 12), (5.0, 6.0, "The seat is torn.")])
    made = cues(report)
    assert all(cue.end > cue.start for cue in made)
    assert all(b.start >= a.end for a, b in pairwise(made))
    assert " ".join(c.text for c in made).count("mirror") == 12


def test_a_word_longer_than_a_line_is_broken_and_kept(reader: Reader) -> None:
    made = cues(told(reader, [(0.0, 20.0, "the mirror " + "unbroken" * 40)]))
    assert "".join(cue.text for cue in made).replace(" ", "").endswith("unbroken" * 40)
    assert max(len(line) for cue in made for line in cue.lines) <= LINE


def test_trade_words_are_spelled_right_and_what_was_heard_stays(reader: Reader) -> None:
    said = "The break leaver's bent, both panyors are scratched, and the pillian seat is torn, Pillian pegs too."
    report = told(reader, [(0.0, 9.0, said)])
    text = " ".join(cue.text for cue in cues(report))
    assert "brake lever's bent" in text
    assert "both panniers are scratched," in text
    assert "the pillion seat is torn, Pillion pegs" in text
    kept = " ".join(word.text for s in report.transcript.segments for word in s.words)
    assert kept == said
    assert {"break leaver", "panyors", "pillian"} <= {row.heard for row in report.respelled}


@pytest.mark.parametrize(
    "said",
    [
        "This is the Wexmoor Carrack and it's on the side first.",
        "The color of the tire is gray, by a gatepost.",
        "It's a weeny mark, twenty millimetres, leant on a wall.",
    ],
)
def test_words_that_were_said_stay_as_they_were_said(reader: Reader, said: str) -> None:
    report = told(reader, [(0.0, 6.0, said)])
    assert " ".join(cue.text for cue in cues(report)) == said


def test_a_respelling_of_words_that_are_not_there_changes_nothing(demo: Report) -> None:
    other = demo.model_copy(deep=True)
    other.respelled = [Respelled(heard="no such", written="wrong", start=0.0, end=300.0)]
    assert cues(other) == cues(demo)


def test_limits_are_counted_each_on_its_own() -> None:
    """15 characters in 0.6 s are 25 a second and shorter than 5/6 s: two failures."""
    found = beyond_limits([Cue(0.0, 0.6, ("fifteen letters",))])
    assert (found.fast, found.brief, found.lasting, found.close) == (1, 1, 0, 0)
    assert beyond_limits([Cue(0, 8, ("a",))]).lasting == 1
    assert beyond_limits([Cue(0, 2, ("a" * 43,))]).long_lines == 1
    assert beyond_limits([Cue(0, 2, ("a", "b", "c"))]).many_lines == 1
    assert beyond_limits([Cue(0, 2, ("a",)), Cue(2.05, 4, ("b",))]).close == 1
    assert (LEAST, MOST, CEILING, GAP) == (5 / 6, 7.0, 20.0, 2 / 24)
