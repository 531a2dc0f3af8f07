"""Where a narration says two things of one part that cannot both hold, or two films do not agree."""

from dataclasses import dataclass
from itertools import combinations

from walkround.checklist.items import Checklist
from walkround.narration.lexicon import Lexicon
from walkround.narration.model import DefectRow, FactRow, Reading, Row, Settled, SizeRow, Verdict

#: Praise this close before or after a fault (s) of the same film is one breath: "lovely, apart from a scratch".
ONE_BREATH = 20.0
#: Mileages of two films may differ by this many (the bike was ridden between them). Our own choice.
RIDDEN = 50
#: Figures of two films of the same part may differ by this share, since they are read by eye. Our own choice.
READ_BY_EYE = 0.25
#: Facts by which two films can be seen not to be of one bike.
FACT_NAMES = {"mileage": "mileage", "plate_age": "age of the plate", "year": "year"}


@dataclass(frozen=True)
class Contradiction:
    """What two rows say of one thing. ``about`` is in plain words; ``part`` is None for the whole bike."""

    about: str
    text: str
    part: str | None
    rows: tuple[Row, ...]


def contradictions(lexicon: Lexicon, checklist: Checklist, reading: Reading) -> list[Contradiction]:
    """All of them, in order of the talk."""
    found: list[Contradiction] = []
    for finding in reading.findings:
        if finding.part is None or finding.tentative:
            continue
        for verdict in reading.verdicts:
            if _meet(verdict, finding) and _against(lexicon, checklist, verdict, finding):
                found.append(_two_ways(lexicon, verdict, finding))
                break
    found = list({tuple((row.quote, row.source, row.start) for row in c.rows): c for c in found}.values())
    found += [_settled(lexicon, row) for row in reading.settled]
    for facts in reading.further_facts:
        found += [_fact(*dispute) for dispute in facts_disagree(reading.facts, facts)]
    found += [_figures(lexicon, a, b) for a, b in combinations(reading.measurements, 2) if _disagree(a, b)]
    return found


def facts_disagree(first: dict[str, FactRow], second: dict[str, FactRow]) -> list[tuple[str, FactRow, FactRow]]:
    """Facts of two films that cannot be of one bike: (name, first, second)."""
    found = []
    for key in FACT_NAMES:
        one, two = first.get(key), second.get(key)
        if one is None or two is None or one.value == two.value:
            continue
        if key == "mileage" and _near(first, second):
            continue
        found.append((key, one, two))
    return found


def _near(first: dict[str, FactRow], second: dict[str, FactRow]) -> bool:
    one, two = first["mileage"].value, second["mileage"].value
    if isinstance(one, str) or isinstance(two, str):
        return False
    return 0 <= two - one <= RIDDEN


def _meet(one: Row, two: Row) -> bool:
    """Same part and same side. A side that was not said may be the other one, so it speaks against no side."""
    return one.part == two.part and (
        one.side == two.side or (None not in (one.side, two.side) and "both" in (one.side, two.side))
    )


def _against(lexicon: Lexicon, checklist: Checklist, verdict: Verdict, finding: DefectRow) -> bool:
    if verdict.quote == finding.quote and verdict.source == finding.source:
        return False
    near = max(verdict.start - finding.end, finding.start - verdict.end) < ONE_BREATH
    if verdict.source == finding.source and near:
        return False
    said = " ".join(lexicon.fold(verdict.quote))
    if lexicon.says(said, "joining.exceptions"):  # "all perfect, bar that mudguard"
        return False
    denied = {defect.id for defect in lexicon.defects.values() if lexicon.holds(said, defect.forms)}
    denied |= {
        defect
        for defect, words in lexicon.trees["phrases.toml"]["good"]["denied"].items()
        if lexicon.holds(said, words)
    }
    if not denied:  # plain praise speaks against any fault
        return True
    covered = denied | {other for defect in denied for other in checklist.denies.get(defect, ())}
    return finding.defect in covered


def _two_ways(lexicon: Lexicon, verdict: Verdict, finding: DefectRow) -> Contradiction:
    name = lexicon.parts[finding.part or ""].name
    side = f", {finding.side}-hand" if finding.side in ("left", "right") else ""
    rows: tuple[Row, ...] = tuple(sorted((verdict, finding), key=lambda row: (row.source, row.start)))
    text = "A good word and a fault were both spoken of it, at different times; the fault is kept. Which holds?"
    return Contradiction(f"{name}{side}", text, finding.part, rows)


def _settled(lexicon: Lexicon, row: Settled) -> Contradiction:
    end = "was put right" if row.how == "mended" else "was said by mistake"
    text = f"A later film says that this fault {end}, so it is no longer among the findings. Is that so?"
    name = lexicon.parts[row.finding.part or ""].name
    return Contradiction(name, text, row.finding.part, (row.finding, row.later))


def _fact(key: str, one: FactRow, two: FactRow) -> Contradiction:
    rows = tuple(Row(fact.quote, fact.start, fact.start, source=fact.source) for fact in (one, two))
    text = f"Two films do not agree: {one.value} and {two.value}. Are they of the same bike?"
    return Contradiction(FACT_NAMES[key], text, None, rows)


def _disagree(one: SizeRow, two: SizeRow) -> bool:
    same = (one.part, one.side, one.quantity, one.unit) == (two.part, two.side, two.quantity, two.unit)
    if not same or one.part is None or one.source == two.source:
        return False
    if isinstance(one.value, str) or isinstance(two.value, str):
        return one.value != two.value
    return abs(one.value - two.value) > READ_BY_EYE * max(abs(one.value), abs(two.value))


def _figures(lexicon: Lexicon, one: SizeRow, two: SizeRow) -> Contradiction:
    name = lexicon.parts[one.part or ""].name
    return Contradiction(
        f"{name}, {one.quantity}", "Two films give different figures for it. Which holds?", one.part, (one, two)
    )
