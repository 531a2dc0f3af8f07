"""The lists of times that are pasted under a film: its chapters, and one line a disclosed mark.

Video hosts read a description's list as chapters when the first time is 0:00, there are at least three, they
ascend, and each lasts at least 10 s (as large hosts publish it). Where the record's own chapters break a rule,
neighbours are joined; no time is ever moved.
"""

import re
from dataclasses import dataclass
from math import inf

from walkround.outputs.films import FilmRows, one_line
from walkround.report.record import Finding, Report
from walkround.report.titles import LONGEST, Titles
from walkround.timecode import clock, parse_clock

SHORTEST = 10
FEWEST = 3
_LINE = re.compile(r"(\d{1,2}:\d{2}|\d+:\d{2}:\d{2}) (\S.*)")
_SIDES = {"left": "left-hand ", "right": "right-hand "}


@dataclass(frozen=True)
class Entry:
    """One chapter as it is published: seconds, title, and the place it is about."""

    start: float
    title: str
    group: str


def joined_chapters(report: Report, film: FilmRows) -> list[Entry]:
    """The chapters of a film with those that are too short joined to a neighbour; the first begins at 0.

    A chapter whose title does not say what was disclosed there (any more) gets a new one.
    """
    kept: list[Entry] = []
    for chapter in film.chapters:
        start = max(0.0, chapter.start)
        if not kept:
            kept.append(Entry(0.0, chapter.title, chapter.group))
        elif int(start) - int(kept[-1].start) >= SHORTEST and int(film.end) - int(start) >= SHORTEST:
            kept.append(Entry(start, chapter.title, chapter.group))
    return [_retitled(report, film, kept, number) for number in range(len(kept))]


def _retitled(report: Report, film: FilmRows, kept: list[Entry], number: int) -> Entry:
    """A chapter with a new title where its own does not tell of every fault in it (any more)."""
    entry, titles = kept[number], Titles(report)
    end = kept[number + 1].start if number + 1 < len(kept) else inf
    if len(entry.title) <= LONGEST and titles.tells(entry.title, film.source, entry.start, end):
        return entry
    return Entry(entry.start, titles.of(film.source, entry.start, end, entry.group), entry.group)


def chapter_list(report: Report, film: FilmRows) -> str:
    """The list for a description, or nothing where the film is too short for three chapters."""
    entries = joined_chapters(report, film)
    if len(entries) < FEWEST:
        return ""
    return "".join(f"{clock(entry.start)} {one_line(entry.title)}\n" for entry in entries)


def marks_list(report: Report, film: FilmRows) -> str:
    """One line a disclosed mark, in the order of the film: the time, the part, what it is, and the words."""
    rows = [row for row in (*report.findings, *report.unplaced) if row.source == film.source]
    return "".join(
        f"{clock(row.start)} {mark_words(report, row)}: {words_of(row)}\n"
        for row in sorted(rows, key=lambda row: (row.start, row.id))
    )


def words_of(row: Finding) -> str:
    """The narrator's words in quotes; what a person added stands without, and says so."""
    if row.settled and row.settled.how == "added":
        return f"{one_line(row.quote)} (added by {one_line(row.settled.who)}, not the narrator’s words)"
    return f"“{one_line(row.quote)}”"


def mark_words(report: Report, row: Finding, severity: bool = False) -> str:
    """``Left-hand mirror: scratch``; says so where the narrator was unsure, no part was named, or a person must look.

    How severe it is stands there only where it is asked for, and nothing is called minor of which nobody said so.
    """
    notes: list[str] = [row.how_bad] if severity and row.how_bad else []
    notes += ["the narrator is unsure"] * row.tentative
    notes += ["to be checked"] * (row.review is not None)
    more = f" ({', '.join(notes)})" if notes else ""
    return one_line(f"{part_words(report, row.part, row.side)}: {report.names.defect(row.defect)}{more}")


def part_words(report: Report, part: str | None, side: str | None) -> str:
    """``Left-hand mirror``."""
    name = report.names.part(part) if part else "A part not named"
    before = _SIDES.get(side or "", "")
    name = f"{before}{name[:1].lower()}{name[1:]}" if before else name
    return f"{name[:1].upper()}{name[1:]}{', both sides' if side == 'both' else ''}"


def faults_of_list(text: str, end: float) -> list[str]:
    """What is wrong with a list of chapters for a film of ``end`` seconds, by the published rules; else nothing."""
    lines = text.splitlines()
    faults = [
        f"line {n} is no time and title: {line!r}" for n, line in enumerate(lines, 1) if not _LINE.fullmatch(line)
    ]
    if faults:
        return faults
    times = [parse_clock(line.split(" ")[0]) for line in lines]
    if len(times) < FEWEST:
        faults.append(f"{len(times)} chapters; at least {FEWEST} are wanted")
    if times and times[0]:
        faults.append("the first is not 0:00")
    for begin, stop in zip(times, [*times[1:], float(int(end))], strict=True):
        if stop - begin < SHORTEST:
            faults.append(f"the chapter at {clock(begin)} lasts {stop - begin:g} s")
    for line, moment in zip(lines, times, strict=True):
        if line.split(" ")[0] != clock(moment):
            faults.append(f"{line.split(' ')[0]} is to be written {clock(moment)}")
    return faults
