"""The places that were marked by hand in the narrations, and how near the chapters come to them."""

import tomllib
from dataclasses import dataclass, field
from pathlib import Path

from walkround.narration.lexicon import Lexicon
from walkround.narration.reader import Reader
from walkround.pipeline import assemble
from walkround.report.heard import Film, Heard, media_row, transcript_row
from walkround.report.record import Report
from walkround.speech.imported import read_transcript
from walkround.speech.transcript import Segment, Transcript, Word

TESTS = Path(__file__).resolve().parents[1]
PLACES = tomllib.loads((TESTS / "report" / "places.toml").read_text(encoding="utf-8"))
#: Seconds within which a boundary is the one that was marked.
TOLERANCE = 5.0


@dataclass
class Found(list[tuple[float, str]]):
    """(start, title) of the chapters, and the end of the talk."""

    end: float = 0.0
    report: Report | None = field(default=None, repr=False)

    def __init__(self, report: Report) -> None:
        super().__init__((c.start, c.title) for c in report.chapters)
        self.report, self.end = report, report.transcript.segments[-1].end


def narrations(name: str) -> list[Path]:
    """The folders of one set that are marked."""
    return [TESTS / name / folder for folder in PLACES[name]]


def timed(folder: Path, even: bool = False) -> Transcript:
    """A narration with times; ``even`` makes every silence that is not written in the text 0.4 s long."""
    talk = read_transcript(folder / "narration.txt")
    if not even:
        return talk
    shift = last = 0.0
    segments = []
    for segment in talk.segments:
        words = []
        for word in segment.words:
            silence = word.start - last
            if 0.3 < silence < 2.0:
                shift += 0.4 - silence
            last = word.end
            words.append(Word(word.text, round(word.start + shift, 3), round(word.end + shift, 3)))
        segments.append(Segment(words[0].start, words[-1].end, tuple(words)))
    return Transcript(tuple(segments), talk.timing, talk.source, talk.language)


def annotated(name: str, folder: Path, even: bool = False) -> list[float]:
    """Seconds at which the marked places begin."""
    words = list(timed(folder, even).words())
    moments = []
    for phrase in PLACES[name][folder.name]["places"]:
        wanted = phrase.split()
        hits = [
            n
            for n in range(len(words))
            if [w.text for w in words[n : n + len(wanted) - 1]] == wanted[:-1]
            and words[min(n + len(wanted), len(words)) - 1].text.startswith(wanted[-1])
        ]
        assert len(hits) == 1, (folder.name, phrase, hits)
        moments.append(words[hits[0]].start)
    return moments


def record(reader: Reader, talk: Transcript) -> Report:
    """The record of a talk without a film."""
    film = Film(media=media_row(None), path=None, transcript=transcript_row(talk))
    lexicon: Lexicon = reader.lexicon
    return assemble(Heard(films=[film]), lexicon, reader)[0]


def proposed(reader: Reader, folder: Path, even: bool = False) -> Found:
    """The chapters of a narration."""
    return Found(record(reader, timed(folder, even)))


def pooled(rows: list[tuple[list[float], list[float]]]) -> tuple[int, int, int, float]:
    """Right, said, true and F1 over all narrations. A boundary counts once, for the nearest that was marked."""
    right = said = true = 0
    for found, marked in rows:
        pairs = sorted((abs(f - m), f, m) for f in found for m in marked if abs(f - m) <= TOLERANCE)
        used_f: set[float] = set()
        used_m: set[float] = set()
        for _, f, m in pairs:
            if f not in used_f and m not in used_m:
                used_f.add(f)
                used_m.add(m)
        right, said, true = right + len(used_f), said + len(found), true + len(marked)
    return right, said, true, 2 * right / (said + true) if said + true else 0.0
