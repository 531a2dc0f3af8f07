"""Words that repeat or answer what was said before: "this one hasn't", "the same on the other side"."""

from collections.abc import Iterator
from dataclasses import replace

from spacy.tokens import Doc

from walkround.narration.afterall import of_what_was_denied, there, told_after
from walkround.narration.clauses import Clauses
from walkround.narration.focus import Target, flipped
from walkround.narration.grammar import (
    ECHOES_AFTER_ALL,
    ECHOES_AMOUNTS,
    ECHOES_LEAD,
    ECHOES_OF_IT,
    ECHOES_ONES,
    ECHOES_SOME,
)
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms
from walkround.narration.polarity import Said
from walkround.narration.sides import SideWord
from walkround.narration.told import Statement, Told

#: How far back (tokens) an answer can look for what it answers.
ANSWER_REACH = 60
#: "And there's another one on ...": within so many tokens of the head of a sentence.
FURTHER_REACH = 7
#: A contrast in a sentence of its own follows within so many tokens.
NEXT_REACH = 5
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
    for i in range(1, len(doc)):  # "The left one's scratched, the right one not."
        bare = doc[i].text in ("not", "won't") and clauses.ends_at(i + 1) and doc[i - 1].text in ECHOES_ONES
        if bare and clauses.span_of(i, 1)[0] >= i - 4 and i not in states and i not in taken:
            yield Said("alone", "alone", i, i + 1, form=doc[i].text)
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
        after = i in named or folds[i - 1] in ECHOES_ONES
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
        end = doc._.clauses.span_of(before.start)[1]
        stop = min(end, following, before.end + ANSWER_REACH)
        for i in range(before.end, stop):
            turned = before.status == "denied" and i + 1 in linking and there(doc, before.end, i)
            if turned and doc[i].text in ECHOES_SOME:
                yield Said("again", before.id, i, i + 1, form=before.form)
                break  # "no rust on the chain, but there's some on the sprocket"
            if doc[i].text not in ("one", "another", "more") or any(s.start == i + 1 for s in said):
                continue  # "except for this one chip"
            excepted = any(k in exceptions for k in range(max(before.end, i - 4), i + 1))
            linked = doc[i].text != "more" and (
                i + 1 in linking or (i + 2 in linking and doc[i + 1].text in ("just", "there", "here", "more"))
            )
            linked = linked or _more_on(doc, i, linking)
            denied = doc[i].text != "more" and before.status == "denied" and excepted
            if denied or (before.status == "said" and linked and not excepted):
                yield Said("again", before.id, i, i + 1, form=before.form)
                break
        else:
            last = stop == end and before.status == "said"
            further = _further(doc, end, linking) if last else None
            if before.status == "denied" and stop == end:
                further = _after_all(doc, end)
            if further is None:
                further = told_after(doc, before, said, linking)
            if further is not None and not any(s.start == further + 1 for s in said):
                yield Said("again", before.id, further, further + 1, form=before.form)


def _more_on(doc: Doc, index: int, linking: set[int]) -> bool:
    """ "Some more of it on the tail", "another one there on the silencer"."""
    if doc[index].text == "one" or (doc[index].text == "more" and doc[index - 1].text not in ECHOES_AMOUNTS):
        return False
    at = index + 1
    while at < len(doc) and doc[at].text in ECHOES_OF_IT and at not in linking and not doc._.clauses.before[at]:
        at += 1
    if at < len(doc) and doc[at].text == "of" and doc[at + 1].text in ("it", "that", "them", "the"):
        at += 3 if doc[at + 1 : at + 3].text == "the same" else 2
    while at < len(doc) and doc[at].text in ECHOES_OF_IT and at not in linking:
        at += 1
    return at in linking and at > index


def _further(doc: Doc, start: int, linking: set[int]) -> int | None:
    """ "And another one on the silencer": at the head of the sentence behind that with the fault."""
    for i in range(start, min(len(doc), start + FURTHER_REACH)):
        if doc[i].text in ("another", "more") and _more_on(doc, i, linking):
            return i
        if doc[i].text not in ECHOES_LEAD:
            return None
    return None


