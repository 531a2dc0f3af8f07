"""A second hearing for stretches with speech that the recogniser passed over.

Now and then a Whisper model jumps over a clause: the text reads on as if nothing were missing, one word being
stretched over the sound of the lost ones. A clause may be a disclosed defect, so such stretches are found by
the speech in them and heard again on their own.
"""

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from walkround.speech.transcript import Segment, Word
from walkround.speech.wordtimes import Spans, longest_plausible

#: Speech (seconds) without words from which a stretch is heard again. Two short words take about this long;
#: the detector's and the recogniser's edges differ by up to 0.3 s in all.
_MISSING_SECONDS = 0.7
#: Heard before and after the stretch, so that the recogniser has words to hold on to (seconds).
CONTEXT_SECONDS = 1.5
#: A word beside the stretch that the recogniser itself gave so little chance belongs to it.
_UNLIKELY = 0.3

#: Recognises the sound from one time to another (seconds); the words have times of the whole recording.
Hear = Callable[[float, float], Sequence[Word]]


@dataclass(frozen=True)
class Stretch:
    """From one trusted word to the next, seconds, and the doubtful words between: ``words[first:last]``."""

    start: float
    end: float
    first: int
    last: int


def passed_over(words: Sequence[Word], spans: Spans, seconds: float) -> list[Stretch]:
    """Stretches that hold more speech than their words can account for.

    ``words`` are as the recogniser timed them, ``seconds`` is the length of the recording.
    """
    trusted = [n for n, word in enumerate(words) if not _stretched(word, spans)]
    found: list[Stretch] = []
    for left, right in zip([-1, *trusted], [*trusted, len(words)], strict=True):
        start = words[left].end if left >= 0 else 0.0
        end = words[right].start if right < len(words) else seconds
        taken = sum(0.3 + 0.03 * len(word.text) for word in words[left + 1 : right])
        if speech_between(spans, start, end) - taken < _MISSING_SECONDS:
            continue
        first, last = left + 1, right
        if first > 0 and _unlikely(words[first - 1]):
            first -= 1
        if last < len(words) and _unlikely(words[last]):
            last += 1
        start = words[first - 1].end if first > 0 else 0.0
        end = words[last].start if last < len(words) else seconds
        if found and first < found[-1].last:
            first, start = found[-1].first, found[-1].start
            found.pop()
        found.append(Stretch(start, end, first, last))
    return found


def hear_again(segments: Sequence[Segment], spans: Spans, seconds: float, hear: Hear) -> list[Segment]:
    """The segments with the words that a second hearing of the stretches passed over brings.

    A second hearing replaces the doubtful words only where it brings more words than there were.
    """
    words = [word for segment in segments for word in segment.words]
    owners = [number for number, segment in enumerate(segments) for _ in segment.words]
    for stretch in reversed(passed_over(words, spans, seconds)):
        heard = _within(hear(stretch.start, stretch.end), stretch, words)
        if len(heard) > stretch.last - stretch.first:
            owner = owners[min(stretch.first, len(owners) - 1)] if owners else 0
            words[stretch.first : stretch.last] = heard
            owners[stretch.first : stretch.last] = [owner] * len(heard)
    grouped: dict[int, list[Word]] = {}
    for owner, word in zip(owners, words, strict=True):
        grouped.setdefault(owner, []).append(word)
    return [Segment(own[0].start, own[-1].end, tuple(own)) for own in grouped.values()]


def speech_between(spans: Spans, start: float, end: float) -> float:
    """Seconds of speech from one time to another."""
    total = 0.0
    for begin, stop in spans[bisect_right(spans, start, key=lambda span: span[1]) :]:
        if begin >= end:
            break
        total += min(stop, end) - max(begin, start)
    return total


def _stretched(word: Word, spans: Spans) -> bool:
    return speech_between(spans, word.start, word.end) > longest_plausible(word.text)


def _unlikely(word: Word) -> bool:
    return word.probability is not None and word.probability < _UNLIKELY


def _within(heard: Sequence[Word], stretch: Stretch, words: Sequence[Word]) -> list[Word]:
    """The words of a second hearing that lie in the stretch, without those that stand beside it already."""
    inside = [w for w in heard if stretch.start - 0.05 <= (w.start + w.end) / 2 <= stretch.end + 0.05]
    if inside and stretch.first > 0 and _same(inside[0], words[stretch.first - 1]):
        inside.pop(0)
    if inside and stretch.last < len(words) and _same(inside[-1], words[stretch.last]):
        inside.pop()
    return inside


def _same(one: Word, other: Word) -> bool:
    letters = [[c for c in word.text.casefold() if c.isalnum()] for word in (one, other)]
    return letters[0] == letters[1] and one.start < other.end + 0.2 and other.start < one.end + 0.2
