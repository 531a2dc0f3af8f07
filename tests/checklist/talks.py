"""Records made from words alone, for tests of coverage: one Reader for all, no recognition, nothing written."""

from functools import cache

from walkround.checklist.cover import cover
from walkround.narration.lexicon import load_lexicon
from walkround.narration.reader import Reader
from walkround.pipeline import assemble
from walkround.report.heard import Film, Heard, transcript_row
from walkround.report.record import Fact, Gap, Media, Report
from walkround.speech.timed_text import read_plain_text
from walkround.speech.transcript import Segment, Transcript, Word

Talk = str | Transcript


@cache
def reader() -> Reader:
    """The project's own lexicon, compiled once."""
    return Reader(load_lexicon())


def transcript(talk: Talk) -> Transcript:
    """Plain text as words with guessed times; lines that begin with [m:ss] keep theirs."""
    if isinstance(talk, Transcript):
        return talk
    return Transcript(tuple(read_plain_text(talk, None)), "estimated", "made for a test")


def timed(sentences: list[tuple[float, str]], each: float = 3.0) -> Transcript:
    """Sentences that begin at given seconds."""
    segments = []
    for start, text in sentences:
        words = text.split()
        step = each / len(words)
        spoken = tuple(Word(w, start + n * step, start + (n + 1) * step) for n, w in enumerate(words))
        segments.append(Segment(start, start + each, spoken))
    return Transcript(tuple(segments), "given", "made for a test")


def heard(*talks: Talk, kind: str | None = None, not_fitted: dict[str, str] | None = None) -> Heard:
    """Films with these words."""
    films = [Film(media=Media(), path=None, transcript=transcript_row(transcript(talk))) for talk in talks]
    given = {"kind": Fact(value=kind, given=True)} if kind else {}
    return Heard(films=films, given=given, not_fitted=not_fitted or {})


def record(*talks: Talk, kind: str | None = None, not_fitted: dict[str, str] | None = None) -> Report:
    """The record of one film or several."""
    said = heard(*talks, kind=kind, not_fitted=not_fitted)
    return cover(assemble(said, reader().lexicon, reader())[0], reader().lexicon, said)


def lacks(report: Report, part: str) -> dict[str | None, list[str]]:
    """What is missing of a part, by side; empty where it is covered."""
    return {gap.side: gap.lacks for gap in report.gaps if part in gap.parts}


def lines(report: Report) -> dict[tuple[str, str | None, tuple[str, ...]], tuple[str, ...]]:
    """Gaps without their times: (item, side, parts) to what is lacking."""
    return {(gap.item, gap.side, tuple(gap.parts)): tuple(gap.lacks) for gap in report.gaps}


def uncovered(gaps: list[Gap]) -> set[tuple[str, str, str]]:
    """(part or item, side, what it lacks) for all that is due, each side by itself."""
    found = set()
    for gap in gaps:
        sides = ("left", "right") if gap.side == "both" else (gap.side or "",)
        for part in gap.parts or [gap.item]:
            for lack in gap.lacks:
                for side in sides:
                    found.add((part, side, lack))
    return found
