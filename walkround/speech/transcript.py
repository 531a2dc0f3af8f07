"""The words of a recording with their times: what the speech stage returns and the narration stage reads."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

#: Where the times come from: heard by the recogniser, given by a transcript, or guessed from word lengths.
Timing = Literal["recognised", "given", "estimated"]


@dataclass(frozen=True, slots=True)
class Word:
    """One word as written, punctuation attached and without spaces around it.

    ``start`` and ``end`` are seconds from the start of the video; ``probability`` is the recogniser's own,
    0 to 1, and None where the words were given by a person or a file that has none.
    """

    text: str
    start: float
    end: float
    probability: float | None = None


@dataclass(frozen=True, slots=True)
class Segment:
    """A run of words that the source delivered together: a caption cue, a line, a recogniser's segment."""

    start: float
    end: float
    words: tuple[Word, ...]

    @property
    def text(self) -> str:
        """The words joined by single spaces."""
        return " ".join(word.text for word in self.words)


@dataclass(frozen=True, slots=True)
class Transcript:
    """Everything that was said. Segments are in order of time; so are the words in each."""

    segments: tuple[Segment, ...]
    timing: Timing
    source: str  #: what made it: "faster-whisper base.en", "SubRip file", ...
    language: str = "en"
    warnings: tuple[str, ...] = field(default=())

    def words(self) -> Iterator[Word]:
        """All words in order."""
        for segment in self.segments:
            yield from segment.words

    @property
    def text(self) -> str:
        """All words joined by single spaces."""
        return " ".join(word.text for word in self.words())
