"""What was heard: the films of a walk-round and their words, ``heard.json``, from which the record is built.

It is written once for each film, since listening is the slow part. Everything after it (the reading, the
checklist, a person's settlings) is built anew from it in a moment.
"""

import json
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, ValidationError

from walkround.errors import InputError, shown
from walkround.media.probe import MediaInfo
from walkround.report import record as r
from walkround.speech.transcript import Segment, Transcript, Word

HEARD = "heard.json"
SCHEMA_VERSION = "1.1"


class _Row(BaseModel):
    model_config = ConfigDict(extra="forbid")


class Film(_Row):
    """One film and its words. ``path`` is where the film lies, seen from the folder, with forward slashes."""

    media: r.Media
    path: str | None
    transcript: r.TranscriptRow
    warnings: list[str] = []


class Cover(_Row):
    """A region to be made unreadable, marked in the upright picture at ``time`` seconds of a film.

    ``box`` is left, top, width and height as shares of the picture, 0 to 1.
    """

    source: int = 0
    time: float
    box: tuple[float, float, float, float]


class Heard(_Row):
    """All films of one walk-round, in the order in which they were joined; the first has source 0."""

    schema_version: str = SCHEMA_VERSION
    films: list[Film]
    given: dict[str, r.Fact] = {}  #: what a person supplied: kind, make, year, ...
    not_fitted: dict[str, str] = {}  #: parts that a person said the bike does not have: id to reason
    checklist: dict[str, Any] | None = None  #: the dealer's own checklist, as read, where one was given
    pictures: bool = True  #: whether stills and clips are made of the films
    covers: list[Cover] = []  #: what is made unreadable in stills and clips
    lexicon: str | None = None  #: the dealer's own lexicon folder, seen from the walk-round's folder

    def to_json(self) -> str:
        """As text: the same bytes each time. A path whose bytes are not UTF-8 survives as JSON escapes."""
        rows = self.model_dump()
        ascii_only = bool(self.lexicon and plain(self.lexicon) != self.lexicon)
        ascii_only |= any(film.path and plain(film.path) != film.path for film in self.films)
        return json.dumps(rows, ensure_ascii=ascii_only, indent=1) + "\n"


def read_heard(folder: Path) -> Heard:
    """What was heard, from a walk-round's folder. Raises InputError where the folder is no walk-round."""
    path = folder / HEARD
    try:
        return Heard.model_validate(json.loads(path.read_bytes()))
    except FileNotFoundError:
        raise InputError(
            f"{shown(folder)}: is not the folder of a walk-round (no {HEARD} in it); make one with "
            "walkround report VIDEO --out DIR."
        ) from None
    except NotADirectoryError:
        raise InputError(f"{shown(folder)}: is a file; give the folder of a walk-round.") from None
    except OSError as error:
        raise InputError(f"{shown(path)}: cannot be read ({error.strerror}).") from None
    except ValueError as error:
        if not isinstance(error, ValidationError):
            raise InputError(f"{shown(path)}: was damaged or changed ({error}); make the report again.") from None
        first = error.errors()[0]
        where = ".".join(str(step) for step in first["loc"]) or "the whole file"
        raise InputError(
            f"{shown(path)}: was damaged or changed ({where}: {first['msg']}); make the report again."
        ) from None


def how_to_remake(folder: Path) -> str:
    """What to do about a record that cannot be read."""
    if (folder / HEARD).is_file():
        return f"delete it, and walkround gaps {shown(folder)} makes it again from {HEARD}"
    return "make the report again"


def media_row(media: MediaInfo | None) -> r.Media:
    """A recording as the record holds it."""
    if media is None:
        return r.Media()
    return r.Media(
        file=plain(media.path.name), sha256=media.sha256, duration=rounded(media.duration), width=media.width,
        height=media.height, rotation=media.rotation, recorded_at=media.recorded_at,
    )  # fmt: skip


def transcript_row(transcript: Transcript) -> r.TranscriptRow:
    """The words as the record holds them: times to the millisecond."""
    return r.TranscriptRow(
        source=transcript.source,
        language=transcript.language,
        timing=transcript.timing,
        segments=[
            r.SegmentRow(
                start=rounded(s.start), end=rounded(s.end), text=s.text,
                words=[
                    r.WordRow(
                        text=w.text, start=rounded(w.start), end=rounded(w.end),
                        probability=None if w.probability is None else round(w.probability, 3),
                    )
                    for w in s.words
                ],
            )
            for s in transcript.segments
        ],
    )  # fmt: skip


def transcript_of(row: r.TranscriptRow) -> Transcript:
    """The other way: the words of the record as the reading takes them."""
    segments = tuple(
        Segment(s.start, s.end, tuple(Word(w.text, w.start, w.end, w.probability) for w in s.words))
        for s in row.segments
    )
    return Transcript(segments, row.timing, row.source, row.language)


def plain(name: str) -> str:
    """A file name as text that any program can read: bytes that are not UTF-8 become a replacement mark."""
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def rounded(seconds: float) -> float:
    """Seconds to the millisecond."""
    return round(seconds, 3)
