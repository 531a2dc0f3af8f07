"""A fault that is there after all, in some other place: "No rust on the frame. On the swingarm there's some"."""

from dataclasses import replace

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.grammar import ECHOES_SOME
from walkround.narration.polarity import Said
from walkround.narration.told import Statement

#: How far back (tokens) the fault may have been denied or asked after.
REACH = 60


def there(doc: Doc, start: int, at: int) -> bool:
    """Whether "there's", "there's a" or "there's just" stands right before token ``at``."""
    lead = [doc[k].text for k in range(max(start, at - 3), at)]
    return lead[-2:-1] == ["there"] or (lead[-3:-2] == ["there"] and lead[-1] in ("a", "just", "only"))


def told_after(doc: Doc, before: Said, said: list[Said], linking: set[int]) -> int | None:
    """ "No rust on the frame. On the swingarm there's some", "Any dents? One, in the tank": where the amount stands."""
    clauses: Clauses = doc._.clauses
    start = clauses.span_of(before.start)[1]
    asked = start < len(doc) and doc._.tokens[start - 1].mark == "?"
    while start < len(doc) and clauses.span_of(start)[1] - start <= 2 and doc[start].text in ("no", "nope", "none"):
        start = clauses.span_of(start)[1]  # "Any on the frame? No. There's some on the exhaust."
    if start >= len(doc) or clauses.before[start] >= 3 or before.id == "missing":
        return None
    end = clauses.span_of(start)[1]
    states = [s for s in said if start <= s.start < end and s.kind in ("defect", "good")]
    states = [s for s in states if doc[s.start].text not in ECHOES_SOME]  # "on the swingarm there's plenty"
    if states or not (asked or before.status == "denied"):
        return None
    for i in range(start, min(end, start + 9)):
        if doc[i].text not in ECHOES_SOME:
            continue
        lead = [doc[k].text for k in range(start, i)]
        told = there(doc, start, i) or (lead[-1:] in (["has"], ["got"], ["have"]) and clauses.ends_at(i + 1))
        answers = asked and set(lead) <= {"a", "just", "only", "the", "well", "yes", "yeah", "aye", "there", "'s", "is"}
        loose = clauses.ends_at(i + 1) or i + 1 in linking or doc[i + 1].text in ("just", "here", "there")
        if (told or answers) and loose:
            return i
    return None


def of_what_was_denied(statement: Statement, earlier: list[Statement]) -> list[Statement]:
    """The same of a fault that was denied or asked after in the sentence before, of the part named now."""
    faults = [s for s in earlier if s.said.kind == "defect" and s.said.id == statement.said.id]
    named = statement.mention is not None and statement.mention.start >= statement.start
    if not faults or not named or not statement.targets or statement.said.start - faults[-1].said.end > REACH:
        return []
    before = faults[-1]
    if before.said.status != "denied":
        if before.targets:
            return []  # "Any rust on the frame? Some." was taken as said of the frame
        before.said.status = "unreal"
    said = replace(before.said, start=statement.said.start, end=statement.said.end, status="said", cues=[])
    return [replace(statement, said=said, how="again")]
