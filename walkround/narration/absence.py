"""Things that ought to come with a bike and do not: "no toolkit", "handbook, none"."""

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.comparing import head_of
from walkround.narration.focus import Mention
from walkround.narration.grammar import ABSENCE_FILLERS, ABSENCE_GAP, ABSENCE_OUGHT, ATTACH_SKIP
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms
from walkround.narration.model import DefectRow, Reading, Row, Step
from walkround.narration.text import quote, times
from walkround.narration.told import Told


def read_absences(doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
    """Add a finding where a part that must be there is denied; ask a person where it may never have been fitted."""
    rules = lexicon.absence
    gone = [lexicon.fold(form) for form in rules["after"]]
    lost = [lexicon.fold(form) for form in rules["lost"]]
    whole = " ".join(doc._.folds)
    for mention in told.mentions:
        if mention.other or not mention.targets or mention.locative:
            continue
        known = mention.targets[0].part in (*rules["parts"], *rules["expected"])
        cue = _said_after(doc, mention, gone, told) or _in_its_place(doc, mention) if known else None
        cue = cue or (_ought(doc, lexicon, mention) if mention.targets[0].part in rules["parts"] else None)
        if cue is None and mention.term and mention.targets[0].part in rules["parts"]:
            cue = _lost(doc, mention, lost)
        if cue is None and mention.term:
            cue = _denied(doc, mention, mention.targets[0].part in rules["parts"])
        part = mention.targets[0].part
        if cue is None or _of_a_fault(doc, mention, cue, told):
            continue
        if doc._.terms.things and lexicon.holds(whole, rules["kinds"].get(part, [])):
            continue  # "there's two levers on a scooter, no clutch"
        start, end = doc._.clauses.span_of(mention.start)
        following = min(len(doc), end + 12)
        if lexicon.holds(doc[start:following].text, rules["exempt"]):
            continue
        pair = mention.targets[0].side in ("left", "right") and any(
            t.part == part and t.side not in (None, mention.targets[0].side)
            for other in told.mentions
            for t in other.targets
        )
        must = part in rules["parts"] or pair  # one of a pair is not there, and the other is
        told_before = any(r.defect == "missing" and start <= r.at < mention.start for r in reading.findings)
        must = must or (part in rules["expected"] and not told_before and _plainly_not(doc, lexicon, mention, cue))
        near = doc._.clauses.span_of(mention.start, 1)
        reading.verdicts = [v for v in reading.verdicts if not (v.part == part and near[0] <= v.at < near[1])]
        if not must and lexicon.holds(doc[start:following].text, rules["not_fitted"]):
            continue
        first, last = times(doc, start, end)
        row = DefectRow(
            quote(doc, start, end),
            first,
            last,
            part,
            mention.targets[0].side,
            defect="missing",
            at=mention.start,
        )
        row.severity = "moderate" if pair or part in ("service-history", "registration-document") else "minor"
        row.confidence = 0.92 if part in rules["parts"] or pair else 0.8 if must else 0.4
        row.trace = [Step("absence", quote(doc, min(cue[0], mention.start), max(cue[1], mention.end)), f"{part}: none")]
        if must:
            side = mention.targets[0].side  # what is not there has no other fault: "no mirror, it got knocked off"
            reading.findings = [
                r for r in reading.findings if not (r.part == part and r.side in (side, None) and start <= r.at < end)
            ]
            if not any(r.part == part and r.side == side and r.defect == "missing" for r in reading.findings):
                reading.findings.append(row)
        else:
            reading.doubted.append(Row(row.quote, first, last, row.part, row.side))
            row.part = row.side = None
            row.review = (
                f"“{quote(doc, mention.start, mention.end)}” is said not to be there: missing, or never fitted?"
            )
            reading.unplaced.append(row)


def _of_a_fault(doc: Doc, mention: Mention, cue: tuple[int, int], told: Told) -> bool:
    """ "No mirror vibration", "no horn fault": a fault of the thing is denied, not the thing."""
    near = [s for s in told.statements if s.said.kind == "defect" and cue[0] <= s.said.start <= mention.end + 3]
    return any(not any(doc._.clauses.before[mention.end : s.said.start + 1]) for s in near)


def _plainly_not(doc: Doc, lexicon: Lexicon, mention: Mention, cue: tuple[int, int]) -> bool:
    """ "There's no horn on it", but not "no horn bracket", nor "boards rather than pegs"."""
    name = lexicon.fold(lexicon.parts[mention.targets[0].part].name)
    itself = mention.end - mention.start == 1 or doc[mention.end - 1].text == name[-1]
    whole = itself and (doc._.clauses.ends_at(mention.end) or doc[mention.end].is_stop)
    words = [doc[i].text for i in range(*cue)]
    plain = {"no", "not", "none", "where", "instead", "short"}
    return whole and any(word in plain or word.endswith("n't") for word in words)


def _said_after(doc: Doc, mention: Mention, gone: list[tuple[str, ...]], told: Told) -> tuple[int, int] | None:
    """ "The toolkit, well, there isn't one", "the owner's manual we don't have"."""
    clauses: Clauses = doc._.clauses
    folds: list[str] = doc._.folds
    for start in range(mention.end, min(len(doc), mention.end + 4)):
        if clauses.before[start] >= 2 or (start > mention.end and folds[start - 1] not in ABSENCE_FILLERS):
            return None
        for form in gone:
            end = start + len(form)
            said = folds[start] == form[0] and tuple(folds[start:end]) == form and _ends(doc, end)
            if said and not any(s.said.start == start and s.said.status == "denied" for s in told.statements):
                return start, end
    return None


def _ends(doc: Doc, end: int) -> bool:
    """Whether no more is said than on which side: "there isn't one on the left"."""
    placed = doc[end : end + 3].text.split()
    sided = placed[:1] == ["on"] and placed[-1] in ("left", "right", "side") and len(placed) == 3
    return bool(doc._.clauses.ends_at(end) or (sided and doc._.clauses.ends_at(end + 3)))


def _in_its_place(doc: Doc, mention: Mention) -> tuple[int, int] | None:
    """ "Where the toolkit should be there's nothing", "instead of a bar end, a cork", "a side panel short"."""
    head = mention.start
    while head > 0 and doc[head - 1].text in ATTACH_SKIP:
        head -= 1
    lead = {token.text for token in doc[max(0, head - 2) : head]}
    following = {token.text for token in doc[mention.end : mention.end + 2]}
    if "instead" in lead or ("where" in lead and following & ABSENCE_OUGHT):
        return max(0, head - 2), mention.end
    counted = doc[head].text in ("a", "one", "two") or (head and doc[head - 1].text in ("one", "two"))
    if counted and "short" in following and doc._.clauses.before[mention.end] == 0:
        return head, mention.end + 1
    return None


def _ought(doc: Doc, lexicon: Lexicon, mention: Mention) -> tuple[int, int] | None:
    """ "The toolkit should be under the seat, and it isn't", "it's meant to have a handbook, but there's none"."""
    start, end = doc._.clauses.span_of(mention.start)
    words = [doc[i].text for i in range(start, end)]
    due = [i for i in range(start, end - 1) if doc[i].text in ABSENCE_OUGHT and doc[i + 1].text in ("to", "be", "have")]
    if not due or due[0] > mention.end + 6:
        return None
    for form in lexicon.absence["unmet"]:
        folded = lexicon.fold(form)
        for i in range(max(due[0], mention.end), end - len(folded) + 1):
            if tuple(words[i - start : i - start + len(folded)]) == folded and doc._.clauses.ends_at(i + len(folded)):
                return i, i + len(folded)
    return None


def _lost(doc: Doc, mention: Mention, lost: list[tuple[str, ...]]) -> tuple[int, int] | None:
    """ "I can't find the toolkit", "no idea where the second key's got to": right before the name and its article."""
    head = head_of(doc, mention.start)
    folds: list[str] = doc._.folds
    for form in lost:
        if tuple(folds[max(0, head - len(form)) : head]) == form and not doc._.clauses.before[head]:
            return head - len(form), head
    return None


def _denied(doc: Doc, mention: Mention, must: bool) -> tuple[int, int] | None:
    terms: Terms = doc._.terms
    clauses: Clauses = doc._.clauses
    for start, end in terms.within("denial.before", mention.start - 12, mention.start):
        if doc[start].text in ("neither", "none"):
            continue  # "neither mirror stays where you put it": what they do is denied, not they
        gap = range(end, mention.start)
        close = end <= mention.start and len(gap) <= 3 and all(doc[i].text in ABSENCE_GAP for i in gap)
        if close and not any(clauses.before[end : mention.start + 1]):
            return start, end
    for start, end in terms.within("denial.after", mention.end, mention.end + 8) if must else ():
        if start == mention.end and clauses.ends_at(end) and (end >= len(doc) or clauses.before[end] >= 2):
            return start, end
    for start, end in terms.within("denial.alone", mention.end, mention.end + 6) if must else ():
        if clauses.ends_at(end) and doc[start].text in (
            "has",
            "hasn't",
            "have",
            "haven't",
            "there",
            "isn't",
            "i",
            "we",
        ):
            return start, end
    return None
