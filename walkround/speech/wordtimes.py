"""Word times put where the sound is.

The recogniser aligns words by attention, and after a pause the first word is often stretched back over the
silence, by seconds. Here each word is drawn in to the speech that a voice detector found inside it; only
then are words that are still too long cut to a plausible length.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import replace

from walkround.speech.transcript import Segment, Word

#: Stretches with speech, seconds: (start, end), in order, not touching.
Spans = Sequence[tuple[float, float]]

#: A word is never made shorter than this by drawing it in.
_SHORTEST = 0.08
#: The longest plausible word: a base and so much a letter. "Handlebars" drawn out takes about a second;
#: digits are spoken as whole words. (Common practice, no source.)
_LONGEST_BASE, _LONGEST_LETTER, _LONGEST_DIGIT = 0.6, 0.07, 0.45
_STOPS = ".,;:?!"
#: A word that opens the talk after a pause leaves the next one starting within this (seconds).
_OPENING = 0.5
#: Detector edges are this uncertain; times this close to one are left alone.
_EDGE = 0.1


def settle(segments: Sequence[Segment], spans: Spans) -> list[Segment]:
    """The same words, with times drawn in to the speech, capped in length and in order.

    The start of a word that lies in silence moves on to where speech begins inside the word, its end back to
    where speech stops. A word longer than 0.6 s + 0.07 s a letter (0.45 s a digit) is cut: at its start where
    it opens a segment or follows a pause, else at its end. A word that clings to the end of the talk before a
    pause, though it opens the talk after it, is moved over the pause. Words do not overlap and never run
    backwards.
    """
    words = _over_pauses([word for segment in segments for word in segment.words], spans)
    placed: list[Word] = []
    for word in words:
        moved = _draw_in(word, spans)
        moved = _cap(moved, from_start=not placed or moved.start - placed[-1].end > 0.3)
        start = max(moved.start, placed[-1].start) if placed else moved.start
        if placed and placed[-1].end > start:
            placed[-1] = replace(placed[-1], end=start)
        placed.append(replace(moved, start=start, end=max(moved.end, start)))
    rounded = iter([replace(w, start=round(w.start, 3), end=round(w.end, 3)) for w in placed])
    settled = []
    for segment in segments:
        own = tuple(next(rounded) for _ in segment.words)
        if own:
            settled.append(Segment(own[0].start, own[-1].end, own))
    return settled


def unheard(segments: Sequence[Segment], spans: Spans, shortest: float) -> list[tuple[float, float]]:
    """Stretches of speech of at least ``shortest`` seconds for which there is not one word."""
    starts = sorted((w.start, w.end) for s in segments for w in s.words)
    found = []
    for begin, end in spans:
        at = begin
        for word_start, word_end in starts[max(0, bisect_right(starts, (begin, begin)) - 1) :]:
            if word_start > end:
                break
            if word_start - at >= shortest:
                found.append((at, word_start))
            at = max(at, word_end)
        if end - at >= shortest:
            found.append((at, end))
    return found


def _over_pauses(words: Sequence[Word], spans: Spans) -> list[Word]:
    """With words moved over a pause, where they belong to the talk after it.

    The recogniser hears the sound with the pauses cut out, and gives a word that lies across such a cut to
    the side where its middle is. Seen by: the word goes on from the one before without a gap, reaches far
    into the pause, and either a sentence ended before it, or it has hardly any time in the talk before while
    the talk after begins with sound that no word claims.
    """
    moved = list(words)
    for position in range(1, len(words) - 1):
        before, word, after = moved[position - 1], words[position], words[position + 1]
        at = bisect_right(spans, word.start, key=lambda span: span[1])
        if at + 1 >= len(spans) or not spans[at][0] <= word.start or word.text[-1] in _STOPS:
            continue
        stop, begin = spans[at][1], spans[at + 1][0]
        overrun = min(word.end, begin) - stop
        if word.start - before.end > _EDGE or not begin <= after.start <= begin + _OPENING or overrun < 0.2:
            continue
        squeezed = stop - word.start <= 0.33 and after.start - begin >= 0.08 and overrun >= 0.4
        if before.text[-1] in _STOPS or squeezed:
            start_of_next = max(after.start, min(begin + _SHORTEST, after.end))
            moved[position] = replace(word, start=begin, end=start_of_next)
            moved[position + 1] = replace(after, start=start_of_next)
    return moved


def _draw_in(word: Word, spans: Spans) -> Word:
    first = bisect_right(spans, word.start, key=lambda span: span[1])  # the first span that ends after the start
    inside = []
    for begin, end in spans[first:]:
        if begin >= word.end:
            break
        inside.append((begin, end))
    if not inside:
        return word  # the detector heard nothing here, the recogniser did: no better time is known
    start, end = word.start, word.end
    # Of several stretches in one word, the word is in the longest: a breath or a knock is short.
    begin, stop = max(inside, key=lambda span: min(span[1], word.end) - max(span[0], word.start))
    if begin - start > _EDGE:
        start = begin
    if end - stop > _EDGE:
        end = stop
    if end - start < _SHORTEST:
        return word
    return replace(word, start=start, end=end)


def longest_plausible(text: str) -> float:
    """How long a word can take to say, seconds."""
    digits = sum(c.isdigit() for c in text)
    letters = sum(c.isalpha() for c in text)
    return _LONGEST_BASE + _LONGEST_LETTER * letters + _LONGEST_DIGIT * digits


def _cap(word: Word, from_start: bool) -> Word:
    longest = longest_plausible(word.text)
    if word.end - word.start <= longest:
        return word
    return replace(word, start=word.end - longest) if from_start else replace(word, end=word.start + longest)
