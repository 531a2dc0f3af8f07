"""Titles of chapters: the place and what was disclosed there, in fewer than 60 characters.

A title never says less than was disclosed: where the faults do not fit by name they are counted, and a chapter
with a fault never has the bare name of its place. Made from the record alone.
"""

from bisect import bisect_left
from collections import Counter
from math import inf

from walkround.report.places import GREETING
from walkround.report.record import Finding, Report
from walkround.report.wording import worst_first

#: Characters of a title at most. Video hosts cut longer ones off in their lists (common practice, no source).
LONGEST = 59
_NUMBERS = "no one two three four five six seven eight nine ten eleven twelve".split()
_SIDES = {"left": "left ", "right": "right "}


def number_word(number: int) -> str:
    """``two``, ``13``: words up to twelve."""
    return _NUMBERS[number] if number < len(_NUMBERS) else str(number)


def retitle(report: Report) -> None:
    """Give every chapter of a record its title anew, in place: for those who change its findings."""
    titles = Titles(report)
    for number, chapter in enumerate(report.chapters):
        later = [c.start for c in report.chapters[number + 1 :] if c.source == chapter.source]
        chapter.title = titles.of(chapter.source, chapter.start, min(later, default=inf), chapter.group)


class Titles:
    """Titles for stretches of one record."""

    def __init__(self, report: Report) -> None:
        self.report, self.names = report, report.names
        rows = sorted((*report.findings, *report.unplaced), key=lambda row: row.start)
        self._faults = {film: [row for row in rows if row.source == film] for film in {row.source for row in rows}}
        said = [(e.start, row.part, e.source) for row in report.checklist for e in row.evidence]
        self._said = {film: sorted((s, p) for s, p, of in said if of == film) for film in {of for _, _, of in said}}

    def of(self, source: int, start: float, end: float, place: str) -> str:
        """The title of the stretch of a film from ``start`` up to ``end`` seconds, about a place."""
        faults = self.faults(source, start, end)
        name = self._place(source, start, end, place)
        if not faults:
            return _cut(name, LONGEST)
        parts = self._parts(source, start, end) if place != GREETING else set()
        only = next(iter(parts)) if len(parts) == 1 and not place.endswith("-side") else None
        named = [self._fault(row, only) for row in faults]
        of_place = name == self.names.place(place) and not place.endswith("-side")  # which of its parts is not said
        for text in (
            f"{name}: {', '.join(dict.fromkeys(named))}" if len(set(named)) == len(named) else "",
            "" if of_place else f"{name}: {', '.join(self._kinds(faults))}",
            f"{name}: {_counted(faults)}",
        ):
            if text and len(text) <= LONGEST:
                return text
        return f"{_cut(name, LONGEST - 2 - len(_counted(faults)))}: {_counted(faults)}"

    def tells(self, title: str, source: int, start: float, end: float) -> bool:
        """Whether a title, whoever made it, says of a stretch what was disclosed there."""
        faults = self.faults(source, start, end)
        return all(self.names.defect(row.defect) in title for row in faults) or _counted(faults) in title

    def faults(self, source: int, start: float, end: float) -> list[Finding]:
        """What was disclosed in a stretch, the most serious first, then as spoken."""
        rows = self._faults.get(source, [])
        first, last = (bisect_left(rows, time, key=lambda row: row.start) for time in (start, end))
        return worst_first(rows[first:last])

    def _place(self, source: int, start: float, end: float, place: str) -> str:
        """What the chapter is about: the one or two parts that it speaks of, else the place."""
        if place == GREETING:
            return self._greeting(source, start, end)
        if place.endswith("-side"):
            return self.names.place(place)
        parts = self._parts(source, start, end)
        if 1 <= len(parts) <= 2:
            order = list(dict.fromkeys(row.part for row in self.report.checklist))
            first, *second = (self._part(p) for p in sorted(parts, key=order.index))
            both = f"{first} and {second[0][:1].lower()}{second[0][1:]}" if second else first
            if len(both) <= LONGEST // 2:
                return both
        return self.names.place(place)

    def _parts(self, source: int, start: float, end: float) -> set[str]:
        """The parts that are spoken of in a stretch."""
        said = self._said.get(source, [])
        first, last = (bisect_left(said, time, key=lambda one: one[0]) for time in (start, end))
        parts = {part for _, part in said[first:last]}
        return parts | {row.part for row in self.faults(source, start, end) if row.part}

    def _part(self, part: str) -> str:
        return self.names.short.get(part) or self.names.part(part)

    def _greeting(self, source: int, start: float, end: float) -> str:
        """The bike and its figures, where they are spoken of in the stretch."""
        bike = self.report.bike
        said = [
            key
            for key in ("year", "mileage")
            if key in bike and bike[key].source == source and start <= (bike[key].start or 0.0) < end
        ]
        figures = []
        if "year" in said:
            figures.append(str(bike["year"].value))
        if "mileage" in said:
            value = bike["mileage"].value
            unit = f" {bike['mileage_unit'].value}" if "mileage_unit" in bike else ""
            figures.append(f"{value:,}{unit}" if isinstance(value, int | float) else f"{value}{unit}")
        text = f"The bike, {', '.join(figures)}" if figures else "The bike"
        return text if len(text) <= LONGEST // 2 else "The bike"

    def _fault(self, row: Finding, only: str | None = None) -> str:
        """A fault in a few words; the part is left out where the title begins with it and no other."""
        perhaps = "possible " if row.tentative else ""
        defect = self.names.defect(row.defect)
        if row.part is None:
            return f"{perhaps}{defect} (part not named)"
        if row.part == only:
            return f"{perhaps}{defect}" + (f" ({row.side})" if row.side in ("left", "right") else "")
        return f"{perhaps}{_SIDES.get(row.side or '', '')}{self._part(row.part).lower()} {defect}"

    def _kinds(self, faults: list[Finding]) -> list[str]:
        kinds = Counter(("possible " if f.tentative else "") + self.names.defect(f.defect) for f in faults)
        return [kind if number == 1 else f"{kind} ({number} times)" for kind, number in kinds.items()]


def _counted(faults: list[Finding]) -> str:
    serious = sum(f.severity == "serious" for f in faults)
    many = len(faults) > 1
    if not serious:
        small = "minor " if all(f.how_bad == "minor" for f in faults) else ""
        return f"{number_word(len(faults))} {small}{'marks or faults' if many else 'mark or fault'}"
    if serious == len(faults):
        return f"{number_word(serious)} serious fault{'s' if many else ''}"
    return f"{number_word(len(faults))} marks or faults, {number_word(serious)} serious"


def _cut(text: str, most: int) -> str:
    """A text cut at a word, with a mark, where it is longer than ``most`` characters."""
    if len(text) <= most:
        return text
    return f"{text[: most - 1].rsplit(' ', 1)[0].rstrip(' ,')[: most - 1]}…"
