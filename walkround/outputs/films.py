"""The films of a record, each with its words and its length."""

from collections.abc import Iterator
from dataclasses import dataclass

from walkround.report.record import Chapter, Media, Report, TranscriptRow
from walkround.report.wording import title_of


@dataclass(frozen=True)
class FilmRows:
    """One film of a record: ``source`` 0 is the first, n the n-th that was added. Seconds."""

    source: int
    media: Media
    transcript: TranscriptRow
    end: float
    chapters: tuple[Chapter, ...]

    @property
    def suffix(self) -> str:
        """What tells its files from those of the first film: nothing, ``-2``, ``-3``."""
        return f"-{self.source + 1}" if self.source else ""


def films_of(report: Report) -> Iterator[FilmRows]:
    """The films in order. The end is that of the film, or of the last word where there is no film."""
    transcripts = (report.transcript, *report.added_transcripts)
    for source, media in enumerate((report.media, *report.added)):
        transcript = transcripts[source]
        last = max((segment.end for segment in transcript.segments), default=0.0)
        end = media.duration if media.duration is not None else last
        rows = sorted((c for c in report.chapters if c.source == source), key=lambda c: c.start)
        yield FilmRows(source, media, transcript, end, tuple(rows))


def bike_title(report: Report) -> str:
    """The title of the report, on one line."""
    return one_line(title_of(report))


def one_line(text: str) -> str:
    """Text on one line: every run of white space and every control character becomes a space.

    Marks that turn the writing direction stay, each closed by the end of the line.
    """
    return " ".join("".join(c if c.isprintable() or c in _FORMAT else " " for c in text).split())


#: Invisible characters that belong to words: joiners of emoji and of scripts, and direction marks.
_FORMAT = frozenset("\u200c\u200d\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufe0f")
