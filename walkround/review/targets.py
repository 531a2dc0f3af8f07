"""Which row an edit speaks of. A row is known by what it says and when, never by its number.

So an edit finds its row again after a new reading: with other words in the lexicon, a corrected word, or times
that moved a little. Where the row cannot be found for certain, the edit does not touch another one.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ConfigDict
from rapidfuzz import fuzz

from walkround.report.record import Finding, Still

#: How far a row may have moved (seconds) and how like its words must be (0 to 100) to be the same row still.
NEAR, LIKE = 3.0, 60.0
#: The same for edits that take a row away: a wrong one must never go.
VERY_NEAR, VERY_LIKE = 1.0, 85.0


class Target(BaseModel):
    """A row: one that was read (``entry`` is None), or the ``n``-th that the log's line ``entry`` made.

    ``gone`` says that the edit was made when the reading no longer had the row.
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


def target_of(row: Finding) -> Target:
    """What a row that was read is known by."""
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
        if (row.part, row.side, row.defect) != (target.part, target.side, target.defect):
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
