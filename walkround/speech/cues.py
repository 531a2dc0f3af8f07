"""Caption files: SubRip (SRT) and WebVTT, read strictly, since a cue passed over is a sentence lost.

WebVTT follows the W3C's "WebVTT: The Web Video Text Tracks Format"; SubRip has no standard, and is read as
players agree on it. Faults are raised as CueError with the number of the line.
"""

import html
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from walkround.speech.spread import spread_segment
from walkround.speech.transcript import Segment, Word

_SRT_TIME = r"(\d{1,3}):(\d{2}):(\d{2})[,.](\d{1,3})"
_SRT_TIMING = re.compile(rf"\s*{_SRT_TIME}\s*-->\s*{_SRT_TIME}(?:\s+\S.*)?\s*")
_VTT_TIME = r"(?:(\d{2,}):)?(\d{2}):(\d{2})\.(\d{3})"
_VTT_TIMING = re.compile(rf"[ \t]*{_VTT_TIME}[ \t]*-->[ \t]*{_VTT_TIME}(?:[ \t]+\S.*)?[ \t]*")
_VTT_MOMENT = re.compile(rf"<{_VTT_TIME}>")
_VTT_TAG = re.compile(r"</?(?:c|i|b|u|v|ruby|rt|lang)(?:[.\s][^<>]*)?>")
_SRT_TAG = re.compile(r"</?(?:i|b|u|s|font)(?:\s[^<>]*)?>|\{\\[^{}]*\}", re.IGNORECASE)


class CueError(ValueError):
    """A fault in the text: ``line`` is its number from 1, ``advice`` what to do."""

    def __init__(self, line: int, what: str, advice: str) -> None:
        super().__init__(what)
        self.line, self.what, self.advice = line, what, advice


@dataclass(frozen=True)
class _Cue:
    line: int
    start: float
    end: float
    text: str


def read_srt(text: str) -> list[Segment]:
    """The cues of a SubRip file as segments. Raises CueError."""
    cues = []
    for first, lines in _blocks(text):
        skip = 1 if lines[0].strip().isdecimal() and len(lines) > 1 else 0
        line = first + skip
        match = _SRT_TIMING.fullmatch(lines[skip])
        if not match:
            raise CueError(
                line, f"{lines[skip].strip()[:60]!r} is no timing line",
                "write it as 00:01:02,500 --> 00:01:04,000, without empty lines in a cue",
            )  # fmt: skip
        start, end = _seconds(line, match.groups()[:4]), _seconds(line, match.groups()[4:])
        cues.append(_Cue(line, start, end, _text(line, lines[skip + 1 :])))
    return _segments(cues, lambda cue: [(_SRT_TAG.sub("", cue.text), cue.start, cue.end)])


def read_vtt(text: str) -> list[Segment]:
    """The cues of a WebVTT file as segments; times inside a cue are used. Raises CueError."""
    if not re.match(r"WEBVTT(?:[ \t][^\n]*)?(?:\n|$)", text):
        raise CueError(1, "it does not begin with WEBVTT", "make WEBVTT the first line")
    cues = []
    for first, lines in _blocks(text):
        if first == 1 or re.match(r"(?:NOTE|STYLE|REGION)(?:[ \t]|$)", lines[0]):
            if any("-->" in line for line in lines):
                raise CueError(first, "a cue follows without an empty line", "put an empty line before the cue")
            continue
        skip = 1 if "-->" not in lines[0] and len(lines) > 1 else 0
        line = first + skip
        match = _VTT_TIMING.fullmatch(lines[skip])
        if not match:
            raise CueError(
                line, f"{lines[skip].strip()[:60]!r} is no timing line",
                "write it as 00:01:02.500 --> 00:01:04.000 with full stops, without empty lines in a cue",
            )  # fmt: skip
        start, end = _seconds(line, match.groups()[:4]), _seconds(line, match.groups()[4:])
        cues.append(_Cue(line, start, end, _text(line, lines[skip + 1 :])))
    return _segments(cues, _vtt_stretches)


def _blocks(text: str) -> Iterator[tuple[int, list[str]]]:
    """Runs of lines between empty lines, with the number of their first line."""
    block: list[str] = []
    number = 0
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip():
            block.append(line)
        elif block:
            yield number - len(block), block
            block = []
    if block:
        yield number - len(block) + 1, block


def _seconds(line: int, parts: Sequence[str | None]) -> float:
    hours, minutes, seconds = (int(part or 0) for part in parts[:3])
    thousandths = int((parts[3] or "0").ljust(3, "0"))
    if minutes > 59 or seconds > 59:
        raise CueError(line, "minutes or seconds reach 60", "correct the time")
    return (((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths) / 1000


def _text(line: int, lines: Sequence[str]) -> str:
    for offset, text in enumerate(lines, 1):
        if "-->" in text:
            raise CueError(line + offset, "a timing line stands inside a cue", "put an empty line before the cue")
    return " ".join(lines)


def _segments(cues: Sequence[_Cue], stretches: Callable[[_Cue], list[tuple[str, float, float]]]) -> list[Segment]:
    segments = []
    before = 0.0
    for cue in cues:
        if cue.end < cue.start:
            raise CueError(cue.line, "the cue ends before it starts", "correct its times")
        if cue.start < before:
            raise CueError(cue.line, "the times go backwards", "put the cues in order of time")
        before = cue.start
        words: list[Word] = []
        for text, start, end in stretches(cue):
            if text.split():
                words.extend(spread_segment(text, start, end).words)
        if words:
            segments.append(Segment(cue.start, cue.end, tuple(words)))
    return segments


def _vtt_stretches(cue: _Cue) -> list[tuple[str, float, float]]:
    """The text of a cue cut at the times inside it, without markup."""
    pieces = _VTT_MOMENT.split(cue.text)
    texts, moments = pieces[::5], [cue.start]
    for at in range(1, len(pieces), 5):
        moment = _seconds(cue.line, pieces[at : at + 4])
        if not moments[-1] <= moment <= cue.end:
            raise CueError(cue.line + 1, "a time inside the cue lies outside it or goes backwards", "correct it")
        moments.append(moment)
    moments.append(cue.end)
    return [(html.unescape(_VTT_TAG.sub("", text)), moments[n], moments[n + 1]) for n, text in enumerate(texts)]
