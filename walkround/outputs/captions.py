"""Captions from the times of the words: readable cues, with trade words spelled as the trade spells them.

Limits: 42 characters a line, two lines, 5/6 s to 7 s, two frames between cues (Netflix Timed Text Style Guide,
General requirements and English template; BBC Subtitle Guidelines for two lines), 17 characters a second as the
target and 20 at the most (the same guide's older and present English editions, the latter from memory). Spaces
count as characters, a line break does not. No cue runs across a pause of ``LONG_PAUSE`` or more.

The cut into cues is the best one over the whole film, by dynamic programming: cues end where sentences and
clauses end, if there is time to read them. A cue begins with its first word; it never begins before it.
"""

import re
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from walkround.outputs.films import FilmRows, one_line
from walkround.outputs.timedtext import Cue
from walkround.report.record import Report, Respelled

LINE, LINES = 42, 2
LEAST, MOST = 5 / 6, 7.0  #: seconds a cue
GAP = 2 / 24  #: seconds between cues: two frames of film
TARGET, CEILING = 17.0, 20.0  #: characters a second
LONG_PAUSE = 1.0  #: seconds; our own choice, no source
LINGER = 1.5  #: seconds a cue may stay after its last word, to be read

_STOP = re.compile(r"[.!?…]+[\"'”’)\]]*$")
_SOFT = re.compile(r"[,;:–—][\"'”’)\]]*$")


@dataclass(frozen=True, slots=True)
class Token:
    """A word as it is shown, with its times in seconds."""

    text: str
    start: float
    end: float


def cues_of(report: Report, film: FilmRows) -> list[Cue]:
    """The cues of a film, in order, without overlap."""
    rows = [row for row in report.respelled if row.source == film.source]
    tokens = _whole(_respelled(_tokens(film), rows))
    return _cues(tokens, film.end)


def _tokens(film: FilmRows) -> list[Token]:
    """The words in order of time; times that go backwards are held back."""
    tokens: list[Token] = []
    now = 0.0
    for segment in film.transcript.segments:
        for word in segment.words:
            text = one_line(word.text)
            now = max(now, word.start)
            if text:
                tokens.append(Token(text, now, max(now, word.end)))
    return tokens


def _respelled(tokens: list[Token], rows: list[Respelled]) -> list[Token]:
    """Words that were taken for trade words, written as meant; the punctuation around them stays."""
    made: list[Token] = []
    number = 0
    for row in sorted(rows, key=lambda row: row.start):
        while number < len(tokens) and tokens[number].start < row.start - 0.0005:
            made.append(tokens[number])
            number += 1
        last = number
        while last < len(tokens) and tokens[last].end <= row.end + 0.0005:
            last += 1
        said = " ".join(token.text for token in tokens[number:last])
        if last > number and row.heard in said:
            written = one_line(row.written)
            if row.heard[:1].isupper():
                written = written[:1].upper() + written[1:]
            text = said.replace(row.heard, written, 1)
            made.append(Token(text, tokens[number].start, tokens[last - 1].end))
            number = last
    return [*made, *tokens[number:]]


def _whole(tokens: list[Token]) -> list[Token]:
    """No token longer than a line: what cannot be broken at a space is broken after so many characters."""
    made = []
    for token in tokens:
        pieces = _pieces(token.text)
        step = (token.end - token.start) / len(pieces)
        made += [Token(p, token.start + step * n, token.start + step * (n + 1)) for n, p in enumerate(pieces)]
    return made


def _pieces(text: str) -> list[str]:
    return [text[n : n + LINE] for n in range(0, len(text), LINE)] if len(text) > LINE else [text]


def _cues(tokens: list[Token], end: float) -> list[Cue]:
    best, back = [0.0] + [inf] * len(tokens), [0] * (len(tokens) + 1)
    for stop in range(1, len(tokens) + 1):
        length = 0
        for first in range(stop - 1, -1, -1):
            length += len(tokens[first].text) + (first < stop - 1)
            alone = first == stop - 1
            if not alone and (length > LINE * LINES or tokens[first + 1].start - tokens[first].end >= LONG_PAUSE):
                break
            if not alone and tokens[stop - 1].end - tokens[first].start > MOST:
                break
            lines = _lines(tokens[first:stop])
            if lines is None:
                continue
            cost = best[first] + _cost(tokens, first, stop, lines, end)
            if cost < best[stop]:
                best[stop], back[stop] = cost, first
    bounds = [len(tokens)]
    while bounds[-1] > 0:
        bounds.append(back[bounds[-1]])
    bounds.reverse()
    return _apart(
        [Cue(tokens[a].start, _until(tokens, a, b, end), _lines(tokens[a:b]) or ("",)) for a, b in pairwise(bounds)]
    )


