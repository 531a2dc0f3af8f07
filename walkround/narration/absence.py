"""Things that ought to come with a bike and do not: "no toolkit", "handbook, none"."""

from spacy.tokens import Doc

from walkround.narration.attach import Told
from walkround.narration.clauses import Clauses
from walkround.narration.focus import Mention
from walkround.narration.grammar import ABSENCE_GAP
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms
from walkround.narration.model import DefectRow, Reading, Row, Step
from walkround.narration.text import quote, times


def read_absences(doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
    """Add a finding where a part that must be there is denied; ask a person where it may never have been fitted."""
    rules = lexicon.absence
    for mention in told.mentions:
        if mention.term is None or mention.other or not mention.targets or mention.locative:
            continue
        cue = _denied(doc, mention, mention.targets[0].part in rules["parts"])
        if cue is None or any(
            s.said.start <= mention.end + 3 and s.said.start >= cue[0] and s.said.kind == "defect"
            for s in told.statements
        ):
            continue
        start, end = doc._.clauses.span_of(mention.start)
        part = mention.targets[0].part
        following = min(len(doc), end + 12)
        if lexicon.holds(doc[start:following].text, rules["exempt"]):
            continue
        pair = mention.targets[0].side in ("left", "right") and any(
            t.part == part and t.side not in (None, mention.targets[0].side)
            for other in told.mentions
            for t in other.targets
        )
        must = part in rules["parts"] or pair  # one of a pair is not there, and the other is
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
        row.confidence = 0.92 if must else 0.4
        row.trace = [Step("absence", quote(doc, min(cue[0], mention.start), max(cue[1], mention.end)), f"{part}: none")]
        if must:
            if not any(r.part == part and r.defect == "missing" for r in reading.findings):
                reading.findings.append(row)
        else:
            reading.doubted.append(Row(row.quote, first, last, row.part, row.side))
            row.part = row.side = None
            row.review = (
                f"“{quote(doc, mention.start, mention.end)}” is said not to be there: missing, or never fitted?"
            )
            reading.unplaced.append(row)


def _denied(doc: Doc, mention: Mention, must: bool) -> tuple[int, int] | None:
    terms: Terms = doc._.terms
    clauses: Clauses = doc._.clauses
    for start, end in terms.within("denial.before", mention.start - 12, mention.start):
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
