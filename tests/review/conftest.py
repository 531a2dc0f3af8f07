"""Servers and browsers for the tests of the review page."""

import json
import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from desk import ROOT
from serving import said, served

from walkround.demo import demo_film
from walkround.pipeline import Job, make_report
from walkround.review.session import Session

#: Sentences of the demo that the recogniser is made unsure of, and one more that names no part.
UNSURE = {"radiator", "chain", "seat", "fork-left"}


@pytest.fixture
def serve() -> Iterator[Callable[..., tuple[str, Session]]]:
    """Serves folders until the test ends."""
    with ExitStack() as stack:
        yield lambda folder, who="A. Tester": stack.enter_context(served(folder, who))


@pytest.fixture(scope="session")
def demo_made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo bike's folder with its film: words from the script, some of them weakly heard. Not to be changed."""
    base = tmp_path_factory.mktemp("demo")
    film = Path(shutil.copy(demo_film(), base / "film.mp4"))
    sentences = json.loads((ROOT / "demo_media" / "sentences.json").read_text(encoding="utf-8"))["sentences"]
    segments = [said("And there's a bit of a mark just there.", 0.2, 3.0, 0.9)]
    for n, s in enumerate(sentences):
        segments.append(said(s["text"], max(s["start"], 3.1), max(s["end"], 3.4), 0.3 if n % 5 == 4 else 0.95))
    (base / "words.json").write_text(json.dumps({"segments": segments}), encoding="utf-8")
    make_report(Job(film, base / "report", base / "words.json"))
    return base


@pytest.fixture
def demo(demo_made: Path, tmp_path: Path) -> Path:
    """A copy of the demo's folder that a test may change; the film is beside it."""
    shutil.copytree(demo_made, tmp_path / "bike")
    return tmp_path / "bike" / "report"
