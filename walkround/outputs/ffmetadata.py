"""Chapters as FFmpeg's metadata file, FFMETADATA1, and that file read back.

FFmpeg's "Metadata" document: ``=``, ``;``, ``#``, ``\\`` and a line end are escaped with ``\\``. TIMEBASE is
always written (without it the unit is nanoseconds), so is END (without it titles come out empty), and no END lies
past the film (it would make the film longer).
"""

import re
from collections.abc import Sequence

from walkround.outputs.films import FilmRows, one_line

_ESCAPED = re.compile(r"([=;#\\\n])")


def ffmetadata(film: FilmRows, chapters: Sequence[tuple[float, str]]) -> str:
    """The file: times in milliseconds, ascending, each chapter up to the next one."""
    if not chapters:  # a further clip that speaks of no part
        return ";FFMETADATA1\n"
    last = round(film.end * 1000)
    starts = [min(round(start * 1000), last) for start, _ in chapters]
    parts = [";FFMETADATA1\n"]
    for start, end, (_, title) in zip(starts, [*starts[1:], last], chapters, strict=True):
        if end > start:
            text = _ESCAPED.sub(r"\\\1", one_line(title))
            parts.append(f"[CHAPTER]\nTIMEBASE=1/1000\nSTART={start}\nEND={end}\ntitle={text}\n")
    return "".join(parts)


def read_ffmetadata(text: str) -> list[tuple[int, int, str]]:
    """The chapters of such a file as (start, end, title), milliseconds. Raises ValueError for another form."""
    if not text.startswith(";FFMETADATA1\n"):
        raise ValueError("the first line is not ;FFMETADATA1")
    form = re.compile(r"\[CHAPTER\]\nTIMEBASE=1/1000\nSTART=(\d+)\nEND=(\d+)\ntitle=((?:\\.|[^\\\n=;#])*)\n")
    rest, found = text.removeprefix(";FFMETADATA1\n"), []
    while rest:
        match = form.match(rest)
        if not match:
            raise ValueError(f"no chapter in the form that is written here: {rest[:60]!r}")
        found.append((int(match[1]), int(match[2]), re.sub(r"\\(.)", r"\1", match[3])))
        rest = rest[match.end() :]
    return found
