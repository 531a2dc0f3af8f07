"""Joining the readings of several films of one walk-round into one.

Nothing of an earlier film is dropped because a later one speaks of the same part. A later film puts an earlier
fault right only where it says so of that fault, or of the whole part ("the chain has been replaced", "I was wrong
about it"); the fault then moves to what was repaired or taken back, and the pair is kept in ``settled`` for a person
to see. Where other work on the part is spoken of ("the bracket on the frame has been replaced"), the fault stays and
a person is asked.
"""

import re
from collections.abc import Iterator
from dataclasses import fields

from walkround.narration.lexicon import CHECKLIST, Lexicon
from walkround.narration.model import DefectRow, Reading, Row, Settled, TakenBack, Verdict

#: How near (s) in the later film the words that put something right may stand to those on the part. Our own choice.
SAID_WITH = 8.0
#: How the question begins that a kept fault gets from a later film's words.
DOUBT = "a later film says"
#: Words that only tell of what was said; they take nothing back. How the phrases of the lexicon begin.
_RECALLS = ("i said", "in the first")
_APART = ("facts", "further_facts", "settled")
#: Words of grammar between a part and what is said of it, in folded text.
_BEFORE_NOUN = frozenset("the this that these those a an our its my both whole entire old new left right".split())
_BEFORE_NOUN |= {"complete", "front", "rear", "hand", "side", "left-hand", "right-hand", "brand"}
_ON = frozenset("on of in at to under by for from off near behind beside with inside through between onto into".split())
_ON |= {"over", "above", "below", "beneath", "around", "along", "against", "and", "or", "that", "which"}
_ADVERB = "now|since|just|all|both|recently|also|finally|then|already"
_RENEWED = "replaced|renewed|changed|swapped|mended|repaired|fixed|rebuilt|refurbished"
_WAS_RENEWED = re.compile(
    rf"(?:and (?:the )?\S+ )?(?:has|have|'s|'ve) (?:(?:{_ADVERB}) )*been (?:(?:{_ADVERB}) )*(?:{_RENEWED})\b"
    rf"|(?:and (?:the )?\S+ )?(?:is|are|'s|'re) (?:(?:{_ADVERB}) )+(?:{_RENEWED}|new)\b"
)
_WAS_FITTED = re.compile(rf"(?:has|have|'s|'ve) (?:(?:{_ADVERB}) )*been (?:(?:{_ADVERB}) )*fitted\b")
_CLAUSE_ENDS = re.compile(r"(?:on )?(?:$|(?:and|but|so|as|since|now|for|because|too|with|last|this|today|it|they)\b)")
_IS = re.compile(r"(?:is|are|'s|'re|was|were|look|looks|has|have)\b")
#: Work that was not done, or not yet, or fault that is there still: a person is asked.
_NOT_DONE = frozenset("not never nor no will 'll need want going should could would ought still if unless".split())


def joined(readings: list[Reading], lexicon: Lexicon) -> Reading:
    """One reading of them all, in order; each row knows by ``source`` which film it is of.

    Findings are numbered as they were read, so that one keeps its number when an earlier one is settled.
    """
    first, *further = readings
    for source, reading in enumerate(further, 1):
        _join(first, reading, source)
    if further:
        for number, finding in enumerate(first.findings, 1):
            finding.number = number
        _settle(first, lexicon)
    return first


def _join(whole: Reading, reading: Reading, source: int) -> None:
    for fact in reading.facts.values():
        fact.source = source
    whole.further_facts.append(reading.facts)
    for key, fact in reading.facts.items():
        whole.facts.setdefault(key, fact)
    for field in fields(Reading):
        if field.name in _APART:
            continue
        rows = getattr(reading, field.name)
        for row in rows:
            row.source = source
        getattr(whole, field.name).extend(rows)


def _settle(whole: Reading, lexicon: Lexicon) -> None:
    """Move faults that a later film says are gone, or never were, out of the findings."""
    for finding in list(whole.findings):
        for later in (*whole.verdicts, *whole.named, *whole.repaired):
            if later.source <= finding.source or not _same_place(later, finding):
                continue
            if any(_same_place(f, finding) and f.source >= later.source for f in whole.findings):
                continue
            how = _puts_right(whole, later, finding, lexicon)
            if how in ("mended", "wrong"):
                whole.findings.remove(finding)
                _keep(whole, finding, later, how)
                break
            if how and DOUBT not in (finding.review or ""):
                asked = f"{DOUBT} “{later.quote}”: is this fault gone?"
                finding.review = f"{finding.review}; {asked}" if finding.review else asked


