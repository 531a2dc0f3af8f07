"""The record of a walk-round, ``report.json``: the one thing that every page and list is made from.

Times are seconds from the start of the video. ``part`` and ``defect`` are ids of the lexicon. Every row that
came from speech carries ``quote`` (the words as spoken), ``start`` and ``end``.
"""

import json
from pathlib import Path
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

SCHEMA_VERSION = "1.1"

Side = Literal["left", "right", "both"]
Severity = Literal["minor", "moderate", "serious"]
State = Literal["finding", "clear", "named", "not-mentioned"]


class _Row(BaseModel):
    model_config = ConfigDict(extra="forbid")


class Spoken(_Row):
    """Words of the narration with their place in the video."""

    quote: str
    start: float = Field(ge=0)
    end: float = Field(ge=0)
    source: int = Field(default=0, ge=0)  #: which film the times are of: 0 is ``media``, n is the n-th of ``added``


class Tool(_Row):
    """What made the record: enough to make it again."""

    name: str = "walkround"
    version: str
    lexicon_sha256: str


class Media(_Row):
    """The recording. All fields are null when the report was made from a transcript alone."""

    file: str | None = None
    sha256: str | None = None
    duration: float | None = None
    width: int | None = None
    height: int | None = None
    rotation: int | None = None
    recorded_at: str | None = None


class Fact(_Row):
    """Something about the whole bike. ``given`` is true where a person supplied it, not the narration."""

    value: int | float | str
    quote: str | None = None
    start: float | None = None
    source: int = Field(default=0, ge=0)
    given: bool = False
    upper: int | float | None = None  #: the far end, where a range was said
    approximate: bool = False
    meaning: str | None = None  #: what it stands for by a published table, as a sentence with its source
    review: str | None = None  #: why a person should look before it is relied on


class WordRow(_Row):
    """One word of the transcript; ``probability`` is null where the source has none."""

    text: str
    start: float
    end: float
    probability: float | None = None


class SegmentRow(_Row):
    """A run of words that the source delivered together."""

    start: float
    end: float
    text: str
    words: list[WordRow]


class TranscriptRow(_Row):
    """Every word that was heard, with where the times come from."""

    source: str
    language: str
    timing: Literal["recognised", "given", "estimated"]
    segments: list[SegmentRow]


class Reason(_Row):
    """One step of the reading: which words, which lexicon entry, what followed from them."""

    step: str
    words: str
    entry: str


class Still(_Row):
    """A picture from the film: the file seen from the report's folder, and the time of its frame."""

    file: str
    time: float = Field(ge=0)


class Settled(_Row):
    """What a person did with a row, and what the row was before, where that changed it."""

    how: Literal["confirmed", "changed", "added", "placed", "split", "joined", "dismissed"]
    who: str
    at: str  #: ISO 8601, UTC
    was: dict[str, str | float | bool | None] = {}  #: fields that were changed, with the values that were read


class Finding(Spoken):
    """A defect that the narrator spoke of. ``part`` is null only in ``unplaced``.

    Where ``settled.how`` is ``added`` the quote is a person's words, not the narrator's.
    """

    id: str
    part: str | None
    side: Side | None
    defect: str
    severity: Severity
    severity_said: bool = False  #: whether the narrator said so; else it is that of the kind of fault
    tentative: bool = False
    extent: str | None = None
    cause_guess: str | None = None
    heard_as: str | None = None  #: the words as recognised, where a sound-alike was taken for the part
    part_quote: str | None = None  #: where the part was named, when that is not in the quote
    confidence: float = Field(ge=0, le=1)
    review: str | None = None
    still: str | None = None
    still_at: float | None = None  #: time of the still's frame
    other_stills: list[Still] = []  #: further pictures of the same moment, next best first
    clip: str | None = None
    not_shown: str | None = None  #: said, but not clearly shown: why, in words
    settled: Settled | None = None
    trace: list[Reason] = []

    @property
    def how_bad(self) -> Severity | None:
        """The severity, for people to read; None where it would call minor what nobody called small."""
        by_hand = self.settled is not None and (self.settled.how == "added" or "severity" in self.settled.was)
        said = self.severity_said or by_hand
        return self.severity if said or self.severity != "minor" else None


class Dismissed(Finding):
    """A row that a person set aside, and why: kept, since nothing spoken of as a defect is ever dropped."""

    reason: str


class ChecklistRow(_Row):
    """One part (and side) of the checklist and what was said of it."""

    part: str
    side: Side | None
    group: str
    state: State
    not_fitted: str | None = None  #: the bike has no such part: how that is known, in words
    review: str | None = None
    evidence: list[Spoken] = []
    still: str | None = None
    still_at: float | None = None
    not_shown: str | None = None
    settled: Settled | None = None


class Measurement(Spoken):
    """A size, depth, age or pressure that was spoken, in the unit it was said in."""

    part: str | None
    side: Side | None = None
    quantity: str
    value: float | int | str
    upper: float | int | None = None  #: the far end, where a range was said ("three to four mil")
    unit: str | None
    approximate: bool = False
    meaning: str | None = None  #: what it stands for by a published table, as a sentence with its source
    checked_against: str | None = None  #: the published value and its source, as a sentence
    severity: Severity | None = None  #: ``serious`` where it is at or under a published limit
    review: str | None = None


class Promise(Spoken):
    """Work that the seller says will be done."""

    part: str | None = None


class Guess(Spoken):
    """A cause or history that the narrator only supposes."""

    part: str | None = None


class Extra(Spoken):
    """Something that comes, or does not come, with the bike."""

    part: str | None = None


class Repaired(Spoken):
    """A defect that was there and is said to have been put right."""

    part: str | None = None
    side: Side | None = None
    defect: str | None = None


