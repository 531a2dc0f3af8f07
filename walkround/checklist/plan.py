"""The film plan: the checklist in walking order, grouped by where one stands, before anything is filmed."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from walkround.checklist.items import NAMED, Checklist, Entry
from walkround.narration.lexicon import Lexicon


@dataclass(frozen=True)
class Line:
    """One thing to show and say. ``if_fitted``: only where the bike has it."""

    name: str
    say: str
    why: str
    essential: bool
    if_fitted: bool


@dataclass
class Stop:
    """One place to stand, with what is filmed from there: essentials and the rest in walking order."""

    id: str
    title: str
    lines: list[Line] = field(default_factory=list)


def film_plan(lexicon: Lexicon, checklist: Checklist, kinds: tuple[str, ...]) -> list[Stop]:
    """Every item once, or once a side; what such a bike does not have is left out."""
    lacking = {part for kind in kinds for part in checklist.kinds[kind].not_fitted}
    one_side = {part for kind in kinds for part in checklist.kinds[kind].one_side}
    stops = {key: Stop(key, title) for key, title in checklist.stands.items()}
    for entry in checklist.entries.values():
        parts = [part for part in entry.parts if part not in lacking]
        if not parts and not entry.facts:
            continue
        for stand, name in _places(entry, parts, lexicon, one_side):
            stops[stand].lines.append(
                Line(name, entry.say, entry.why, entry.essential_for(kinds), not entry.asked_for(kinds))
            )
    return [stop for stop in stops.values() if stop.lines]


def _places(entry: Entry, parts: list[str], lexicon: Lexicon, one_side: Iterable[str]) -> list[tuple[str, str]]:
    name = entry.name or " and ".join(_small(lexicon.parts[part].name) for part in parts)
    name = name[:1].upper() + name[1:]
    sided = any(lexicon.parts[part].sided for part in parts)
    if entry.stand is not None:
        both = sided and entry.sides == "each" and entry.wants != (NAMED,) and not set(parts) & set(one_side)
        return [(entry.stand, f"{name}, both sides" if both else name)]
    if sided:
        return [("left", f"Left-hand {_small(name)}"), ("right", f"Right-hand {_small(name)}")]
    return [("left", name)]


def _small(name: str) -> str:
    return name[:1].lower() + name[1:]