def _apart(cues: list[Cue]) -> list[Cue]:
    """Cues whose words have no time of their own are shown with the cue before them, in a thousandth of a second."""
    made: list[Cue] = []
    for cue in cues:
        start = round(max(cue.start, made[-1].end if made else 0.0), 3)
        made.append(Cue(start, round(max(cue.end, start + 0.001), 3), cue.lines))
    return made


def _until(tokens: list[Token], first: int, stop: int, end: float) -> float:
    """When a cue ends: when it can have been read, but before the next begins, and soon after its last word."""
    begin, spoken = tokens[first].start, tokens[stop - 1].end
    length = sum(len(token.text) + 1 for token in tokens[first:stop]) - 1
    wanted = max(spoken, begin + LEAST, begin + length / TARGET)
    room = tokens[stop].start - GAP if stop < len(tokens) else max(end, spoken)
    return min(max(wanted, spoken), spoken + LINGER, begin + MOST if spoken - begin <= MOST else spoken, room)


def _cost(tokens: list[Token], first: int, stop: int, lines: tuple[str, ...], end: float) -> float:
    """How much is against a cue of these words: little time to read it, and an end in the middle of a clause."""
    seconds = _until(tokens, first, stop, end) - tokens[first].start
    if seconds <= 0.001:
        return 60.0
    rate = sum(map(len, lines)) / seconds
    cost = 1.0 + 0.35 * max(0.0, rate - TARGET) + (3.0 if rate > CEILING else 0.0)
    cost += 6.0 * max(0.0, LEAST - seconds) / LEAST + (2.0 if seconds < LEAST else 0.0)
    text = tokens[stop - 1].text
    pause = tokens[stop].start - tokens[stop - 1].end if stop < len(tokens) else inf
    if not _STOP.search(text):
        cost += 0.5 if _SOFT.search(text) else 0.9 if pause >= 0.4 else 1.6
    cost += 0.3 * sum(bool(_STOP.search(token.text)) for token in tokens[first : stop - 1])
    return cost


def _lines(tokens: list[Token]) -> tuple[str, ...] | None:
    """The words on one line, or on two of like length; None where they do not fit."""
    words = [token.text for token in tokens]
    text = " ".join(words)
    if len(text) <= LINE:
        return (text,)
    best: tuple[float, tuple[str, ...]] | None = None
    for number in range(1, len(words)):
        one, two = " ".join(words[:number]), " ".join(words[number:])
        if len(one) <= LINE and len(two) <= LINE:
            clause = bool(_STOP.search(one) or _SOFT.search(one))
            uneven = abs(len(one) - len(two)) - 12 * clause
            if best is None or uneven < best[0]:
                best = (uneven, (one, two))
    return best[1] if best else None


@dataclass(frozen=True)
class Beyond:
    """How many cues are beyond each limit; ``fast`` is over 20 characters a second."""

    cues: int
    long_lines: int
    many_lines: int
    fast: int
    brief: int
    lasting: int
    close: int


def beyond_limits(cues: list[Cue]) -> Beyond:
    """Count the cues that break a limit. Fast speech leaves no time: such cues are counted, not cut."""
    seconds = [cue.end - cue.start for cue in cues]
    rates = [sum(map(len, cue.lines)) / length for cue, length in zip(cues, seconds, strict=True)]
    small = 0.0015  # times are written in thousandths
    return Beyond(
        cues=len(cues),
        long_lines=sum(any(len(line) > LINE for line in cue.lines) for cue in cues),
        many_lines=sum(len(cue.lines) > LINES for cue in cues),
        fast=sum(rate > CEILING for rate in rates),
        brief=sum(length < LEAST - small for length in seconds),
        lasting=sum(length > MOST + small for length in seconds),
        close=sum(two.start - one.end < GAP - small for one, two in pairwise(cues)),
    )
