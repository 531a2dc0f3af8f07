"""Servers and browsers for the tests of the review page."""

import json
import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest
from desk import ROOT, reader

from walkround.demo import demo_film
from walkround.pipeline import Job, make_report
from walkround.review.server import prepared
from walkround.review.session import Session

#: Sentences of the demo that the recogniser is made unsure of, and one more that names no part.
UNSURE = {"radiator", "chain", "seat", "fork-left"}


@contextmanager
def served(folder: Path, who: str = "A. Tester") -> Iterator[tuple[str, Session]]:
    """The review page of a folder: its address, and the session behind it."""
    session = Session(folder, who, reader())
    server, listening, address = prepared(session)
    session.start_writing()
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    try:
        yield address, session
    finally:
        server.should_exit = True
        thread.join(10)
        listening.close()
        session.stop_writing()


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


def said(text: str, start: float, end: float, sure: float) -> dict[str, object]:
    """A segment as a recogniser writes it."""
    words = text.split()
    step = (end - start) / len(words)
    return {
        "start": start, "end": end, "text": text,
        "words": [
            {"word": f" {w}", "start": start + n * step, "end": start + (n + 1) * step, "probability": sure}
            for n, w in enumerate(words)
        ],
    }  # fmt: skip


@pytest.fixture
def demo(demo_made: Path, tmp_path: Path) -> Path:
    """A copy of the demo's folder that a test may change; the film is beside it."""
    shutil.copytree(demo_made, tmp_path / "bike")
    return tmp_path / "bike" / "report"
