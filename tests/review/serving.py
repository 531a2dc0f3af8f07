"""A review page that is served, and words as a recogniser writes them: for the tests of the review page."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from desk import reader

from walkround.review.server import prepared
from walkround.review.session import Session


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
