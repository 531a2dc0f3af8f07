"""Confidence is a chance: it falls where the reading is a guess, and what is unlikely goes to a person."""

from rows import Read, faults

from walkround.narration.certainty import REVIEW_BELOW, chance, weights


def test_a_fault_said_outright_is_sure(read: Read) -> None:
    (row,) = read("The left mirror has a scratch on the back.").findings
    assert row.confidence >= 0.85
    assert row.review is None


def test_a_guess_at_the_part_is_less_sure_than_a_name() -> None:
    """The fitted chances keep the order that a reader would expect."""
    plain = ["fault scratch", "first fault of the sentence", "parts 1", "words 1"]
    named = chance([*plain, "tie subject", "part next"], weights())
    assert named > chance([*plain, "tie selector", "stands for a part", "part far"], weights())
    assert named > chance([*plain, "tie subject", "part next", "weak name"], weights())


def test_every_row_under_the_line_gives_a_reason(read: Read) -> None:
    for text in ("Sprockets. The alarm is cracked.", "It weeps.", "Handlebar. There's a hole in the thing."):
        for row in (*read(text).findings, *read(text).unplaced):
            assert row.confidence >= REVIEW_BELOW or row.review, text


def test_what_is_copied_by_the_same_words_is_kept(read: Read) -> None:
    rows = read("The left bar end's scuffed, right one the same.").findings
    assert faults(rows) == ["bar-end/both/scuff"]


def test_the_chance_is_logistic() -> None:
    """By hand: a bias of 1 and one feature of -1 leave an even chance."""
    assert chance([], {"bias": 0.0}) == 0.5
    assert chance(["tie focus", "not known"], {"bias": 1.0, "tie focus": -1.0}) == 0.5
    assert "bias" in weights()
