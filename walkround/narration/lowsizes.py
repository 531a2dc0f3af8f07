"""Sizes that speak of wear by themselves: "rear's down to one point eight", "pads, two mil".

What counts as little left is in ``lexicon/measures.toml``. Such a row always asks for a person's look, since the
narrator gave the figure and not the word.
"""

from collections.abc import Iterable

from spacy.tokens import Doc

from walkround.narration.figures import Measured
from walkround.narration.lexicon import Lexicon
from walkround.narration.model import DefectRow, Reading, Step
from walkround.narration.text import quote, times
from walkround.narration.told import Told

#: A fault of the same part that already tells of the wear.
_TOLD = frozenset(("wear", "perished"))


#: A figure no further than this above the limit that was said is at the limit (units of the figure).
AT_LIMIT = 0.15


def read_low_sizes(doc: Doc, lexicon: Lexicon, told: Told, measures: list[Measured], reading: Reading) -> None:
    """Add a finding of wear where a depth or thickness was said that leaves little."""
    low = lexicon.trees["measures.toml"]["low"]
    parts = {part: kind for kind, family in low["families"].items() for part in _members(lexicon, family)}
    for statement in told.statements:
        if statement.said.kind != "measure":
            continue
        measured = measures[int(statement.said.id)]
        for target in statement.targets:
            kind = parts.get(target.part)
            if kind is None or isinstance(measured.value, str) or measured.unit is None:
                continue
            least = low["at_most"].get(kind, {}).get(measured.unit, 0.0)
            limit = least if measured.limit is None else max(least, measured.limit + AT_LIMIT)
            if measured.value > limit:
                continue
            told_of = [(row.part, row.defect) for row in reading.findings]
            told_of += [(row.part, row.defect) for row in reading.withdrawn]
            if any(part == target.part and defect in _TOLD for part, defect in told_of):
                continue
            start, end = times(doc, statement.start, statement.end)
            row = DefectRow(
                quote(doc, statement.start, statement.end), start, end, target.part, target.side,
                defect="wear", severity="moderate", at=measured.start, confidence=0.7,
            )  # fmt: skip
            words = quote(doc, measured.start, measured.end)
            row.review = f"“{words}” leaves little, but the narrator does not call it worn"
            row.trace = [Step("size", words, f"little left: {kind}")]
            reading.findings.append(row)


def _members(lexicon: Lexicon, families: Iterable[str]) -> Iterable[str]:
    return [part for family in families for part in lexicon.families[family].members.values()]