def _after_all(doc: Doc, start: int) -> int | None:
    """ "No scratches. Oh, hang on. One. Just there by the cap": the only one, told behind the denial."""
    for i in range(start, min(len(doc), start + FURTHER_REACH)):
        if doc[i].text == "one" and doc._.tokens[i].mark in (".", ",") and doc._.clauses.ends_at(i + 1):
            return i
        if doc[i].text not in ECHOES_AFTER_ALL:
            return None
    return None


def _runs_on(doc: Doc, clauses: Clauses, end: int) -> bool:
    return end in clauses.openers and not doc._.tokens[end - 1].mark


def read_echoes(doc: Doc, lexicon: Lexicon, sides: list[SideWord], told: Told) -> None:
    """Turn the echo statements of ``told`` into statements of their own, in place."""
    out: list[Statement] = []
    for statement in told.statements:
        kind = statement.said.kind
        if kind == "alone":
            out.extend(_answer(statement, out) or _does_not(doc, lexicon, statement, told))
        elif kind == "again":
            out.extend(_again(statement, out))
        elif kind == "same":
            out.extend(_same(doc, lexicon, statement, told, out, sides))
        else:
            out.append(statement)
    told.statements = out


def _answer(statement: Statement, earlier: list[Statement]) -> list[Statement]:
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
        contrast = (
            before.said.kind == "good"
            and before.said.form in ("work", "works", "working", "all work", "all works", "all working", "both work")
            and statement.how == "subject"
            and (statement.start == before.start or at - before.said.end <= NEXT_REACH)
        )  # "the horn works, but the left indicator doesn't"; "lights all work. The horn don't"
        if not contrast and not _akin(before, statement):
            return []
        said = replace(
            before.said, start=at, end=statement.said.end, status="denied", tentative=False,
            cues=[("denial.alone", at, statement.said.end)],
        )  # fmt: skip
        how = "copied" if before.said.kind == "good" and _other_of_two(before, statement) else statement.how
        return [replace(statement, said=said, how=how)]
    return []


def _other_of_two(before: Statement, statement: Statement) -> bool:
    """ "The left one locks and the right one doesn't": said outright of one by what the other does."""
    ones = [{(t.part, t.side) for t in s.targets} for s in (before, statement)]
    flip = {(part, flipped(side)) for part, side in ones[0] if side in ("left", "right")}
    return before.start == statement.start and bool(flip) and flip == ones[1]


def _does_not(doc: Doc, lexicon: Lexicon, statement: Statement, told: Told) -> list[Statement]:
    """ "The left one gets warm and the right one does not": one of two does not do what the other does."""
    here = statement.mention
    if here is None or statement.said.form not in ("does not", "doesn't", "do not", "don't", "will not", "won't"):
        return []
    before = [m for m in told.mentions if statement.start <= m.start < here.start]
    if not before or not {t.part for t in before[-1].targets} & {t.part for t in here.targets}:
        return []
    if {t.side for t in before[-1].targets} == {t.side for t in here.targets}:
        return []
    if not lexicon.says(doc[before[-1].end : here.start].text, "good.does"):
        return []
    said = replace(statement.said, kind="defect", id="not-working", status="said", generic=False)
    end = before[-1].end
    good = Said("good", "verb", end, end + 1, form=doc[end].text)
    does = replace(statement, said=good, targets=list(before[-1].targets), how="selector", mention=before[-1])
    return [does, replace(statement, said=said, how="copied")]


def _again(statement: Statement, earlier: list[Statement]) -> list[Statement]:
    """The same defect once more: of the part that follows, or of the part that was called free of it."""
    before = [s for s in earlier if s.said.kind == "defect" and s.start == statement.start]
    after_all = [] if before else of_what_was_denied(statement, earlier)
    if after_all:
        return after_all
    real = [s for s in earlier if s.said.kind in ("defect", "good")]
    behind = not before
    before = before or [s for s in real[-1:] if s.said.kind == "defect" and statement.start - s.end < FURTHER_REACH]
    if not before:
        return []
    denied = before[-1].said.status == "denied"
    if not denied and statement.how != "forward":
        return []
    said = replace(before[-1].said, start=statement.said.start, end=statement.said.end, status="said", cues=[])
    own = statement.how in ("forward", "subject") and statement.targets
    targets = statement.targets if own else before[-1].targets
    how = "copied" if behind and denied else "again"  # the words of the fault stand in the sentence before
    return [replace(statement, said=said, targets=list(targets), how=how)]


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