def _same_place(one: Row, two: Row) -> bool:
    """Whether a row is of the same part and reaches the side of the other."""
    return one.part == two.part and (one.side == two.side or one.side == "both")


def _puts_right(whole: Reading, later: Row, finding: DefectRow, lexicon: Lexicon) -> str | None:
    """What a later film's words on the part do to an earlier fault of it: "mended", "wrong", "asked" or nothing."""
    rows = [*whole.verdicts, *whole.named, *whole.repaired]
    near = [r for r in rows if r.source == later.source and r.part == later.part and _near(r, later)]
    text = " ".join(lexicon.fold(" ".join(dict.fromkeys(r.quote for r in near))))
    words = lexicon.trees[CHECKLIST]["puts_right"]
    work = [*lexicon.phrases("repaired.cues"), *lexicon.phrases("repaired.renewed")]
    own = " ".join(lexicon.fold(later.quote))
    defects = [d.id for d in lexicon.defects.values() if not d.generic and lexicon.holds(own, d.forms)]
    alone = {r.part for r in rows if (r.source, r.quote) == (later.source, later.quote)} == {later.part}
    places = list(_outright(own, finding, lexicon))
    done = not any(word in _NOT_DONE or word.endswith("n't") for word in own.split())
    if done and lexicon.holds(own, work):
        if any(_renewed(before, between, after) for before, between, after in places):
            return "mended"
        if finding.defect in defects and alone:
            return "mended"
    took_back = [form for form in words["wrong"] if not form.startswith(_RECALLS)]
    if isinstance(later, Verdict) and lexicon.holds(text, took_back):
        # "I was wrong, no scratches" takes back a scratch and leaves a dent.
        praised = any(before not in _ON and _IS.match(after) for before, _, after in places)
        if finding.defect in defects or (not defects and praised):
            return "wrong"
    return "asked" if lexicon.holds(text, [*words["mended"], *words["wrong"], *work]) else None


def _outright(text: str, finding: DefectRow, lexicon: Lexicon) -> Iterator[tuple[str, list[str], str]]:
    """Where folded text names the part itself: the word before, what stands between, and the text after.

    A piece of the part ("frame bolt", "bracket on the frame") has a word of its own and is not the part.
    """
    part = lexicon.parts[finding.part or ""]
    *describing, head = lexicon.fold(part.name)
    for match in re.finditer(rf"(?<!\S){re.escape(head)}(?!\S)", text):
        named = text[: match.start()].split()
        known = [f for f in map(lexicon.fold, part.forms) if f[-1] == head and not _ON & set(f)]
        own = max((f for f in known if tuple([*named, head][-len(f) :]) == f), key=len, default=(head,))
        named = named[: len(named) + 1 - len(own)]
        between: list[str] = []
        while named and (named[-1] in _BEFORE_NOUN or named[-1] in describing):
            between.append(named.pop())
        yield named[-1] if named else "", between, text[match.end() :].strip()


def _renewed(before: str, between: list[str], after: str) -> bool:
    """Whether the words around a part say that the whole of it was replaced or mended."""
    if before not in _ON and not before.endswith("ing") and _WAS_RENEWED.match(after):
        return True
    if re.fullmatch(_RENEWED, before):
        return bool(_CLAUSE_ENDS.match(after))
    if before in ("had", "got") and re.match(rf"(?:{_RENEWED})\b", after):
        return True
    if "new" not in between or before in _ON:
        return False
    fitted = before in ("fitted", "put", "had", "got") and _CLAUSE_ENDS.match(after)
    return bool(fitted or _WAS_FITTED.match(after))


def _near(one: Row, two: Row) -> bool:
    return max(one.start - two.end, two.start - one.end) <= SAID_WITH


def _keep(whole: Reading, finding: DefectRow, later: Row, how: str) -> None:
    if how == "mended":
        whole.repaired.append(finding)
    else:
        whole.withdrawn.append(
            TakenBack(
                finding.quote, finding.start, finding.end, finding.part, finding.side, finding.source,
                defect=finding.defect, taken_back_by=later.quote, taken_back_at=later.start,
                taken_back_source=later.source,
            )
        )  # fmt: skip
    whole.settled.append(Settled(finding, later, how))
