"""The places of a walk-round, and what each statement of the talk says about where the camera is.

The places are data: the ``chapter`` tables of ``lexicon/sides.toml``.
"""

import re
from dataclasses import dataclass, field
from statistics import median

from walkround.narration.lexicon import Lexicon
from walkround.narration.model import Reading
from walkround.report.record import TranscriptRow, WordRow

#: A silence of this many seconds ends a statement where there is no mark.
BREAK = 0.7
_STOP = re.compile(r"[.!?…]+[\"'”’)\]]*$")
#: The greeting: no place on the bike yet.
GREETING = "greeting"


@dataclass(frozen=True)
class Place:
    """A place that a chapter can be about; ``side`` for the flanks, ``parts`` for the others."""

    id: str
    name: str
    parts: frozenset[str] = frozenset()
    side: str | None = None


@dataclass(slots=True)
class Statement:
    """Some words between two stops: when they begin, the silence before them, and what they speak of."""

    start: float
    silence: float
    words: list[str] = field(default_factory=list)
    about: list[tuple[str, str | None]] = field(default_factory=list)  #: (part, side)
    place: str | None = None  #: id of the place that the words say the camera goes to
    announced: bool = False  #: a bare name ("Tank.") or a place that no part belongs to ("Up top.")


def places_of(lexicon: Lexicon) -> list[Place]:
    """The places in the order of the lexicon."""
    made = []
    for key, table in lexicon.trees["sides.toml"]["chapter"].items():
        groups = table.get("groups", [])
        parts = {part.id for part in lexicon.parts.values() if part.group in groups} | set(table.get("parts", []))
        made.append(Place(key, table["name"], frozenset(parts), table.get("side")))
    return made


def statements(lexicon: Lexicon, reading: Reading, transcript: TranscriptRow, source: int) -> list[Statement]:
    """The statements of one film, with what the reading found in each."""
    made = _cut([word for segment in transcript.segments for word in segment.words])
    if not made:
        return []
    starts = [s.start for s in made]
    for row in (*reading.named, *reading.findings, *reading.verdicts, *reading.measurements):
        if row.part and row.source == source:
            about = made[_at(starts, row.start)].about
            if (row.part, row.side) not in about:
                about.append((row.part, row.side))
    for key, fact in reading.facts.items():  # "the odometer's showing": the bike's figures, not a look at the clocks
        if fact.source == source and key != "name":
            made[_at(starts, fact.start)].about.clear()
    moves: dict[int, set[str]] = {}
    for move in reading.moves:
        if move.source == source:
            moves.setdefault(_at(starts, move.start), set()).add(move.place)
    for number, to in moves.items():
        if len(to) == 1:  # several at once are the plan of the walk, not a step of it
            made[number].place = _place_id(next(iter(to)))
    named_places = lexicon.phrases("place.middle.phrases")
    for statement in made:
        short = len(statement.words) <= 4
        head = " ".join(lexicon.fold(" ".join(statement.words[:6])))
        statement.announced = (short and bool(statement.about)) or (short and lexicon.holds(head, named_places))
    return made


def _place_id(move: str) -> str:
    return f"{move}-side" if move in ("left", "right") else move


def _at(starts: list[float], moment: float) -> int:
    """The statement in which a moment lies."""
    low, high = 0, len(starts)
    while low < high:
        middle = (low + high) // 2
        if starts[middle] <= moment + 1e-6:
            low = middle + 1
        else:
            high = middle
    return max(0, low - 1)


def _cut(words: list[WordRow]) -> list[Statement]:
    made: list[Statement] = []
    last = 0.0
    stopped = True
    for word in words:
        silence = max(0.0, word.start - last)
        if stopped or silence >= BREAK:
            made.append(Statement(word.start, silence))
        made[-1].words.append(word.text.strip())
        stopped = bool(_STOP.search(word.text.strip()))
        last = max(last, word.end)
    return made


def usual_silence(talk: list[Statement]) -> float:
    """The silence that this narrator leaves between two statements, seconds; never nought."""
    return max(0.2, median([s.silence for s in talk[1:]] or [0.5]))
