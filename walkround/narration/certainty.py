"""How sure a row is, why a person should look, and the steps that led to it.

The confidence of a row is the chance that a row read in this way is right, as found on narrations with keys: a
logistic model over how the row was read. Its weights are in ``certainty.json``; ``benchmarks/fit_certainty.py``
makes them and prints how well the chances hold on narrations that were not used.
"""

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from importlib import resources

from spacy.tokens import Doc

from walkround.narration.model import DefectRow, Step
from walkround.narration.opinion import Model, Opinion
from walkround.narration.text import quote
from walkround.narration.told import Statement

#: Ties of a state to a part that are guesses, whatever else speaks for them.
GUESSED = frozenset(("locative", "later", "none"))
#: Under this a person must look.
REVIEW_BELOW = 0.75
#: Under this the row is not shown as a finding but put to a person with those that have no part.
UNPLACED_BELOW = 0.45
#: Under this chance of a fault the second opinion hears none.
UNHEARD = 0.2
#: Words of the recogniser below this probability are weak.
WEAK_WORD = 0.45
_HEARD = (0.03, 0.1, 0.2, 0.35, 0.5, 0.7, 0.85, 0.95)
_KIND = (0.02, 0.1, 0.3, 0.6)
_BOUNDS = ((0, "ahead"), (2, "next"), (5, "close"), (10, "near"), (21, "far"))


@cache
def weights() -> dict[str, float]:
    """The fitted weights by feature; "bias" is always counted."""
    text = resources.files("walkround.narration").joinpath("certainty.json").read_text("utf-8")
    return {str(name): float(value) for name, value in json.loads(text).items()}


def chance(features: Iterable[str], model: Mapping[str, float]) -> float:
    """The chance that a row with these features is right, 0 to 1."""
    score = model.get("bias", 0.0) + sum(model.get(feature, 0.0) for feature in features)
    return 1 / (1 + math.exp(-score))


def features_of(doc: Doc, statement: Statement, row: DefectRow, earlier: Sequence[DefectRow]) -> list[str]:
    """How a row was read, in plain words. ``earlier`` are the findings of its sentence so far."""
    said, mention = statement.said, statement.mention
    found = _heard(_opinion(doc, statement, row), row)
    found += [f"tie {statement.how}", f"fault {row.defect}", f"parts {min(3, len(statement.targets))}"]
    found.append(f"words {min(3, len(said.form.split()))}")
    if named_outright(statement):
        found.append("named outright")
    found.append("further fault of the sentence" if earlier else "first fault of the sentence")
    if any(old.part == row.part for old in earlier):
        found.append("further fault of the part")
    if statement.unknown_subject:
        found.append("unknown subject")
    if said.generic:
        found.append("fault not named")
    if said.tentative:
        found.append("doubted")
    if said.kind == "good":
        found.append("good word denied")
    if mention is None:
        return [*found, "no part near"]
    gap = said.start - mention.end
    found.append(f"part {next((name for bound, name in _BOUNDS if gap < bound), 'very far')}")
    if mention.weak:
        found.append("weak name")
    if mention.owner:
        found.append("piece of a part")
    if mention.term is None:
        found.append("stands for a part")
    elif mention.term.kind == "family":
        found.append("family of parts")
    return found


def _opinion(doc: Doc, statement: Statement, row: DefectRow) -> Opinion:
    """The second opinion on the sentence; "same on the other side" was heard where it was first told."""
    if statement.how == "copied":
        return Opinion(1.0, weights=Model({}, {row.defect: {}}))
    found: Opinion = doc._.opinions[statement.start]
    return found


def _heard(opinion: Opinion, row: DefectRow) -> list[str]:
    """What the second opinion adds: whether it hears a fault at all, and this kind of fault."""
    found = [f"a fault is heard at {bound}" for bound in _HEARD if opinion.fault > bound]
    share = opinion.kinds.get(row.defect, 0.0)
    likelier = sum(other > share for other in opinion.kinds.values())
    return [*found, f"kind {min(3, likelier)}", *(f"kind heard at {bound}" for bound in _KIND if share > bound)]


def named_outright(statement: Statement) -> bool:
    """Whether the part is named by a name of its own in the same clause or sentence."""
    mention = statement.mention
    if statement.how == "copied":  # "the same on the right"
        return True
    named = mention is not None and mention.term is not None and not mention.weak and mention.start >= statement.start
    return named and statement.how in ("subject", "before", "forward", "again") and not statement.unknown_subject


def sureness(doc: Doc, statement: Statement, row: DefectRow, earlier: Sequence[DefectRow]) -> None:
    """Set ``confidence`` of the row, and ``review`` where a person must look."""
    mention = statement.mention
    value = chance(features_of(doc, statement, row, earlier), weights())
    reasons = []
    if statement.how in GUESSED:
        reasons.append("it is not certain which part is meant")
    if statement.unknown_subject:
        reasons.append(
            f"“{statement.unknown_subject}” is not in the lexicon, so the part was taken from what was said before"
        )
    if mention and mention.term and mention.term.score < 1:
        value *= mention.term.score
        reasons.append(f"the part was heard as “{mention.term.heard}”")
    if statement.said.generic:
        reasons.append("the narrator does not say what kind of fault")
    if _opinion(doc, statement, row).fault < UNHEARD:
        reasons.append("taken as a whole, the sentence does not sound like a fault")
    weak = _weak_words(doc, statement)
    if weak:
        value *= 0.8
        reasons.append(f"the recogniser was unsure of “{weak}”")
    row.confidence = round(max(0.05, min(0.99, value)), 2)
    if row.confidence < REVIEW_BELOW or weak or statement.unknown_subject or statement.how in GUESSED:
        row.review = "; ".join(reasons) or "rows read in this way are sometimes wrong: is it the right part and fault?"


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
