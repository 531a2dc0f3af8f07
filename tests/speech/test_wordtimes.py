"""Word times put where the speech is."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from walkround.speech.transcript import Segment, Word
from walkround.speech.wordtimes import settle, unheard


def segment(*words: tuple[str, float, float]) -> Segment:
    made = tuple(Word(text, start, end, 0.9) for text, start, end in words)
    return Segment(made[0].start, made[-1].end, made)


def times(segments: list[Segment]) -> list[tuple[str, float, float]]:
    return [(w.text, w.start, w.end) for s in segments for w in s.words]


def test_a_first_word_stretched_back_over_silence() -> None:
    settled = settle([segment(("There", 2.0, 9.4), ("is", 9.4, 9.6))], [(0.0, 1.0), (9.1, 12.0)])
    assert times(settled) == [("There", 9.1, 9.4), ("is", 9.4, 9.6)]


def test_a_last_word_stretched_over_silence() -> None:
    settled = settle([segment(("is", 0.5, 0.8), ("good.", 0.8, 6.0))], [(0.0, 1.2), (7.0, 8.0)])
    assert times(settled) == [("is", 0.5, 0.8), ("good.", 0.8, 1.2)]


def test_a_word_too_long_in_noise_is_cut() -> None:
    """A detector that hears speech throughout gives no edge: then the longest plausible length does."""
    spans = [(0.0, 60.0)]
    opening = settle([segment(("Tank", 10.0, 20.0), ("good", 20.0, 20.4))], spans)
    assert times(opening)[0] == ("Tank", 19.12, 20.0)
    inner = settle([segment(("the", 9.9, 10.0), ("tank", 10.0, 20.0))], spans)
    assert times(inner)[1] == ("tank", 10.0, 10.88)
    digits = settle([segment(("at", 9.0, 9.2), ("8,412", 9.2, 11.0))], spans)
    assert times(digits)[1] == ("8,412", 9.2, 11.0)


def test_a_word_that_clings_to_the_talk_before_a_pause() -> None:
    """ "Both" opens the sentence after the pause, but was given the end of the one before it."""
    spans = [(77.66, 79.26), (82.0, 84.0)]
    found = segment(("is", 78.4, 78.6), ("perfect.", 78.6, 79.0), ("Both", 79.0, 82.15), ("levers", 82.15, 82.5))
    settled = settle([found], spans)
    assert times(settled)[2] == ("Both", 82.0, 82.15)
    last = segment(("is", 78.4, 78.6), ("just", 78.6, 79.0), ("perfect.", 79.0, 79.9), ("Levers", 82.05, 82.5))
    assert times(settle([last], spans))[2] == ("perfect.", 79.0, 79.26)


def test_a_word_where_the_detector_heard_nothing_keeps_its_time() -> None:
    found = [segment(("scratch", 5.0, 5.4))]
    assert times(settle(found, [])) == [("scratch", 5.0, 5.4)]
    assert times(settle(found, [(8.0, 9.0)])) == [("scratch", 5.0, 5.4)]


def test_speech_without_words_is_found() -> None:
    spans = [(0.0, 4.0), (10.0, 14.0), (20.0, 21.0)]
    words = [segment(("a", 0.2, 1.0), ("b", 1.0, 3.9))]
    assert unheard(words, spans, 1.5) == [(10.0, 14.0)]
    assert unheard([segment(("a", 10.0, 10.5), ("b", 13.9, 14.0))], spans, 1.5) == [(0.0, 4.0), (10.5, 13.9)]
    assert unheard([], [(0.0, 1.0)], 1.5) == []


SPANS = st.lists(st.floats(0, 60), min_size=2, max_size=12, unique=True).map(
    lambda points: [(a, b) for a, b in zip(sorted(points)[::2], sorted(points)[1::2], strict=False)]
)
WORDS = st.lists(
    st.tuples(st.sampled_from(["tank", "a", "8,412", "scratch."]), st.floats(0, 60), st.floats(0, 10)),
    min_size=1,
)


@given(WORDS, SPANS)
def test_no_word_is_lost_and_none_runs_backwards(
    words: list[tuple[str, float, float]], spans: list[tuple[float, float]]
) -> None:
    ordered = sorted(words, key=lambda w: w[1])
    found = [segment(*[(t, s, s + d) for t, s, d in ordered])]
    settled = times(settle(found, spans))
    assert [t for t, _, _ in settled] == [t for t, _, _ in ordered]
    assert all(0 <= start <= end for _, start, end in settled)
    assert all(a[1] <= b[1] and a[2] <= b[1] + 1e-9 for a, b in pairwise(settled))
