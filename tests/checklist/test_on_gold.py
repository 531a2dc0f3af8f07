"""What is shown as skipped, on the narrations with keys: all that was, and hardly ever what was spoken of."""

import json
from pathlib import Path

import pytest
from talks import record

from walkround.speech.imported import read_transcript

GOLD = Path(__file__).resolve().parents[1] / "gold"
BIKES = sorted(path.parent for path in GOLD.glob("*/gold.json"))
#: The plan's aims.
SKIPPED_FOUND, SPOKEN_SHOWN_AS_SKIPPED = 0.98, 0.02


@pytest.fixture(scope="module")
def counts() -> dict[str, int]:
    found = dict.fromkeys(("skipped", "right", "spoken", "wrong"), 0)
    for folder in BIKES:
        key = json.loads((folder / "gold.json").read_text(encoding="utf-8"))
        report = record(read_transcript(folder / "narration.txt", None))
        shown = {part for gap in report.gaps if gap.lacks == ["mention"] for part in gap.parts}
        silent = {row.part for row in report.checklist} - {
            row.part for row in report.checklist if row.state != "not-mentioned"
        }
        spoken = [row["part"] for row in (*key["findings"], *key["clear"])] + [[part] for part in key["named_only"]]
        found["skipped"] += len(key["not_mentioned"])
        found["right"] += sum(part in silent for part in key["not_mentioned"])
        found["spoken"] += len(spoken)
        found["wrong"] += sum(all(part in shown for part in parts) for parts in spoken)
    return found


def test_what_was_skipped_is_said_to_be(counts: dict[str, int]) -> None:
    assert counts["skipped"] > 80
    assert counts["right"] / counts["skipped"] >= SKIPPED_FOUND


def test_what_was_spoken_of_is_not_shown_as_skipped(counts: dict[str, int]) -> None:
    assert counts["spoken"] > 200
    assert counts["wrong"] / counts["spoken"] <= SPOKEN_SHOWN_AS_SKIPPED