class Withdrawn(Spoken):
    """A defect that the narrator named and then took back, with the words that took it back."""

    part: str | None
    side: Side | None = None
    defect: str
    taken_back_by: str
    taken_back_at: float
    taken_back_source: int = Field(default=0, ge=0)  #: the film in which it was taken back


class Question(_Row):
    """Something that does not fit together, put to a person in words; never an accusation."""

    about: str  #: what it concerns, in plain words
    text: str
    evidence: list[Spoken] = []
    settled: Settled | None = None

    @property
    def between_films(self) -> bool:
        """Whether it is about words of several films: what one says of a fault of the other is for a person."""
        return len({row.source for row in self.evidence}) > 1


class Gap(_Row):
    """Something that the checklist asks for and the film does not give, with what to say about it.

    ``lacks``: "mention" (nothing said), "side" (of this side), "verdict" (named only), "which-side", "view" (said,
    not clearly shown), or the name of a figure in lexicon/checklist.toml. ``start`` is where the part was named.
    """

    item: str
    name: str  #: what is missing, in plain words, with its side
    parts: list[str] = []
    side: Side | None = None
    lacks: list[str]
    essential: bool
    say: str  #: one sentence: what to show and say
    why: str  #: why a buyer cares
    start: float | None = None
    source: int = Field(default=0, ge=0)


class PoorView(_Row):
    """A stretch of film in which little can be seen, and why, in words."""

    start: float
    end: float
    reason: str
    source: int = Field(default=0, ge=0)


class Chapter(_Row):
    """A stretch of the video about one place on the bike."""

    source: int = Field(default=0, ge=0)
    start: float
    title: str
    group: str


class Correction(_Row):
    """Words of the transcript that a person put right."""

    source: int = Field(default=0, ge=0)
    start: float = Field(ge=0)
    heard: str
    put: str
    who: str
    at: str


class Review(_Row):
    """The edits that went into the record: how many lines of ``edits.jsonl``, and the hash of the last."""

    edits: int
    log: str


class Signed(_Row):
    """Who signed the record off, and what was signed. ``withdrawn`` says why it no longer holds."""

    who: str
    at: str  #: ISO 8601, UTC
    films: list[str | None]  #: SHA-256 of each film
    record: str  #: SHA-256 of the record without ``review`` and ``signed``
    log: str  #: hash of the last edit before the signature
    asked: list[Question] = []  #: what the day of signing and those of the films leave to ask
    withdrawn: str | None = None


class Names(_Row):
    """What the ids of this record are called in plain words, so that every output can be made from it alone."""

    parts: dict[str, str] = {}
    defects: dict[str, str] = {}
    groups: dict[str, str] = {}
    places: dict[str, str] = {}  #: what chapters are about
    short: dict[str, str] = {}  #: what some parts are called in titles
    safety: list[str] = []  #: ids of parts on which a rider's safety hangs

    def part(self, part: str) -> str:
        """The name of a part; of one without a name, its id in words."""
        return self.parts.get(part) or _words(part)

    def defect(self, defect: str) -> str:
        """The name of a defect."""
        return self.defects.get(defect) or _words(defect)

    def group(self, group: str) -> str:
        """The name of a group of the checklist."""
        return self.groups.get(group) or _words(group)

    def place(self, place: str) -> str:
        """The name of a place that a chapter is about."""
        return self.places.get(place) or _words(place)


class Respelled(_Row):
    """Words that were taken for a trade word by their sound: ``heard`` as in the transcript, ``written`` as meant."""

    heard: str
    written: str
    start: float = Field(ge=0)
    end: float = Field(ge=0)
    source: int = Field(default=0, ge=0)


def _words(name: str) -> str:
    text = name.replace("-", " ").replace("_", " ")
    return text[:1].upper() + text[1:]


class Report(_Row):
    """The whole record."""

    schema_version: str = SCHEMA_VERSION
    tool: Tool
    media: Media
    added: list[Media] = []  #: further films of the same walk-round: source 1, 2, ...
    bike: dict[str, Fact] = {}
    transcript: TranscriptRow  #: of the first film; those of ``added`` are in ``added_transcripts``
    added_transcripts: list[TranscriptRow] = []
    findings: list[Finding] = []
    unplaced: list[Finding] = []
    checklist: list[ChecklistRow] = []
    measurements: list[Measurement] = []
    promises: list[Promise] = []
    guesses: list[Guess] = []
    included: list[Extra] = []
    excluded: list[Extra] = []
    repaired: list[Repaired] = []
    withdrawn: list[Withdrawn] = []
    questions: list[Question] = []
    gaps: list[Gap] = []  #: what the checklist asks for and no film gives, essentials first
    poor_views: list[PoorView] = []
    pictures: dict[str, str] = {}  #: SHA-256 of each still and clip that is named here, by its file
    chapters: list[Chapter] = []
    respelled: list[Respelled] = []  #: for the captions; the transcript keeps what was heard
    names: Names = Names()
    warnings: list[str] = []
    dismissed: list[Dismissed] = []
    corrections: list[Correction] = []
    review: Review | None = None
    signed: Signed | None = None

    def to_json(self) -> str:
        """The record as text: the same bytes each time for the same record."""
        return json.dumps(self.model_dump(mode="json"), ensure_ascii=False, indent=1) + "\n"


def read_report(path: Path) -> Report:
    """Read and check a record. Raises OSError or pydantic.ValidationError."""
    return Report.model_validate_json(path.read_bytes())


def json_schema() -> dict[str, Any]:
    """The JSON Schema of the record, as kept in ``walkround/report/report.schema.json``."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **Report.model_json_schema()}
