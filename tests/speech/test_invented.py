"""Text that nobody said: what is left out, what stays, and that each is told."""

import numpy as np

from walkround.speech.invented import drop_loops, drop_silent, warn_of_haste
from walkround.speech.transcript import Segment, Word


def segment(text: str, start: float, end: float) -> Segment:
    words = text.split()
    step = (end - start) / len(words)
    return Segment(start, end, tuple(Word(w, start + n * step, start + (n + 1) * step) for n, w in enumerate(words)))


def text_of(segments: list[Segment]) -> str:
    return " ".join(s.text for s in segments)


def test_words_in_silence_are_left_out_and_told() -> None:
    levels = np.full(1000, -90.0, np.float32)
    levels[: int(10 / 0.03)] = -30
    warnings: list[str] = []
    kept = drop_silent([segment("the tank is good", 2, 4), segment("thanks for watching", 20, 22)], levels, warnings)
    assert text_of(kept) == "the tank is good"
    assert len(warnings) == 1
    assert "0:20" in warnings[0]
    assert "thanks for watching" in warnings[0]


def test_words_close_to_sound_stay() -> None:
    levels = np.full(1000, -90.0, np.float32)
    levels[100:120] = -40  # 3.0 to 3.6 s
    warnings: list[str] = []
    assert drop_silent([segment("chip there", 3.9, 4.4)], levels, warnings)
    assert not warnings


def test_a_loop_keeps_its_first_round() -> None:
    warnings: list[str] = []
    said = [segment("the seat is good", 0, 2)]
    loop = [segment("and there is a scratch here", 2 + n, 3 + n) for n in range(9)]
    after = [segment("left mirror fine", 12, 14)]
    kept = drop_loops(said + loop + after, warnings)
    assert text_of(kept) == "the seat is good and there is a scratch here left mirror fine"
    assert len(warnings) == 1
    assert "8 more times" in warnings[0]
    assert "0:03" in warnings[0]


def test_a_loop_inside_one_segment() -> None:
    warnings: list[str] = []
    kept = drop_loops([segment("tank good " + "you know " * 20, 0, 3)], warnings)
    assert text_of(kept) == "tank good you know"
    assert warnings


def test_ordinary_repetition_stays() -> None:
    """Counted on the left and on the right, and a passage of Dickens (1859, public domain)."""
    for text in (
        "no no no no nothing there",
        "no marks no marks no marks on that",
        "it was the best of times it was the worst of times it was the age of wisdom",
        "fine fine fine fine fine",
    ):
        warnings: list[str] = []
        assert text_of(drop_loops([segment(text, 0, len(text.split()) / 3)], warnings)) == text
        assert not warnings


def test_hurried_repeats_are_a_loop() -> None:
    text = " ".join(["left, right,"] * 4)
    slow: list[str] = []
    assert text_of(drop_loops([segment(text, 0, 4)], slow)) == text
    assert not slow
    hurried: list[str] = []
    assert text_of(drop_loops([segment(text, 0, 0.5)], hurried)) == "left, right,"
    assert hurried


def test_haste_is_told_but_kept() -> None:
    warnings: list[str] = []
    warn_of_haste([segment("there is a dent in the tank on the left", 1, 1.5)], warnings)
    assert len(warnings) == 1
    assert "dent in the tank" in warnings[0]
    warnings.clear()
    warn_of_haste([segment("there is a dent in the tank on the left", 1, 4)], warnings)
    assert not warnings
