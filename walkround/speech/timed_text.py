"""Texts that people type: a line with its time, or plain paragraphs with pauses."""

import re
from dataclasses import dataclass

from walkround.speech.cues import CueError
from walkround.speech.spread import spoken_seconds, spread, spread_segment
from walkround.speech.transcript import Segment, Word
from walkround.timecode import parse_clock

_STAMP = re.compile(r"\s*\[\s*(\d[\d:.,]*:[\d:.,]*)\s*\](.*)")
_PAUSE = re.compile(r"\s*\[\s*pause(?:\s+(\d+(?:[.,]\d+)?))?\s*(?:s|sec|seconds)?\s*\]\s*", re.IGNORECASE)

#: Words up to a comma or a full stop that ends a word ("3.5" and "8,412" are one word).
_PHRASE = re.compile(r"\S.*?(?:[,;:.?!…]+[\"'”’)\]]*(?=\s|$)|$)")
_ENDS_IN_COMMA = re.compile(r"[,;:]\W*$")

DEFAULT_PAUSE = 2.0  #: seconds of a line [pause] without a number
_COMMA_PAUSE, _STOP_PAUSE, _PARAGRAPH_PAUSE = 0.2, 0.5, 0.8
#: A text much shorter than its video is not stretched to fill it beyond this.
_MOST_STRETCH = 1.6


def is_timed_text(text: str) -> bool:
    """Whether any line begins with a time in brackets, such as ``[0:12]``."""
    return any(_STAMP.fullmatch(line) for line in text.split("\n"))


def read_timed_text(text: str) -> list[Segment]:
    """Lines ``[m:ss] words`` as segments; a line without a time goes on from the one before.

    A line lasts until the next one begins, or as long as its words take to say, whichever is earlier.
    Raises CueError.
    """
    stamps: list[float] = []
    texts: list[str] = []
    for number, line in enumerate(text.split("\n"), 1):
        match = _STAMP.fullmatch(line)
        if match:
            try:
                start = parse_clock(match[1])
            except ValueError:
                raise CueError(number, f"[{match[1]}] is no time", "write it as [m:ss] or [h:mm:ss]") from None
            if stamps and start < stamps[-1]:
                raise CueError(number, f"[{match[1]}] is earlier than the line before", "put the lines in order")
            if stamps and start == stamps[-1]:
                texts[-1] += " " + match[2]
            else:
                stamps.append(start)
                texts.append(match[2])
        elif not line.strip() or _PAUSE.fullmatch(line):
            continue
        elif not stamps:
            raise CueError(number, "the line has no time", "begin the first line with its time, such as [0:00]")
        else:
            texts[-1] += " " + line
    segments = []
    for position, (start, words) in enumerate(zip(stamps, texts, strict=True)):
        if words.split():
            end = start + spoken_seconds(words)
            if position + 1 < len(stamps):
                end = min(end, stamps[position + 1])
            segments.append(spread_segment(words, start, end))
    return segments


@dataclass(frozen=True)
class _Stretch:
    """Some talk, or some silence (no text), in seconds as it would last unhurried."""

    text: str
    seconds: float
    opens: bool = False  #: the first talk of a paragraph
    written: bool = False  #: a silence that stands in the text as [pause]


def read_plain_text(text: str, duration: float | None) -> list[Segment]:
    """Paragraphs, a line each, as segments with guessed times.

    Words run at about 170 a minute with 0.2 s after a comma, 0.5 s after a sentence and 0.8 s after a
    paragraph; a line ``[pause N]`` is N seconds of silence. Where ``duration`` is given, the talk is made
    faster or slower (at most 1.6 times slower) so that the whole fits, pauses that were written down kept.
    """
    stretches = _stretches(text)
    fixed = sum(s.seconds for s in stretches if s.written)
    loose = sum(s.seconds for s in stretches if not s.written)
    pace = pause_pace = 1.0
    if duration is not None and loose > 0:
        pace = min((duration - fixed) / loose, _MOST_STRETCH)
        if pace < 0.5:  # the written pauses leave too little room: they give way as well
            pace = pause_pace = min(1.0, duration / (fixed + loose))
    segments: list[Segment] = []
    words: list[Word] = []
    now = 0.0
    for stretch in stretches:
        end = now + stretch.seconds * (pause_pace if stretch.written else pace)
        if stretch.opens and words:
            segments.append(Segment(words[0].start, words[-1].end, tuple(words)))
            words = []
        if stretch.text:
            words.extend(spread(stretch.text, now, end))
        now = end
    if words:
        segments.append(Segment(words[0].start, words[-1].end, tuple(words)))
    return segments


def _stretches(text: str) -> list[_Stretch]:
    found: list[_Stretch] = []
    for line in text.split("\n"):
        pause = _PAUSE.fullmatch(line)
        if pause:
            seconds = float((pause[1] or str(DEFAULT_PAUSE)).replace(",", "."))
            found.append(_Stretch("", seconds, written=True))
            continue
        phrases = _PHRASE.findall(line)
        for position, phrase in enumerate(phrases):
            found.append(_Stretch(phrase, spoken_seconds(phrase), opens=position == 0))
            if position + 1 == len(phrases):
                found.append(_Stretch("", _PARAGRAPH_PAUSE))
            else:
                found.append(_Stretch("", _COMMA_PAUSE if _ENDS_IN_COMMA.search(phrase) else _STOP_PAUSE))
    while found and not found[-1].text and not found[-1].written:
        found.pop()
    return found
