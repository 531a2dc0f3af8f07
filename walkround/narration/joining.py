"""Joining the readings of several films of one walk-round into one.

Nothing of an earlier film is dropped because a later one speaks of the same part. A later film puts an earlier
fault right only where it says so ("since the last film we've replaced it", "I said earlier ... I was wrong"); the
fault then moves to what was repaired or taken back, and the pair is kept in ``settled`` for a person to see.
"""

from dataclasses import fields

from walkround.narration.lexicon import CHECKLIST, Lexicon
from walkround.narration.model import DefectRow, Reading, Row, Settled, TakenBack, Verdict

#: How near (s) in the later film the words that put something right may stand to those on the part. Our own choice.
SAID_WITH = 8.0
_APART = ("facts", "further_facts", "settled")


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
        for later in (*whole.verdicts, *whole.named):
            if later.source <= finding.source or not _same_place(later, finding):
                continue
            how = _puts_right(whole, later, finding, lexicon)
            if how and not any(_same_place(f, finding) and f.source >= later.source for f in whole.findings):
                whole.findings.remove(finding)
                _keep(whole, finding, later, how)
                break


def _same_place(one: Row, two: Row) -> bool:
    """Whether a row is of the same part and reaches the side of the other."""
    return one.part == two.part and (one.side == two.side or one.side == "both")


def _puts_right(whole: Reading, later: Row, finding: DefectRow, lexicon: Lexicon) -> str | None:
    """ "mended", "wrong" or nothing: what a later film's words on the part do to an earlier fault of it."""
    rows = [*whole.verdicts, *whole.named, *whole.repaired]
    near = [r for r in rows if r.source == later.source and r.part == later.part and _near(r, later)]
    said = " ".join(dict.fromkeys(r.quote for r in near))
    text = " ".join(lexicon.fold(said))
    words = lexicon.trees[CHECKLIST]["puts_right"]
    work = [*lexicon.phrases("repaired.cues"), *lexicon.phrases("repaired.renewed")]
    if lexicon.holds(text, words["mended"]) and lexicon.holds(text, work):
        return "mended"
    if not isinstance(later, Verdict) or not lexicon.holds(text, words["wrong"]):
        return None
    # "I was wrong, no scratches" takes back a scratch and leaves a dent.
    own = " ".join(lexicon.fold(later.quote))
    denied = [d.id for d in lexicon.defects.values() if lexicon.holds(own, d.forms)]
    return "wrong" if not denied or finding.defect in denied else None


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
