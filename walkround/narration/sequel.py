"""What is said next of a fault just told and is no further one: what follows from it, and what may lie behind it.

"There's oil on the leg. I wiped it and it's come back, so the seal's on its way out." "There's bubbles in the paint.
Could be rust, could be the clear coat."
"""

from spacy.tokens import Doc

from walkround.narration.grammar import SEQUEL_BEEN, SEQUEL_HOLES, SEQUEL_MAY, SEQUEL_SO
from walkround.narration.model import DefectRow
from walkround.narration.told import Statement

#: How far back (tokens) lies the fault that "so" and "could be" speak of.
REACH = 35
#: Faults that are the end of a story ("so the seal's had it").
_ENDS = ("wear", "broken", "not-working", "mark")


def follows(doc: Doc, statement: Statement, rows: list[DefectRow], akin: list[set[str]]) -> bool:
    """Whether the words only say what the fault just told amounts to: "so the seal's on its way out"."""
    said = statement.said
    if _empty_place(doc, statement) and any(row.defect == "missing" for row in _told(statement, rows, akin)):
        return True
    clause = doc._.clauses.span_of(said.start, 1)[0]
    if doc[clause].text not in SEQUEL_SO or said.id not in _ENDS:
        return False
    return any(row.defect != said.id for row in _told(statement, rows, akin))


def _empty_place(doc: Doc, statement: Statement) -> bool:
    """ "The strap's gone, there's just the two holes where it should be": what shows that it is gone."""
    said = statement.said
    following = [doc[i].text for i in range(said.end, min(len(doc), said.end + 5))]
    hole = bool(SEQUEL_HOLES & {doc[i].text for i in range(said.start, said.end)})
    return hole and following[:1] == ["where"] and bool(SEQUEL_BEEN & set(following))


def may_be_behind(doc: Doc, statement: Statement, rows: list[DefectRow], akin: list[set[str]]) -> bool:
    """Whether the words only guess at what the fault just told is: "could be rust under there"."""
    said = statement.said
    if statement.how not in ("focus", "before") or said.start < 2:
        return False
    lead = doc[said.start - 2].text, doc[said.start - 1].text
    may = lead[0] in SEQUEL_MAY and lead[1] == "be"
    may = may or (doc[said.start - 3].text in SEQUEL_MAY and lead in (("just", "be"), ("be", "a"), ("be", "some")))
    return may and any(row.defect not in (said.id, "mark") for row in _told(statement, rows, akin))


def _told(statement: Statement, rows: list[DefectRow], akin: list[set[str]]) -> list[DefectRow]:
    """The faults of the same part, or of a piece of it, told a moment ago."""
    parts = {t.part for t in statement.targets}
    kin = {part for group in akin if group & parts for part in group}
    return [row for row in rows if row.part in parts | kin and 0 < statement.said.start - row.at <= REACH]
