"""A walk-round's folder for the tests of the review: made from words alone, with lines that need a person."""

import json
from functools import cache
from pathlib import Path

from walkround.narration.lexicon import Lexicon, load_lexicon
from walkround.narration.model import Reading
from walkround.narration.reader import Reader
from walkround.pipeline import Job, assemble, make_report
from walkround.report.heard import Film, Heard, media_row, read_heard, transcript_row
from walkround.report.record import Report
from walkround.speech.transcript import Segment, Transcript, Word

ROOT = Path(__file__).resolve().parents[2]

#: What an invented narrator says: (words, how sure the recogniser is of them).
TALK = (
    ("Now there's a scratch just there.", 0.95),
    ("This one is a 2019 with eight thousand miles on it.", 0.95),
    ("The left mirror has a scratch on the back.", 0.95),
    ("The right mirror has a scratch too.", 0.95),
    ("There is a dent in the fuel tank, and the fuel tank has a scuff.", 0.95),
    ("The front brake leaver is bent at the tip.", 0.9),
    ("The rear tyre is worn and there's a crack in it.", 0.25),
    ("Oh, and there's a bit of a mark there.", 0.95),
    ("The rider's seat is perfect, no tears.", 0.95),
    ("The chain is rusty.", 0.3),
    ("The radiator has some bent fins.", 0.95),
    ("The chain is spotless.", 0.95),
    ("The grabble is loose when you give it a pull.", 0.95),
)


def transcript(talk: tuple[tuple[str, float], ...] = TALK) -> Transcript:
    """The talk as a recogniser would give it: five seconds a sentence."""
    segments = []
    for n, (text, sure) in enumerate(talk):
        words = text.split()
        step = 4.0 / len(words)
        made = tuple(
            Word(w, round(5 * n + k * step, 3), round(5 * n + (k + 1) * step, 3), sure) for k, w in enumerate(words)
        )
        segments.append(Segment(made[0].start, made[-1].end, made))
    return Transcript(tuple(segments), "recognised", "invented for a test")


def heard_of(words: Transcript) -> Heard:
    return Heard(films=[Film(media=media_row(None), path=None, transcript=transcript_row(words))])


@cache
def lexicon() -> Lexicon:
    return load_lexicon()


@cache
def reader() -> Reader:
    return Reader(lexicon())


@cache
def read() -> tuple[Report, Reading]:
    """The record of the talk as it is read, and the reading. Not to be changed."""
    return assemble(heard_of(transcript()), lexicon(), reader())


def make_folder(out: Path, video: Path | None = None) -> Path:
    """A folder with the report of the talk, as the command would make it."""
    words = [
        {
            "start": s.start, "end": s.end, "text": s.text,
            "words": [
                {"word": f" {w.text}", "start": w.start, "end": w.end, "probability": w.probability} for w in s.words
            ],
        }
        for s in transcript().segments
    ]  # fmt: skip
    source = out.parent / f"{out.name}-words.json"
    source.write_text(json.dumps({"segments": words}), encoding="utf-8")
    make_report(Job(video, out, source))
    assert read_heard(out).films[0].transcript.timing
    return out
