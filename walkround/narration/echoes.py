"""Words that repeat or answer what was said before: "this one hasn't", "the same on the other side"."""

from collections.abc import Iterator
from dataclasses import replace

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.focus import Target, flipped
from walkround.narration.grammar import ECHOES_SOME, ECHOES_TURNING
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms
from walkround.narration.polarity import Said
from walkround.narration.sides import SideWord
from walkround.narration.told import Statement, Told

#: How far back (tokens) an answer can look for what it answers.
ANSWER_REACH = 60
_NOT_ECHO = frozenset(("as well", "too"))


def echo_events(doc: Doc) -> Iterator[Said]:
    """Events for the attacher: denials that stand alone, and words for "the same"."""
    terms: Terms = doc._.terms
    clauses: Clauses = doc._.clauses
    states = {i for t in terms.states for i in range(t.start, t.end)}
    taken = {i for c in ("denial.not_denial", "excluded.phrases") for s, e in terms.cue(c) for i in range(s, e)}
    for start, end in terms.cue("denial.alone"):
        if start and doc[start - 1].text in ("i", "we", "you"):
            continue
        if clauses.ends_at(end) and end - 1 not in states and start not in taken and not _runs_on(doc, clauses, end):
            yield Said("alone", "alone", start, end, form=doc[start:end].text)
    for start, end in terms.cue("joining.same"):
        asked = doc._.tokens[clauses.span_of(start)[1] - 1].mark == "?"
        weak = doc[start:end].text in _NOT_ECHO and not _bare_one(doc, clauses, start, states)
        if not weak and start not in states and not asked:
            yield Said("same", "same", start, end, form=doc[start:end].text)
    cued = {i for s, e in terms.cue("joining.same") for i in range(s, e)}
    named = {t.end for t in terms.things}
    folds: list[str] = doc._.folds
    for i in range(1, len(doc)):  # "Gear lever, same."
        if folds[i] != "same":
            continue
        after = i in named or folds[i - 1] in ("left", "right", "one", "front", "rear", "back")
        if after and i not in cued and clauses.before[i] and clauses.ends_at(i + 1):
            yield Said("same", "same", i, i + 1, form="same")


def _bare_one(doc: Doc, clauses: Clauses, index: int, states: set[int]) -> bool:
    """ "..., the right one as well": nothing else is said of it."""
    start = clauses.span_of(index, 1)[0]
    stands = index > start and doc[index - 1].text in ("one", "left", "right", "other", "front", "back", "rear")
    return stands and index - start <= 4 and clauses.before[start] == 1 and not states & set(range(start, index))


def again_events(doc: Doc, said: list[Said]) -> Iterator[Said]:
    """ "A dent on the tank and another on the silencer", "no dents, except one by the cap"."""
    terms: Terms = doc._.terms
    linking = {s for s, _ in terms.cue("joining.linking", "joining.where")}
    spans = list(terms.cue("joining.exceptions"))
    exceptions = {e for _, e in spans} | {i for s, e in spans for i in range(s + 1, e)}  # "just the one here"
    defects = [s for s in said if s.kind == "defect"]
    for number, before in enumerate(defects):
        following = defects[number + 1].start if number + 1 < len(defects) else len(doc)
        stop = min(doc._.clauses.span_of(before.start)[1], following, before.end + ANSWER_REACH)
        for i in range(before.end, stop):
            turned = before.status == "denied" and i + 1 in linking and _there(doc, before.end, i)
            if turned and doc[i].text in ECHOES_SOME:
                yield Said("again", before.id, i, i + 1, form=before.form)
                break  # "no rust on the chain, but there's some on the sprocket"
            if doc[i].text not in ("one", "another") or any(s.start == i + 1 for s in said):
                continue  # "except for this one chip"
            excepted = any(k in exceptions for k in range(max(before.end, i - 4), i + 1))
            linked = i + 1 in linking or (i + 2 in linking and doc[i + 1].text in ("just", "there", "here", "more"))
            has_one = (
                doc[i].text == "one" and doc[i - 1].text in ("has", "got", "have") and doc._.clauses.ends_at(i + 1)
            )
            if (before.status == "denied" and (excepted or has_one)) or (
                before.status == "said" and linked and not excepted
            ):
                yield Said("again", before.id, i, i + 1, form=before.form)
                break
        else:
            at = _told_after(doc, before, said, linking)
            if at is not None:
                yield Said("again", before.id, at, at + 1, form=before.form)


