"""Records that the tests of outputs share: the demo's script with its true times, and a hostile narration."""

import json
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
for folder in (TESTS / "report", TESTS / "outputs"):
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))

from telling import HOSTILE_TALK, told  # noqa: E402

from walkround.narration.lexicon import load_lexicon  # noqa: E402
from walkround.narration.reader import Reader  # noqa: E402
from walkround.report.record import Report  # noqa: E402


@pytest.fixture(scope="session")
def reader() -> Reader:
    return Reader(load_lexicon())


@pytest.fixture(scope="session")
def demo(reader: Reader) -> Report:
    """The record of the demo's script, with the times of its film."""
    rows = json.loads((TESTS.parent / "demo_media" / "sentences.json").read_text(encoding="utf-8"))["sentences"]
    return told(reader, [(s["start"], s["end"], s["text"]) for s in rows], duration=157.2)


@pytest.fixture(scope="session")
def hostile(reader: Reader) -> Report:
    """The record of a narration with markup, arrows, quotes, emoji and right-to-left text in it."""
    return told(reader, HOSTILE_TALK, duration=90.0)
