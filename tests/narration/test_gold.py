"""Floors for accuracy on narrations with keys, scored by benchmarks/scoring.py.

The floors on tests/gold are those the project set itself; the others stand under what was measured when they were
written, as said beside each. tests/gold_aside and tests/gold_plain_aside are set aside: they are measured here and
nothing of them is printed.
"""

import json
import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from score_gold import read_all, total
from scoring import Counts, rates

from walkround.narration.reader import Reader

TESTS = Path(__file__).resolve().parents[1]
Measured = tuple[dict[str, Counts], int]


@dataclass(frozen=True)
class Floors:
    """The least F1 (recall for ``disclosed`` and ``not mentioned``) and the most false clears."""

    finding: float
    finding_side: float = 0.0
    disclosed: float = 0.0
    clear: float = 0.0
    not_mentioned: float = 0.0
    false_clear: int | None = None


def measure(reader: Reader, folder: str, unpunctuated: bool = False) -> Measured:
    """Pooled counts and false clears of a folder of narrations; at least five must be there."""
    pairs = read_all(TESTS / folder, reader, unpunctuated)
    assert len(pairs) >= 5
    return total(pairs, notes=False)


def hold(measured: Measured, floors: Floors) -> None:
    """Assert every floor."""
    counts, false_clears = measured
    assert rates(counts["finding"])[2] >= floors.finding
    assert rates(counts["finding+side"])[2] >= floors.finding_side
    assert rates(counts["disclosed"])[1] >= floors.disclosed
    assert rates(counts["clear"])[2] >= floors.clear
    assert rates(counts["not mentioned"])[1] >= floors.not_mentioned
    if floors.false_clear is not None:
        assert false_clears <= floors.false_clear


def test_the_eight_narrations(reader: Reader) -> None:
    hold(measure(reader, "gold"), Floors(0.95, 0.93, 1.0, 0.95, 0.98, 0))


def test_the_open_narrations(reader: Reader) -> None:
    hold(measure(reader, "gold_open"), Floors(finding=0.90, disclosed=0.95, false_clear=0))


def test_the_eight_narrations_without_marks_and_capitals(reader: Reader) -> None:
    # Measured: finding 0.910, with side 0.880, disclosed 0.969, clear 0.912, not mentioned 1.000, 1 false clear.
    # The floors stand 0.03 under; a false clear more than today's is a fault.
    hold(measure(reader, "gold", unpunctuated=True), Floors(0.88, 0.85, 0.939, 0.882, 0.97, 1))


def test_the_open_narrations_without_marks_and_capitals(reader: Reader) -> None:
    # Measured: finding 0.848, with side 0.812, disclosed 0.956, clear 0.812, not mentioned 1.000, 5 false clears.
    hold(measure(reader, "gold_open", unpunctuated=True), Floors(0.818, 0.782, 0.926, 0.782, 0.97, 5))


def test_the_narrations_set_aside(reader: Reader) -> None:
    # Measured: finding 0.777, disclosed 0.902, far below those that were looked at. The floors stand 0.03 under.
    hold(measure(reader, "gold_aside"), Floors(finding=0.747, disclosed=0.872, false_clear=3))


def test_the_plain_narrations(reader: Reader) -> None:
    # Measured: finding 0.913, with side 0.888, disclosed 0.987, clear 0.937. The floors stand 0.03 under.
    hold(measure(reader, "gold_plain"), Floors(0.883, 0.858, 0.957, 0.907, 0.97, 2))


def test_the_plain_narrations_set_aside(reader: Reader) -> None:
    # Measured: finding 0.794, with side 0.783, disclosed 0.977, clear 0.899. The floors stand 0.03 under.
    hold(measure(reader, "gold_plain_aside"), Floors(0.764, 0.753, 0.947, 0.869, 0.94, 1))


# --- the scoring itself ------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("counts", "precision", "recall", "f1"),
    [
        # TP 8, FP 4, FN 2: precision 2/3, recall 0.8, F1 8/11 (definition; F1 = 2TP / (2TP + FP + FN))
        ((8, 12, 10), 2 / 3, 0.8, 16 / 22),
        ((0, 0, 0), 1.0, 1.0, 1.0),
        ((0, 3, 3), 0.0, 0.0, 0.0),
        ((5, 5, 5), 1.0, 1.0, 1.0),
    ],
)
def test_rates(counts: Counts, precision: float, recall: float, f1: float) -> None:
    assert rates(counts) == pytest.approx((precision, recall, f1))


def test_every_quote_of_a_key_stands_in_its_narration() -> None:
    """In the folders that may be looked at."""
    for folder in ("gold", "gold_open"):
        for path in (TESTS / folder).glob("*/gold.json"):
            key = json.loads(path.read_text(encoding="utf-8"))
            text = re.sub(r"\s+", " ", (path.parent / "narration.txt").read_text(encoding="utf-8"))
            for kind in ("findings", "clear", "promises", "guesses", "excluded"):
                for row in key[kind]:
                    assert re.sub(r"\s+", " ", row["quote"]) in text, (path.parent.name, row["quote"])