def _there(doc: Doc, start: int, at: int) -> bool:
    """Whether "there's", "there's a" or "there's just" stands right before token ``at``."""
    lead = [doc[k].text for k in range(max(start, at - 3), at)]
    return lead[-2:-1] == ["there"] or (lead[-3:-2] == ["there"] and lead[-1] in ("a", "just", "only"))


def _told_after(doc: Doc, before: Said, said: list[Said], linking: set[int]) -> int | None:
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
    if states or not (asked or before.status == "denied"):
        return None
    for i in range(start, min(end, start + 9)):
        if doc[i].text not in ECHOES_SOME:
            continue
        lead = [doc[k].text for k in range(start, i)]
        there = _there(doc, start, i) or (lead[-1:] in (["has"], ["got"], ["have"]) and clauses.ends_at(i + 1))
        answers = asked and set(lead) <= {"a", "just", "only", "the", "well", "yes", "yeah", "aye", "there", "'s", "is"}
        loose = clauses.ends_at(i + 1) or i + 1 in linking or doc[i + 1].text in ("just", "here", "there")
        if (there or answers) and loose:
            return i
    return None


def _runs_on(doc: Doc, clauses: Clauses, end: int) -> bool:
    return end in clauses.openers and not doc._.tokens[end - 1].mark


def read_echoes(doc: Doc, lexicon: Lexicon, sides: list[SideWord], told: Told) -> None:
    """Turn the echo statements of ``told`` into statements of their own, in place."""
    out: list[Statement] = []
    for statement in told.statements:
        kind = statement.said.kind
        if kind == "alone":
            out.extend(_answer(doc, statement, out))
        elif kind == "again":
            out.extend(_again(statement, out))
        elif kind == "same":
            out.extend(_same(doc, lexicon, statement, told, out, sides))
        else:
            out.append(statement)
    told.statements = out


def _answer(doc: Doc, statement: Statement, earlier: list[Statement]) -> list[Statement]:
    """ "The speedo works. The rev counter doesn't." denies the good word; "This hasn't" denies the defect."""
    at = statement.said.start
    for before in reversed(earlier):
        if at - before.said.end > ANSWER_REACH:
            return []
        if before.said.kind not in ("defect", "good"):
            continue
        if before.said.kind == "defect" and before.said.status == "denied" and before.targets == statement.targets:
            return []
        if before.said.kind == "good" and statement.said.form.startswith("there"):
            return []  # "right one's fine. Left one, there isn't one": the thing itself is not there
        stands = before.said.kind == "good" or before.said.status == "said"
        contrast = (
            before.said.kind == "good"
            and before.said.form in ("work", "works", "working", "all work")
            and statement.how == "subject"
            and (statement.start == before.start or doc[statement.start].text in ECHOES_TURNING)
        )  # "the horn works, but the left indicator doesn't"
        if stands and not contrast and not _akin(before, statement):
            return []
        said = replace(
            before.said, start=at, end=statement.said.end, status="denied", tentative=False,
            cues=[("denial.alone", at, statement.said.end)],
        )  # fmt: skip
        return [replace(statement, said=said)]
    return []


