"""What the reading of a narration yields: plain data, ready for the record."""

from dataclasses import dataclass, field


@dataclass(slots=True)
class Row:
    """Words with their place in the video. Times in seconds."""

    quote: str
    start: float
    end: float
    part: str | None = None
    side: str | None = None
    source: int = 0  #: which film of the walk-round the times are of


@dataclass(slots=True)
class Step:
    """One step of the reading: what was done, by which words, by which entry of the lexicon."""

    step: str
    words: str
    entry: str


@dataclass(slots=True)
class DefectRow(Row):
    """A defect that was spoken of. ``at`` is its first token, for ordering and for tests."""

    defect: str = "mark"
    severity: str = "minor"
    severity_said: bool = False  #: whether the words say so, not the kind of fault alone
    tentative: bool = False
    extent: str | None = None
    cause_guess: str | None = None
    heard_as: str | None = None
    part_quote: str | None = None
    confidence: float = 1.0
    review: str | None = None
    trace: list[Step] = field(default_factory=list)
    at: int = 0
    number: int = 0  #: its place among the findings of all films as they were read; 0 where there is one film


@dataclass(slots=True)
class Verdict(Row):
    """A good word on a part, or a defect denied of it."""

    at: int = 0


@dataclass(slots=True)
class SizeRow(Row):
    """A size that was spoken, in the unit it was said in."""

    quantity: str = "size"
    value: float | str = 0.0
    unit: str | None = None
    approximate: bool = False
    upper: float | None = None
    review: str | None = None


@dataclass(slots=True)
class TakenBack(Row):
    """A defect that was named and taken back."""

    defect: str = "mark"
    taken_back_by: str = ""
    taken_back_at: float = 0.0
    taken_back_source: int = 0


@dataclass(slots=True)
class FactRow:
    """Something said of the whole bike."""

    value: int | float | str
    quote: str
    start: float
    source: int = 0
    upper: int | float | None = None
    approximate: bool = False
    at: int | None = None  #: its first token, where another reading must leave those words alone
    review: str | None = None  #: why a person should look


@dataclass(slots=True)
class Passed:
    """A defect word that made no row, and why: kept for ``--explain``."""

    quote: str
    start: float
    reason: str
    source: int = 0


@dataclass(slots=True)
class Move:
    """The camera goes to a side or an end of the bike."""

    start: float
    place: str
    source: int = 0


@dataclass(slots=True)
class Settled:
    """A fault of one film that a later film says is gone ("mended") or never was ("wrong")."""

    finding: DefectRow
    later: Row
    how: str


@dataclass(slots=True)
class Reading:
    """Everything that a narration says, in order of the talk."""

    findings: list[DefectRow] = field(default_factory=list)
    unplaced: list[DefectRow] = field(default_factory=list)
    verdicts: list[Verdict] = field(default_factory=list)
    named: list[Row] = field(default_factory=list)
    measurements: list[SizeRow] = field(default_factory=list)
    promises: list[Row] = field(default_factory=list)
    guesses: list[Row] = field(default_factory=list)
    included: list[Row] = field(default_factory=list)
    excluded: list[Row] = field(default_factory=list)
    repaired: list[DefectRow] = field(default_factory=list)
    withdrawn: list[TakenBack] = field(default_factory=list)
    facts: dict[str, FactRow] = field(default_factory=dict)
    doubted: list[Row] = field(default_factory=list)  # what may speak against a part being clear
    passed: list[Passed] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)
    further_facts: list[dict[str, FactRow]] = field(default_factory=list)  # of the second film, the third, ...
    settled: list[Settled] = field(default_factory=list)  # faults that a later film puts right
