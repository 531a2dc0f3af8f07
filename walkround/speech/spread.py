"""Times for words of which only the whole stretch has a time: shared out by the length of the words."""

from walkround.speech.transcript import Segment, Word

#: 170 words a minute, the middle of ordinary English talk (common practice, no source), at 5 characters a
#: word with its space.
SECONDS_A_CHARACTER = 60 / 170 / 5.0
#: A digit is spoken as a word of its own.
_CHARACTERS_A_DIGIT = 3


def spoken_length(word: str) -> int:
    """The length of a word as it is spoken, in characters, with the gap after it."""
    return 1 + sum(_CHARACTERS_A_DIGIT if c.isdigit() else c.isalnum() for c in word)


def spoken_seconds(text: str) -> float:
    """How long the words take to say, without pauses."""
    return sum(spoken_length(word) for word in text.split()) * SECONDS_A_CHARACTER


def spread(text: str, start: float, end: float) -> tuple[Word, ...]:
    """The words of ``text`` one after another from ``start`` to ``end``, each as long as its letters."""
    words = text.split()
    lengths = [spoken_length(word) for word in words]
    total = sum(lengths)
    placed = []
    done = 0
    for word, length in zip(words, lengths, strict=True):
        begin = start + (end - start) * done / total
        done += length
        placed.append(Word(word, round(begin, 3), round(start + (end - start) * done / total, 3)))
    return tuple(placed)


def spread_segment(text: str, start: float, end: float) -> Segment:
    """A segment of the words of ``text``, which must hold at least one."""
    return Segment(round(start, 3), round(end, 3), spread(text, start, end))