def _again(statement: Statement, earlier: list[Statement]) -> list[Statement]:
    """The same defect once more: of the part that follows, or of the part that was called free of it."""
    before = [s for s in earlier if s.said.kind == "defect" and s.start == statement.start]
    if not before:
        return _further(statement, earlier)
    denied = before[-1].said.status == "denied"
    if not denied and statement.how != "forward":
        return []
    said = replace(before[-1].said, start=statement.said.start, end=statement.said.end, status="said", cues=[])
    own = statement.how in ("forward", "subject") and statement.targets
    targets = statement.targets if own else before[-1].targets
    return [replace(statement, said=said, targets=list(targets), how="again")]


def _further(statement: Statement, earlier: list[Statement]) -> list[Statement]:
    """The same of a fault that was denied or asked after in the sentence before, of the part named now."""
    faults = [s for s in earlier if s.said.kind == "defect" and s.said.id == statement.said.id]
    named = statement.mention is not None and statement.mention.start >= statement.start
    if not faults or not named or not statement.targets or statement.said.start - faults[-1].said.end > ANSWER_REACH:
        return []
    before = faults[-1]
    if before.said.status != "denied":
        if before.targets:
            return []  # "Any rust on the frame? Some." was taken as said of the frame
        before.said.status = "unreal"
    said = replace(before.said, start=statement.said.start, end=statement.said.end, status="said", cues=[])
    return [replace(statement, said=said, how="again")]


def _akin(before: Statement, statement: Statement) -> bool:
    """A good word is denied only of the same part, and soon after."""
    parts = {t.part for t in statement.targets}
    return bool(parts & {t.part for t in before.targets}) and statement.said.start - before.said.end < 30


def _same(
    doc: Doc,
    lexicon: Lexicon,
    statement: Statement,
    told: Told,
    earlier: list[Statement],
    sides: list[SideWord],
) -> list[Statement]:
    said = statement.said
    own = [s for s in told.statements if s.start == statement.start and s.said.kind in ("defect", "good")]
    near = [w for w in sides if said.start <= w.start <= said.end + 3 and not w.void]
    after = [s for s in own if s.said.start > said.end]
    before = [s for s in own if s.said.end <= said.start]
    if before and statement.mention and statement.mention.start >= before[-1].said.end and not after:
        return [_copied(statement, s, statement.targets) for s in before if _worth(s)]  # "..., right one the same"
    if after and said.form.startswith("and the other"):
        return []  # "..., and the other one's got a broken catch": it has a fault of its own
    if near and near[0].value in ("both", "left", "right", "other") and (before or not statement.mention):
        source = before or _last_group(earlier, said.start)
        return [_copied(statement, s, _sided(lexicon, s.targets, near[0].value)) for s in source if _worth(s)]
    if after or before or statement.how not in ("subject", "selector", "before") or not statement.targets:
        return []
    if near and near[0].value == "other":
        wanted = {(t.part, flipped(t.side)) for t in statement.targets}
        source = [s for s in earlier if any((t.part, t.side) in wanted for t in s.targets)]
    else:
        source = _last_group(earlier, said.start)
    return [_copied(statement, s, statement.targets) for s in source if _worth(s)]


def _worth(statement: Statement) -> bool:
    return statement.said.kind in ("defect", "good") and statement.said.status in ("said", "denied")


def _last_group(earlier: list[Statement], at: int) -> list[Statement]:
    """The statements of the last sentence that said anything."""
    real = [s for s in earlier if s.said.kind in ("defect", "good") and at - s.said.end <= ANSWER_REACH]
    return [s for s in real if s.start == real[-1].start and s.targets == real[-1].targets] if real else []


def _sided(lexicon: Lexicon, targets: list[Target], value: str) -> list[Target]:
    return [
        Target(t.part, flipped(t.side) if value == "other" else value) if lexicon.parts[t.part].sided else t
        for t in targets
    ]


def _copied(statement: Statement, source: Statement, targets: list[Target]) -> Statement:
    at = statement.said
    said = replace(source.said, start=at.start, end=at.end, cues=[*source.said.cues, ("the same", at.start, at.end)])
    return replace(statement, said=said, targets=list(targets), how="copied")
