"""Stretches of speech that the recogniser passed over are heard again."""

from collections.abc import Sequence

import numpy as np
import pytest
from speaking import narrate

from walkround.speech import transcribe as module
from walkround.speech.relisten import Stretch, hear_again, passed_over, speech_between
from walkround.speech.transcribe import SpeechOptions, transcribe
from walkround.speech.transcript import Segment, Word
from walkround.speech.weights import find_weights


def words(*rows: tuple[str, float, float]) -> list[Word]:
    return [Word(text, start, end, 0.9) for text, start, end in rows]


def segment(*rows: tuple[str, float, float]) -> Segment:
    made = tuple(words(*rows))
    return Segment(made[0].start, made[-1].end, made)


def texts(segments: Sequence[Segment]) -> list[str]:
    return [s.text for s in segments]


SPANS = [(51.6, 53.4), (53.7, 57.0), (60.0, 60.8)]
CLEAN = ("clean", 60.0, 60.8)


def test_speech_between() -> None:
    assert speech_between(SPANS, 52.0, 54.0) == pytest.approx(1.7)
    assert speech_between(SPANS, 57.5, 59.0) == 0
    assert speech_between([], 0, 100) == 0


def test_a_gap_full_of_speech_is_found() -> None:
    said = words(("under", 51.6, 52.1), ("inch", 56.5, 57.0), CLEAN)
    assert passed_over(said, SPANS, 62.0) == [Stretch(52.1, 56.5, 1, 1)]


def test_a_word_stretched_over_speech_is_found() -> None:
    said = words(("under", 51.6, 52.4), ("the", 52.4, 54.9), ("hole", 54.9, 55.7), ("about", 55.7, 56.4), CLEAN)
    said.insert(4, Word("inch", 56.4, 57.0))
    assert passed_over(said, SPANS, 62.0) == [Stretch(52.4, 54.9, 1, 2)]


def test_a_word_stretched_over_silence_is_not() -> None:
    said = words(("bolt", 51.6, 57.0), CLEAN)
    assert passed_over(said, [(51.6, 52.3), (60.0, 60.8)], 62.0) == []


def test_before_the_first_word_and_after_the_last() -> None:
    said = words(("under", 53.9, 54.4))
    assert passed_over(said, [(51.0, 54.4), (60.0, 62.0)], 62.0) == [
        Stretch(0.0, 53.9, 0, 0),
        Stretch(54.4, 62.0, 1, 1),
    ]
    assert passed_over([], [(1.0, 3.0)], 5.0) == [Stretch(0.0, 5.0, 0, 0)]


def test_unlikely_neighbours_are_heard_again_too() -> None:
    said = words(("under", 51.6, 52.1), ("coming", 55.9, 56.2), ("inch", 56.2, 57.0))
    said[1] = Word("coming", 55.9, 56.2, 0.1)
    assert passed_over(said, SPANS[:2], 62.0) == [Stretch(52.1, 56.2, 1, 2)]


FIRST = [
    ("under", 51.6, 52.4),
    ("the", 52.4, 54.9),
    ("hole", 54.9, 55.7),
    ("about", 55.7, 56.4),
    ("inch", 56.4, 57.0),
]


def test_what_a_second_hearing_brings_is_put_in_its_place() -> None:
    def hear(start: float, end: float) -> list[Word]:
        assert (start, end) == (52.4, 54.9)
        return words(
            ("under", 51.7, 52.5), ("the", 52.5, 52.9), ("pan", 52.9, 53.4), ("is", 53.5, 53.8),
            ("cracked", 53.8, 54.8), ("hole", 54.7, 55.0), ("about", 55.0, 56.4),
        )  # fmt: skip

    heard = hear_again([segment(*FIRST), segment(CLEAN)], SPANS, 62.0, hear)
    assert texts(heard) == ["under the pan is cracked hole about inch", "clean"]


def test_a_second_hearing_that_brings_less_changes_nothing() -> None:
    first = [segment(*FIRST)]
    assert hear_again(first, SPANS[:2], 62.0, lambda start, end: []) == first
    one = words(("a", 53.0, 53.2))
    assert hear_again(first, SPANS[:2], 62.0, lambda start, end: one) == first


def test_a_recording_of_which_nothing_was_heard() -> None:
    heard = words(("tank", 1.0, 1.5), ("good", 1.5, 2.0))
    assert hear_again([], [(1.0, 3.0)], 4.0, lambda start, end: heard) == [
        segment(("tank", 1.0, 1.5), ("good", 1.5, 2.0))
    ]


def test_a_clause_lost_at_the_first_hearing_comes_back(monkeypatch: pytest.MonkeyPatch) -> None:
    """Real recognition, with the words of the second sentence thrown away after the first hearing."""
    sound, truth = narrate(
        [
            (0.5, "The headlight is clear and both mirrors are good."),
            (0.5, "There is a crack in the belly pan."),
            (0.5, "The tank has no dents and no scratches."),
            (3.0, "Both brake levers are straight."),
        ]
    )
    run = module._run
    lost = truth[1]

    def forgetful(
        model: object, part: np.ndarray, options: SpeechOptions, *rest: object, **other: object
    ) -> list[Segment]:
        segments = run(model, part, options, *rest, **other)  # type: ignore[arg-type]
        if len(part) < len(sound):
            return segments
        kept = [tuple(w for w in s.words if not lost.start - 0.3 < w.start < lost.end) for s in segments]
        return [Segment(own[0].start, own[-1].end, own) for own in kept if own]

    monkeypatch.setattr(module, "_run", forgetful)
    weights = find_weights("tiny.en", say=print, allow_download=False)
    result = transcribe(sound, weights, SpeechOptions(device="cpu"))
    text = result.text.lower()
    assert "crack in the" in text
    assert text.index("mirrors") < text.index("crack") < text.index("no dents")
    crack = next(w for w in result.words() if w.text.lower().startswith("crack"))
    assert lost.start < crack.start < lost.end
