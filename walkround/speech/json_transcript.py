"""Transcripts in JSON: as Whisper programs write them, or the transcript of an earlier report."""

import json
from dataclasses import dataclass
from itertools import takewhile
from typing import Any, get_args

from walkround.speech.cues import CueError
from walkround.speech.spread import spread_segment
from walkround.speech.transcript import Segment, Timing, Word

#: Recognisers let neighbouring words overlap a little; more than this (seconds) is a fault.
_JITTER = 0.1
#: No recording is longer than this many seconds.
_LATEST = 1e7


class ShapeError(ValueError):
    """JSON that is no transcript: ``what`` names the place."""


@dataclass(frozen=True)
class JsonTranscript:
    """What was found in the file, before it is made a `Transcript`."""

    segments: list[Segment]
    timing: Timing
    source: str
    language: str


def read_json(text: str) -> JsonTranscript:
    """Segments with ``start``, ``end``, ``text`` and, where there are any, ``words``.

    Words lacking a time get one between their neighbours. Raises CueError for JSON that does not parse and
    ShapeError for JSON that is no transcript.
    """
    try:
        data = json.loads(text)
    except json.JSONDecodeError as error:
        raise CueError(
            error.lineno,
            f"the JSON breaks off or is wrong at column {error.colno} ({error.msg})",
            "correct it",
        ) from error
    except ValueError as error:  # a number of thousands of digits
        raise ShapeError("it holds a number that is too long") from error
    except RecursionError as error:
        raise ShapeError("it is nested too deeply") from error
    timing: Timing = "given"
    source, language = "JSON transcript", "en"
    if isinstance(data, dict) and isinstance(data.get("transcript"), dict):  # a report of ours
        data = data["transcript"]
        timing = data["timing"] if data.get("timing") in get_args(Timing) else "given"
        source = data["source"] if isinstance(data.get("source"), str) else source
    if isinstance(data, dict):
        language = data["language"] if isinstance(data.get("language"), str) else language
        data = data.get("segments")
    if not isinstance(data, list):
        raise ShapeError('it holds no list "segments"')
    segments: list[Segment] = []
    before = 0.0
    for number, entry in enumerate(data, 1):
        segment = _segment(entry, f"segment {number}")
        if segment.start < before - _JITTER:
            raise ShapeError(f"segment {number} starts before the one before it")
        before = max(before, segment.start)
        if segment.words:
            segments.append(segment)
    return JsonTranscript(segments, timing, source, language)


def _segment(entry: Any, where: str) -> Segment:
    if not isinstance(entry, dict):
        raise ShapeError(f"{where} is not an object")
    start, end = _time(entry, "start", where), _time(entry, "end", where)
    if start is None or end is None:
        raise ShapeError(f"{where} lacks its start or end")
    if end < start:
        raise ShapeError(f"{where} ends before it starts")
    words = entry.get("words")
    if words:
        if not isinstance(words, list):
            raise ShapeError(f'"words" of {where} is not a list')
        return Segment(start, end, _words(words, start, end, where))
    text = entry.get("text")
    if not isinstance(text, str):
        raise ShapeError(f"{where} has neither text nor words")
    text = _clean(text)
    return spread_segment(text, start, end) if text.split() else Segment(start, end, ())


def _words(entries: list[Any], start: float, end: float, where: str) -> tuple[Word, ...]:
    rows: list[tuple[str, float | None, float | None, float | None]] = []
    for number, entry in enumerate(entries, 1):
        place = f"word {number} of {where}"
        text = entry.get("word", entry.get("text")) if isinstance(entry, dict) else None
        if not isinstance(text, str):
            raise ShapeError(f"{place} has no text")
        begin, stop = _time(entry, "start", place), _time(entry, "end", place)
        if begin is not None and stop is not None and stop < begin:
            raise ShapeError(f"{place} ends before it starts")
        probability = _time(entry, "probability", place)
        if text.strip():
            rows.append((_clean(text), begin, stop, probability))
    words: list[Word] = []
    for position, (text, begin, stop, probability) in enumerate(rows):
        earliest, free = (words[-1].start, words[-1].end) if words else (0.0, start)
        if begin is None:
            begin = free
        elif begin < earliest - _JITTER:
            raise ShapeError(f"word {position + 1} ({text}) of {where} starts before the one before it")
        begin = max(begin, earliest)
        if stop is None:  # a share of the time up to the next word that has one
            following = rows[position + 1 :]
            waiting = list(takewhile(lambda row: row[1] is None, following))
            later = following[len(waiting)][1] if len(waiting) < len(following) else end
            stop = begin + max(0.0, (later or 0.0) - begin) / (1 + len(waiting))
        words.append(Word(text, begin, max(stop, begin), None if probability is None else min(probability, 1.0)))
    return tuple(words)


def _clean(text: str) -> str:
    """Text that any program can write: half a surrogate pair, which JSON can hold, becomes a replacement mark."""
    return " ".join(text.encode("utf-16", "surrogatepass").decode("utf-16", "replace").split())


def _time(entry: dict[str, Any], key: str, where: str) -> float | None:
    value = entry.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < _LATEST:
        raise ShapeError(f'"{key}" of {where} is not a number from 0 upwards')
    return float(value)
