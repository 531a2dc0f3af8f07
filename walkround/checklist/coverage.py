"""The checklist of a walk-round: for each part, and each side of it, what was said."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from walkround.narration.lexicon import Lexicon, Part
from walkround.narration.model import DefectRow, Reading, Row

State = Literal["finding", "clear", "named", "not-mentioned"]
EVIDENCE_AT_MOST = 6


@dataclass(slots=True)
class Item:
    """One row: a part, its side where it has sides, and the rows that speak of it, best first."""

    part: str
    side: str | None
    group: str
    state: State
    review: str | None = None
    evidence: list[Row] = field(default_factory=list)


def checklist(lexicon: Lexicon, reading: Reading) -> list[Item]:
    """A row for each part in the order of the lexicon. A part with a finding is never clear."""
    items: list[Item] = []
    for part in lexicon.parts.values():
        items.extend(_rows(part, reading))
    return items


def _of(rows: Iterable[Row], part: str) -> list[Row]:
    return [r for r in rows if r.part == part]


def _rows(part: Part, reading: Reading) -> list[Item]:
    findings, good, named = (_of(rows, part.id) for rows in (reading.findings, reading.verdicts, reading.named))
    doubted = _of(reading.doubted, part.id)
    named = [*named, *_of(reading.repaired, part.id), *_of(reading.withdrawn, part.id)]
    if not part.sided:
        return [_doubt(_item(part, None, findings, good, named), doubted)]
    sides = {
        side: _item(part, side, _on(findings, side), _on(good, side), _on(named, side)) for side in ("left", "right")
    }
    for side, item in sides.items():
        _doubt(item, [r for r in doubted if r.side in (side, "both", None)])
    left, right = sides["left"], sides["right"]
    if any(r.side is None for r in (*findings, *good, *named)):
        return _with_loose(part, sides, doubted, _only(findings), _only(good), _only(named))
    if left.state == right.state and [_key(r) for r in left.evidence] == [_key(r) for r in right.evidence]:
        left.side = "both"
        return [left]
    return [left, right]


def _doubt(item: Item, doubted: list[Row]) -> Item:
    """A part is not clear where words that may speak of a fault were not understood."""
    if item.state == "clear" and doubted:
        item.state = "named"
        item.review = f"these words may speak of a fault: “{doubted[0].quote}”"
    return item


def _with_loose(
    part: Part,
    sides: dict[str, Item],
    doubted: list[Row],
    findings: list[Row],
    good: list[Row],
    named: list[Row],
) -> list[Item]:
    """Rows of a sided part of which something was said without a side: one for that, one a side spoken of."""
    whole = _doubt(_item(part, None, findings, good, named), doubted)
    for item in sides.values():
        if findings and item.state == "clear":
            item.state = "named"
            item.review = "a fault of this part was spoken of without saying on which side"
    if whole.state == "clear" and any(i.state == "finding" for i in sides.values()):
        whole.state = "named"
        whole.review = "a good word without a side, and a fault on one side"
    spoken = [i for i in sides.values() if i.state != "not-mentioned"]
    if spoken and whole.state == "named" and not whole.review:  # the sides say more
        return list(sides.values())
    return [whole, *spoken]


def _key(row: Row) -> tuple[str, int, float]:
    return row.quote, row.source, row.start


def _on(rows: Iterable[Row], side: str) -> list[Row]:
    return [r for r in rows if r.side in (side, "both")]


def _only(rows: Iterable[Row]) -> list[Row]:
    return [r for r in rows if r.side is None]


def _item(part: Part, side: str | None, findings: list[Row], good: list[Row], named: list[Row]) -> Item:
    state: State = "finding" if findings else "clear" if good else "named" if named else "not-mentioned"
    evidence: list[Row] = []
    for row in (*findings, *good, *named):
        if all(_key(row) != _key(e) for e in evidence):
            evidence.append(row)
    item = Item(part.id, side, part.group, state, evidence=evidence[:EVIDENCE_AT_MOST])
    if findings and good and not all(isinstance(f, DefectRow) and f.tentative for f in findings):
        later = [g for g in good if all(g.quote != f.quote for f in findings)]
        if later:
            item.review = "a fault and a good word were both spoken of this part"
    return item
