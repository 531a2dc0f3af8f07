"""Which row an edit speaks of. A row is known by what it says and when, never by its number.

So an edit finds its row again after a new reading: with other words in the lexicon, a corrected word, or times
that moved a little. Where the row cannot be found for certain, the edit does not touch another one.
"""

import hashlib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ConfigDict
from rapidfuzz import fuzz

from walkround.report.record import Finding, Question, Report, Still

#: How far a row may have moved (seconds) and how like its words must be (0 to 100) to be the same row still.
NEAR, LIKE = 3.0, 60.0
#: The same for edits that take a row away: a wrong one must never go.
VERY_NEAR, VERY_LIKE = 1.0, 85.0


class Target(BaseModel):
    """A row: one that was read (``entry`` is None), or the ``n``-th that the log's line ``entry`` made.

    Among rows read alike in all else (two scratches in one breath) ``n`` counts them. ``gone`` says that the edit was
    made when the reading no longer had the row.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    source: int = 0
    part: str | None = None
    side: str | None = None
    defect: str = ""
    start: float = 0.0
    quote: str = ""
    entry: int | None = None
    n: int = 0
    gone: bool = False

    def same(self, other: "Target") -> bool:
        """Whether both mean the same row, gone or not."""
        return self.model_dump(exclude={"gone"}) == other.model_dump(exclude={"gone"})


@dataclass
class Line:
    """A row as the edits have left it so far. ``placed``: it stands among the findings."""

    row: Finding
    target: Target
    placed: bool
    gone: bool = False
    picture: Still | None = None  #: the one that a person chose


def lines_of(report: Report) -> list[Line]:
    """The rows as they were read, each known by a target of its own."""
    lines: list[Line] = []
    alike: Counter[Target] = Counter()
    for row, placed in [(row, True) for row in report.findings] + [(row, False) for row in report.unplaced]:
        target = target_of(row)
        lines.append(Line(row, target.model_copy(update={"n": alike[target]}), placed))
        alike[target] += 1
    return lines


def target_of(row: Finding) -> Target:
    """What a row that was read is known by, but for those that are read alike."""
    return Target(source=row.source, part=row.part, side=row.side, defect=row.defect, start=row.start, quote=row.quote)


def find(lines: Sequence[Line], target: Target, claimed: Iterable[Target], *, surely: bool = False) -> Line | None:
    """The line that an edit means, or None. ``claimed`` are the rows that other edits name exactly.

    A line that is only like the target becomes known by it from then on.
    """
    for line in lines:
        if line.target.same(target):
            return line
    if target.entry is not None:
        return None
    near, like = (VERY_NEAR, VERY_LIKE) if surely else (NEAR, LIKE)
    taken = list(claimed)
    found: tuple[float, Line] | None = None
    for line in lines:
        row = line.row
        if line.target.entry is not None or row.source != target.source:
            continue
        if (row.part, row.side, row.defect, line.target.n) != (target.part, target.side, target.defect, target.n):
            continue
        away = abs(row.start - target.start)
        if away > near or fuzz.ratio(row.quote, target.quote) < like or any(line.target.same(t) for t in taken):
            continue
        if found is None or away < found[0]:
            found = (away, line)
    if found is None:
        return None
    found[1].target = target.model_copy(update={"gone": False})
    return found[1]


def target_from(value: dict[str, Any] | None) -> Target:
    """The target of an entry of the log."""
    return Target.model_validate(value or {})


def key_of_question(question: Question) -> str:
    """What a question is known by: its words and those that it is about."""
    said = [f"{e.source} {e.quote}" for e in question.evidence]
    return hashlib.sha256("\n".join([question.about, question.text, *said]).encode()).hexdigest()[:16]
