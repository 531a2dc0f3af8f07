"""How sure a row is, why a person should look, and the steps that led to it."""

from spacy.tokens import Doc

from walkround.narration.attach import Statement
from walkround.narration.model import DefectRow, Step
from walkround.narration.text import quote

#: How sure the tie between a state and its part is, by the way it was found (see DEVELOPERS.md).
TIE = {
    "subject": 0.97,
    "selector": 0.93,
    "forward": 0.93,
    "before": 0.93,
    "focus": 0.86,
    "locative": 0.5,
    "later": 0.5,
}
REVIEW_BELOW = 0.75
#: Words of the recogniser below this probability are weak.
WEAK_WORD = 0.45


def sureness(doc: Doc, statement: Statement, row: DefectRow) -> None:
    said, mention = statement.said, statement.mention
    value = TIE.get(statement.how, 0.4)
    reasons = []
    if value < REVIEW_BELOW:
        reasons.append("it is not certain which part is meant")
    if statement.unknown_subject:
        value -= 0.2
        reasons.append(
            f"“{statement.unknown_subject}” is not in the lexicon, so the part was taken from what was said before"
        )
    if mention and mention.weak:
        value -= 0.1
    if mention and mention.term and mention.term.score < 1:
        value *= mention.term.score
        reasons.append(f"the part was heard as “{mention.term.heard}”")
    if said.generic:
        value -= 0.3
        reasons.append("the narrator does not say what kind of fault")
    if sum(c[0].startswith("denial") for c in said.cues) > 1:
        value -= 0.1
    if said.tentative:
        value -= 0.05
    weak = _weak_words(doc, statement)
    if weak:
        value -= 0.15
        reasons.append(f"the recogniser was unsure of “{weak}”")
    row.confidence = round(max(0.05, min(0.99, value)), 2)
    if (reasons and row.confidence < REVIEW_BELOW) or weak:
        row.review = "; ".join(reasons)


def _weak_words(doc: Doc, statement: Statement) -> str | None:
    spans = [(statement.said.start, statement.said.end)]
    if statement.mention and statement.mention.end <= len(doc):
        spans.append((statement.mention.start, statement.mention.end))
    for start, end in spans:
        for tok in doc._.tokens[start:end]:
            if tok.probability is not None and tok.probability < WEAK_WORD:
                return quote(doc, start, end)
    return None


def trace(doc: Doc, statement: Statement, row: DefectRow) -> list[Step]:
    said = statement.said
    steps = [
        Step(
            "defect" if said.kind == "defect" else "good word denied",
            quote(doc, said.start, said.end),
            f"{row.defect}: {said.form}",
        )
    ]
    for category, start, end in said.cues:
        steps.append(Step(category, quote(doc, start, end), category))
    if statement.mention:
        mention = statement.mention
        form = mention.term.form if mention.term else "the words for one of a pair"
        steps.append(
            Step(
                f"part ({statement.how})",
                quote(doc, mention.start, mention.end),
                f"{row.part}: {form}",
            )
        )
    else:
        steps.append(Step(f"part ({statement.how})", "", f"{row.part or 'none'}"))
    return steps
