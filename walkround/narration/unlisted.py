"""Faults told in words that the lexicon does not list, heard by the second opinion on the sentence as a whole.

What is heard so is never shown as sure: where one part is named outright and the kind of fault is plain, it becomes
a row that asks for a look; everywhere else it goes to ``unplaced`` and its part is not called clear.
"""

from spacy.tokens import Doc

from walkround.narration.focus import Target
from walkround.narration.leftovers import taken_in
from walkround.narration.matches import FAULTS, between
from walkround.narration.model import DefectRow, Reading, Row, Step
from walkround.narration.opinion import Opinion
from walkround.narration.text import quote, times
from walkround.narration.told import Told

#: A sentence this likely to speak of a fault is put to a person.
HEARD = 0.7
#: From this chance of a fault and of its kind on, a part named outright gets a row.
PLAIN, KIND = 0.85, 0.55
#: How far back (tokens) the part may be named that such a sentence speaks of.
NEAR = 25
#: A row made so is right about as often as not.
CONFIDENCE = 0.5


def read_unlisted(doc: Doc, told: Told, reading: Reading) -> None:
    """Add rows for sentences that no row speaks of and that the second opinion takes for a fault."""
    rows = sorted(r.at for r in (*reading.findings, *reading.unplaced, *reading.repaired))
    judged = {s.said.start for s in told.statements if s.said.kind == "defect" or s.said.id == "nothing"}
    spoken = {t.start for t in doc._.terms.states if t.kind in FAULTS}
    known = sorted(judged | (spoken - told.unfitting))
    sizes = sorted(s.said.start for s in told.statements if s.said.kind == "measure")
    gone = {t.start for t in (*reading.withdrawn, *reading.promises)}
    for start, end in doc._.clauses.sentences:
        heard = doc._.opinions[start]
        if (
            heard.fault < HEARD
            or taken_in(rows, start, end)
            or taken_in(known, start, end)
            or times(doc, start, end)[0] in gone
        ):
            continue
        targets = _meant(doc, told, start, end)
        measured = taken_in(sizes, start, end)  # what a size comes to is said by the limits
        if len(targets) == 1 and not measured and heard.fault >= PLAIN and heard.kinds.get(heard.kind, 0.0) >= KIND:
            reading.findings.append(_row(doc, start, end, heard, targets[0]))
        else:
            reading.unplaced.append(_row(doc, start, end, heard, None))
        first, last = times(doc, start, end)
        reading.doubted.extend(Row(quote(doc, start, end), first, last, t.part, t.side) for t in targets)


def _meant(doc: Doc, told: Told, start: int, end: int) -> list[Target]:
    """The parts named in the sentence or, where there are none, the last one named shortly before."""
    named = [m for m in between(told.mentions, start, end) if m.targets and m.named_only]
    if not named and "bike" in {doc[i].text for i in range(start, end)}:
        return []  # "it's been a student's bike": of the whole of it
    near = named or [m for m in between(told.mentions, start - NEAR, start) if m.targets][-1:]
    targets: list[Target] = []
    for mention in near:
        targets.extend(t for t in mention.targets if t not in targets)
    return targets


def _row(doc: Doc, start: int, end: int, heard: Opinion, target: Target | None) -> DefectRow:
    words = quote(doc, start, end)
    first, last = times(doc, start, end)
    row = DefectRow(words, first, last, defect=heard.kind, at=start, confidence=CONFIDENCE if target else 0.3)
    if target:
        row.part, row.side = target.part, target.side
    spoke = ", ".join(f"“{run}”" for run in heard.words)
    row.review = (
        f"no word for a fault is known here, yet it sounds like one ({spoke})" if spoke else "sounds like a fault"
    )
    row.trace = [Step("second opinion", words, f"{heard.kind}: {heard.fault:.2f}")]
    return row
