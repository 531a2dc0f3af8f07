"""Rows of a reading in short: "mirror/left/scratch", a "?" where it is tentative, "-" where no side was said."""

from collections.abc import Callable, Iterable

from walkround.checklist.coverage import checklist
from walkround.narration.lexicon import Lexicon
from walkround.narration.model import DefectRow, Reading, Row

Read = Callable[[str], Reading]
Find = Callable[[str], list[str]]


def short(row: Row) -> str:
    """Part and side."""
    return f"{row.part or '-'}/{row.side or '-'}"


def faults(rows: Iterable[DefectRow]) -> list[str]:
    """Part, side and defect of each, sorted."""
    return sorted(f"{short(row)}/{row.defect}{'?' if row.tentative else ''}" for row in rows)


def found(reading: Reading) -> list[str]:
    """The findings, sorted."""
    return faults(reading.findings)


def good(reading: Reading) -> list[str]:
    """Parts with a good word, sorted, each once."""
    return sorted({short(row) for row in reading.verdicts})


def named(reading: Reading) -> list[str]:
    """Parts that were named, sorted, each once."""
    return sorted({short(row) for row in reading.named})


def states(lexicon: Lexicon, reading: Reading, part: str) -> dict[str | None, str]:
    """The checklist's word for each side of a part."""
    return {item.side: item.state for item in checklist(lexicon, reading) if item.part == part}


def lost(reading: Reading) -> bool:
    """Whether nothing at all was kept of what was said."""
    return not (reading.findings or reading.unplaced or reading.repaired or reading.withdrawn)
