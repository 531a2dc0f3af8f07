"""Cues as WebVTT and as SubRip, each written from the cues themselves, and a strict check of either.

WebVTT: W3C, "WebVTT: The Web Video Text Tracks Format". SubRip has no standard; this is the form that FFmpeg
writes. Neither is made from the other: SubRip has no escapes, so converting loses text.
"""

import html
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from walkround.outputs.films import FilmRows, one_line

_VTT_TIME = re.compile(r"(?:(\d{2,}):)?([0-5]\d):([0-5]\d)\.(\d{3})")
_SRT_TIME = re.compile(r"(\d{2,}):([0-5]\d):([0-5]\d),(\d{3})")
_REFERENCE = re.compile(r"&(?:amp|lt|gt|lrm|rlm|nbsp|#\d+|#x[0-9a-fA-F]+);")


@dataclass(frozen=True)
class Cue:
    """Lines of text shown from ``start`` to ``end``, seconds."""

    start: float
    end: float
    lines: tuple[str, ...]

    @property
    def text(self) -> str:
        """The lines as one."""
        return " ".join(self.lines)


def stamp(seconds: float, point: str = ".") -> str:
    """``00:01:02.500``: hours always, rounded to the millisecond."""
    thousandths = round(seconds * 1000)
    whole, rest = divmod(thousandths, 1000)
    minutes, secs = divmod(whole, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02}:{minutes:02}:{secs:02}{point}{rest:03}"


def webvtt(cues: Iterable[Cue]) -> str:
    """A WebVTT file."""
    parts = ["WEBVTT\n"]
    for cue in cues:
        text = "\n".join(_escaped(line) for line in cue.lines)
        parts.append(f"\n{stamp(cue.start)} --> {stamp(cue.end)}\n{text}\n")
    return "".join(parts)


def subrip(cues: Iterable[Cue]) -> str:
    """A SubRip file. It has no escapes: an arrow in the text is written with a real arrow, which is no timing."""
    parts = []
    for number, cue in enumerate(cues, 1):
        text = "\n".join(one_line(line).replace("-->", "→") for line in cue.lines)
        parts.append(f"{number}\n{stamp(cue.start, ',')} --> {stamp(cue.end, ',')}\n{text}\n\n")
    return "".join(parts)


def chapter_cues(film: FilmRows, chapters: Sequence[tuple[float, str]]) -> list[Cue]:
    """One cue a chapter, from its start to the next, for ``kind="chapters"``."""
    if not chapters:
        return []
    ends = [*(start for start, _ in chapters[1:]), film.end]
    return [Cue(start, end, (title,)) for (start, title), end in zip(chapters, ends, strict=True) if end > start]


def _escaped(line: str) -> str:
    return html.escape(one_line(line), quote=False)


def read_webvtt(text: str) -> list[Cue]:
    """The cues of a WebVTT file without styles, strictly by the grammar. Raises ValueError with the line."""
    if not re.match(r"\ufeff?WEBVTT(?:[ \t][^\n]*)?(?:\n\n|\n?$)", text):
        raise ValueError("line 1: a WebVTT file begins with WEBVTT and an empty line")
    cues: list[Cue] = []
    for first, lines in _blocks(text)[1:]:
        number = 1 if "-->" not in lines[0] else 0
        if len(lines) <= number + 1 or "-->" not in lines[number]:
            raise ValueError(f"line {first}: a cue is a timing line and its text")
        start, end = _timing(lines[number], _VTT_TIME, r"[ \t]+-->[ \t]+", first + number)
        if cues and start < cues[-1].start:
            raise ValueError(f"line {first + number}: earlier than the cue before")
        for offset, line in enumerate(lines[number + 1 :], number + 1):
            if "-->" in line or "<" in line or "&" in _REFERENCE.sub("", line):
                raise ValueError(f"line {first + offset}: an unescaped <, & or --> in the text")
        cues.append(Cue(start, end, tuple(html.unescape(line) for line in lines[number + 1 :])))
    return cues


def read_subrip(text: str) -> list[Cue]:
    """The cues of a SubRip file, strictly in the form that FFmpeg writes. Raises ValueError with the line."""
    cues: list[Cue] = []
    for first, lines in _blocks(text):
        if len(lines) < 3:
            raise ValueError(f"line {first}: a cue is a number, a timing line and its text")
        if lines[0] != str(len(cues) + 1):
            raise ValueError(f"line {first}: the number is to be {len(cues) + 1}")
        start, end = _timing(lines[1], _SRT_TIME, " --> ", first + 1)
        if cues and start < cues[-1].start:
            raise ValueError(f"line {first + 1}: earlier than the cue before")
        if any("-->" in line for line in lines[2:]):
            raise ValueError(f"line {first + 2}: an arrow in the text")
        cues.append(Cue(start, end, tuple(lines[2:])))
    return cues


def _timing(line: str, form: re.Pattern[str], arrow: str, number: int) -> tuple[float, float]:
    found = re.fullmatch(f"({form.pattern}){arrow}({form.pattern})", line)
    if not found:
        raise ValueError(f"line {number}: {line[:60]!r} is no timing line")
    moments = [form.fullmatch(text) for text in (found[1], found[6])]
    start, end = (_seconds(match.groups()) for match in moments if match)
    if end <= start:
        raise ValueError(f"line {number}: the end is not after the start")
    return start, end


def _seconds(groups: tuple[str | None, ...]) -> float:
    hours, minutes, seconds, thousandths = (int(group or 0) for group in groups)
    return ((hours * 60 + minutes) * 60_000 + seconds * 1000 + thousandths) / 1000


def _blocks(text: str) -> list[tuple[int, list[str]]]:
    """Runs of lines that are not empty, with the number of the first."""
    blocks: list[tuple[int, list[str]]] = []
    fresh = True
    for number, line in enumerate(re.split(r"\r\n|\n|\r", text), 1):
        if not line:
            fresh = True
            continue
        if fresh:
            blocks.append((number, []))
            fresh = False
        blocks[-1][1].append(line)
    return blocks
