"""Shared by the tests of the trade step: one Reader for all, and records made from words alone."""

import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
for folder in (TESTS, TESTS / "trade", TESTS / "speech"):
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))

import generator  # noqa: E402
from made_records import Make  # noqa: E402

from walkround.narration.lexicon import Lexicon  # noqa: E402
from walkround.narration.reader import Reader  # noqa: E402
from walkround.pipeline import assemble  # noqa: E402
from walkround.report.heard import Film, Heard, transcript_row  # noqa: E402
from walkround.report.record import Fact, Media, Report  # noqa: E402


@pytest.fixture(scope="session")
def lexicon() -> Lexicon:
    return generator.lexicon()


@pytest.fixture(scope="session")
def reader(lexicon: Lexicon) -> Reader:
    return Reader(lexicon)


@pytest.fixture(scope="session")
def make(lexicon: Lexicon, reader: Reader) -> Make:
    """The record of words, filmed on a day (ISO 8601), with what a person gave."""

    def record(text: str, filmed: str | None = "2026-11-25T10:00:00+00:00", **given: str) -> Report:
        film = Film(media=Media(recorded_at=filmed), path=None, transcript=transcript_row(generator.transcript(text)))
        facts = {key: Fact(value=value, given=True) for key, value in given.items()}
        return assemble(Heard(films=[film], given=facts), lexicon, reader)[0]

    return record
