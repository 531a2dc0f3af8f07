"""Where the lexicon's words stand in a narration: plain data, in order of place."""

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from operator import attrgetter
from typing import Protocol, TypeVar

#: Kinds of term that speak of a fault.
FAULTS = ("defect", "final", "predicate")


@dataclass(slots=True)
class Term:
    """Words of the lexicon at tokens ``start`` up to ``end``.

    ``kind`` is part, family, other, defect, good, answer or verb; ``heard`` and ``score`` are set where a
    sound-alike was taken for it.
    """

    kind: str
    id: str
    start: int
    end: int
    weak: bool = False
    plural: bool = False
    form: str = ""
    axis: str | None = None
    heard: str | None = None
    score: float = 1.0
    own_part: str | None = None
    head: bool = False
    reach: int = 0  #: tokens that a pattern took in with what must stand before it; 0 where it is no pattern
    within: "tuple[Term, ...]" = ()  #: other fault words and patterns that a pattern stands over


class Placed(Protocol):
    """Anything with a first token."""

    start: int


#: Where an item begins; not a function of our own, since it is asked for tens of thousands of times a reading.
_start: Callable[[Placed], int] = attrgetter("start")


P = TypeVar("P", bound=Placed)


def between(items: Sequence[P], start: int, end: int, place: Callable[[P], int] = _start) -> Sequence[P]:
    """Of items in order of place, those that begin at tokens ``start`` up to ``end``."""
    low = bisect_left(items, start, key=place)
    return items[low : bisect_left(items, end, lo=low, key=place)]


@dataclass
class Terms:
    """All matches in a Doc: things and states in order, cues by category as (start, end)."""

    things: list[Term] = field(default_factory=list)
    states: list[Term] = field(default_factory=list)
    cues: dict[str, list[tuple[int, int]]] = field(default_factory=dict)

    def cue(self, *categories: str) -> Iterator[tuple[int, int]]:
        """The spans of the categories, in order within each."""
        for category in categories:
            yield from self.cues.get(category, ())

    def within(self, category: str, start: int, end: int) -> list[tuple[int, int]]:
        """The spans of a category that lie inside the tokens from ``start`` up to ``end``."""
        spans = self.cues.get(category, [])
        found = []
        for number in range(bisect_left(spans, (start, 0)), len(spans)):
            if spans[number][0] >= end:
                break
            if spans[number][1] <= end:
                found.append(spans[number])
        return found

    @cached_property
    def stops(self) -> frozenset[int]:
        """Tokens at which a denial has ended."""
        return frozenset(e for _, e in self.cue("denial.ends", "joining.exceptions"))

    @cached_property
    def takers(self) -> dict[int, list[tuple[int, int]]]:
        """Cues that take a clause, by the token at which they end."""
        found: dict[int, list[tuple[int, int]]] = {}
        for category in ("denial.before_clause", "doubt.phrases", "unreal.phrases", "unreal.other_bike"):
            for span in self.cue(category):
                found.setdefault(span[1], []).append(span)
        return found

    @cached_property
    def inside_takers(self) -> dict[int, int]:
        """Token inside a cue that takes a clause, to the start of that cue."""
        return {i: s for spans in self.takers.values() for s, e in spans for i in range(s + 1, e)}

    @cached_property
    def subjects(self) -> frozenset[int]:
        """Tokens at which a part is named."""
        return frozenset(t.start for t in self.things if t.kind != "other")

    @cached_property
    def outright(self) -> list[Term]:
        """Things named by a name of their own, none that was only heard as one."""
        return [t for t in self.things if t.heard is None]

    @cached_property
    def covered(self) -> frozenset[int]:
        """Tokens inside a thing or a state."""
        return frozenset(i for t in (*self.things, *self.states) for i in range(t.start, t.end))
