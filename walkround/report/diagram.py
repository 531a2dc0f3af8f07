"""The drawing of a motorcycle from both sides with the findings on their parts."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from walkround.report.record import Finding

WIDTH, HEIGHT = 200.0, 120.0  #: of the drawing, in its own units; the ground is at the bottom
RADIUS = 7.0  #: of a dot: 24 CSS pixels across where the drawing is 350 wide, as on a phone
_APART = 2 * RADIUS + 0.8
_VIEWS = ("left", "right")


class Numbered(Protocol):
    """A finding with its number on the page."""

    @property
    def row(self) -> Finding: ...
    @property
    def key(self) -> str: ...
    @property
    def rank(self) -> int: ...


@dataclass(frozen=True)
class Dot:
    """A numbered dot at (x, y), with the place that it stands for at (to_x, to_y) where it had to move aside."""

    line: Numbered
    x: float
    y: float
    to_x: float
    to_y: float
    side_unknown: bool

    @property
    def moved(self) -> bool:
        """Whether the dot stands aside from its place, so that a line must lead there."""
        return math.hypot(self.x - self.to_x, self.y - self.to_y) > 1.0


@dataclass(frozen=True)
class Diagram:
    """Dots of the left-hand and the right-hand view, and the findings that have no place on a motorcycle."""

    left: list[Dot]
    right: list[Dot]
    elsewhere: list[Numbered]


def diagram(lines: Sequence[Numbered], places: Mapping[str, Any]) -> Diagram:
    """Place the findings. ``places`` maps the id of a part to its ``at`` and ``view``, as in lexicon/places.toml."""
    dots: dict[str, list[Dot]] = {view: [] for view in _VIEWS}
    elsewhere = []
    for line in lines:
        place = places.get(line.row.part or "")
        if place is None:
            elsewhere.append(line)
            continue
        for view in _seen_from(line.row, place):
            x, y = (float(v) for v in place["at"])
            x = x if view == "right" else WIDTH - x
            free_x, free_y = _free(x, y, dots[view])
            dots[view].append(Dot(line, free_x, free_y, x, y, line.row.side is None and "view" not in place))
    return Diagram(dots["left"], dots["right"], elsewhere)


def _seen_from(row: Finding, place: Mapping[str, Any]) -> tuple[str, ...]:
    if row.side in _VIEWS:
        return (row.side,)
    return (str(place["view"]),) if row.side is None and "view" in place else _VIEWS


def _free(x: float, y: float, taken: Sequence[Dot]) -> tuple[float, float]:
    """The nearest spot at which a dot covers no other: on rings around its place, inside the drawing."""
    for ring in range(40):
        for step in range(max(1, 6 * ring)):
            angle = 2 * math.pi * step / max(1, 6 * ring) - math.pi / 2
            at_x, at_y = x + ring * 4 * math.cos(angle), y + ring * 4 * math.sin(angle)
            inside = RADIUS < at_x < WIDTH - RADIUS and RADIUS < at_y < HEIGHT - RADIUS
            if inside and all(math.hypot(at_x - d.x, at_y - d.y) >= _APART for d in taken):
                return round(at_x, 1), round(at_y, 1)
    return min(max(x, RADIUS), WIDTH - RADIUS), min(max(y, RADIUS), HEIGHT - RADIUS)
