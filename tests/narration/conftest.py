"""Shared by the tests of the reading: one Reader for all, and the folders that hold the helpers."""

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
for folder in (TESTS, TESTS.parent / "benchmarks"):
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))

import generator  # noqa: E402
from rows import found  # noqa: E402

from walkround.narration.lexicon import Lexicon  # noqa: E402
from walkround.narration.model import Reading  # noqa: E402
from walkround.narration.reader import Reader  # noqa: E402
from walkround.speech.transcript import Transcript  # noqa: E402


@pytest.fixture(scope="session")
def lexicon() -> Lexicon:
    return generator.lexicon()


@pytest.fixture(scope="session")
def reader(lexicon: Lexicon) -> Reader:
    return Reader(lexicon)


@pytest.fixture(scope="session")
def read(reader: Reader) -> Callable[[str], Reading]:
    """The reading of a text that a person typed."""
    return lambda text: reader.read(generator.transcript(text))


@pytest.fixture(scope="session")
def listen(reader: Reader) -> Callable[[Transcript], Reading]:
    """The reading of a transcript."""
    return lambda talk: reader.read(talk)


@pytest.fixture(scope="session")
def find(read: Callable[[str], Reading]) -> Callable[[str], list[str]]:
    """The findings of a text, as "part/side/defect"."""
    return lambda text: found(read(text))
