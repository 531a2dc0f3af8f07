"""What is said next of a fault just told and is no further one: what follows from it, and what may lie behind it.

"There's oil on the leg. I wiped it and it's come back, so the seal's on its way out." "There's bubbles in the paint.
Could be rust, could be the clear coat." "It's split, and I've put a dab of glue on it." "The strap's gone, there's just
two holes where it should be." "A scrape, down to the metal."
"""

from spacy.tokens import Doc

from walkround.narration.grammar import (
    SEQUEL_BEEN,
    SEQUEL_DEEP,
    SEQUEL_HOLES,
    SEQUEL_LEFT,
    SEQUEL_LOW,
    SEQUEL_MAY,
    SEQUEL_MENDING,
    SEQUEL_PLACE,
    SEQUEL_SO,
    SEQUEL_STOOD,
)
from walkround.narration.model import DefectRow
from walkround.narration.told import Statement

#: How far back (tokens) lies the fault that "so" and "could be" speak of.
REACH = 35
#: How far back (tokens) lies the fault that was patched, or whose depth is told.
CLOSE = 25
#: A row that was copied may stand so many tokens out of order.
ASTRAY = 200
#: How far behind "holes" (tokens) "where it should be" may stand.
PLACE_REACH = 9
#: Faults of the working, of which a cause is supposed.
_WORKING = ("not-working", "loose", "noise", "leak", "misaligned")
#: Faults that people patch with glue or tape.
_PATCHED = ("crack", "broken", "tear", "missing", "loose", "peeling", "leak", "perished")
_OF_SURFACE = ("scratch", "scuff", "mark", "paint-chip", "stone-chip", "dent", "wear", "crack")
#: Faults that are in one place.
_SPOTS = ("scratch", "scuff", "mark", "paint-chip", "stone-chip", "dent", "crack", "tear", "corrosion", "stain")
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


def supposed_behind(
    doc: Doc, statement: Statement, rows: list[DefectRow], akin: list[set[str]], asked: list[DefectRow]
) -> bool:
    """Whether the words suppose what lies behind a fault of the working: "bulb must be gone", "I think the threads
    have gone". ``asked``: what was put to a person so far."""
    said = statement.said
    clause, stop = doc._.clauses.span_of(said.start, 1)
    guesses = doc._.terms.within("guess.phrases", clause, stop)
    if not guesses or any(doc[i].text in ("another", "also", "too") for i in range(clause, stop)):
        return False
    named = statement.mention is not None and statement.mention.start >= clause and not statement.mention.weak
    lamp = any(t.part == "lights-working" for t in statement.targets)  # "bulb must be gone", of whichever lamp it is
    named = named and not any(s <= clause + 1 and doc[e - 1].text in ("be", "the", "a") for s, e in guesses)
    told = recent(rows, said.start, REACH) if lamp else _told(statement, rows, akin)
    told = [row for row in told if row.defect in _WORKING]
    told += [row for row in asked if statement.start <= row.at < clause and row.defect == "mark"]
    return (lamp or not named) and any(row.at < clause for row in told)


def goes_with(doc: Doc, statement: Statement, rows: list[DefectRow]) -> str | None:
    """What the words tell of a fault of the same part just told: how it was patched, what is left in the place of
    what is gone, how deep or where it is. None where they may tell of another fault."""
    said = statement.said
    near = [row for row in _told(statement, rows, []) if said.start - row.at <= CLOSE and _one_side(statement, row)]
    if not near:
        return None
    words = [token.text for token in doc[said.start : said.end]]
    after = [token.text for token in doc[said.end : said.end + PLACE_REACH]]
    together = doc._.clauses.span_of(said.start)[0] <= near[-1].at
    clause = doc._.clauses.span_of(said.start, 1)[0]
    if statement.mention is not None and statement.mention.start >= clause and not statement.mention.weak:
        return None
    if any(row.defect == "missing" for row in near) and set(words) & SEQUEL_LEFT and _where_it_was(after):
        return "what is left where the missing thing was"
    patched = any(row.defect in _PATCHED for row in near)
    if patched and {*words, *after[:2]} & SEQUEL_MENDING and said.id in ("residue", "mark", "loose", "broken"):
        return "how the fault just told was patched up"
    if not together:
        return None
    if set(words) & SEQUEL_DEEP and words[-1] not in ("groove", "line") and near[-1].defect in _OF_SURFACE:
        return "how deep the fault just told is"
    if words[-1] in SEQUEL_LOW and said.id == "wear" and near[-1].defect in _SPOTS:
        return "where the fault just told is"
    return None


def _where_it_was(after: list[str]) -> bool:
    """ "... where it should be", "where the badge was"."""
    if "where" not in after:
        return False
    rest = after[after.index("where") + 1 :]
    return bool(set(rest[:4]) & SEQUEL_PLACE or set(rest[1:5]) & SEQUEL_STOOD)


def _one_side(statement: Statement, row: DefectRow) -> bool:
    sides = {t.side for t in statement.targets if t.part == row.part}
    return row.side is None or None in sides or row.side in sides or "both" in sides


def _told(statement: Statement, rows: list[DefectRow], akin: list[set[str]]) -> list[DefectRow]:
    """The faults of the same part, or of a piece of it, told a moment ago."""
    near = recent(rows, statement.said.start, REACH)
    if not near:
        return []
    parts = {t.part for t in statement.targets}
    parts |= {part for group in akin if group & parts for part in group}
    return [row for row in near if row.part in parts]


def recent(rows: list[DefectRow], at: int, reach: int) -> list[DefectRow]:
    """The rows at so many tokens before a token, in order. Rows stand nearly in order of the talk."""
    near = []
    for row in reversed(rows):
        if at - row.at > reach + ASTRAY:
            break
        if 0 < at - row.at <= reach:
            near.append(row)
    return near[::-1]
