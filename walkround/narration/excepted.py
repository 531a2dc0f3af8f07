""" "Every light works except the rear fog": what is taken out of the praise of its working does not work."""

from spacy.tokens import Doc

from walkround.narration.focus import Mention, Target
from walkround.narration.grammar import ATTACH_SKIP, EXCEPTED_LEAD
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import between
from walkround.narration.model import DefectRow, Reading, Step
from walkround.narration.text import quote, times
from walkround.narration.told import Statement, Told

#: Named as one lamp among the lights, the key of the checklist is still the lights.
_LIGHTS = "lights-working"
#: How many tokens the exception may be long.
REACH = 12


def read_exceptions(doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
    """Add a finding for each part that is excepted from what works, where nothing else is said of it."""
    working = set(lexicon.phrases("good.verbs"))
    lamps = {p for p in lexicon.parts if p.endswith("-indicator") or p.endswith("light")}
    for start, end in sorted(doc._.terms.cue("joining.exceptions")):
        sentence = doc._.clauses.span_of(start)
        praised = [
            s
            for s in told.statements
            if s.said.kind == "good" and s.said.status == "said" and s.said.form.split()[-1] in working
            if sentence[0] <= s.said.start < start
        ]
        stop = min(sentence[1], end + REACH)
        spoken = any(s.said.kind in ("good", "defect") and end <= s.said.start < stop for s in told.statements)
        named = [m for m in between(told.mentions, end, stop) if m.targets and m.term and not m.other]
        gap = {doc[i].text for i in range(end, named[0].start if named else end)}
        if not praised or spoken or not named or gap - ATTACH_SKIP - EXCEPTED_LEAD:
            continue
        for target in _meant(praised[-1], named, lamps):
            _add(doc, lexicon, reading, praised[-1], (start, stop), target)


def _lights(statement: Statement) -> bool:
    return any(t.part == _LIGHTS for t in statement.targets)


def _meant(praise: Statement, named: list[Mention], lamps: set[str]) -> list[Target]:
    """The part that is excepted: a lamp that is no part of the checklist is one of the lights."""
    targets = named[0].targets
    if _lights(praise) and not any(t.part in lamps for t in targets):
        return [Target(_LIGHTS)]
    return list(targets)


def _add(
    doc: Doc, lexicon: Lexicon, reading: Reading, praise: Statement, words: tuple[int, int], target: Target
) -> None:
    first, last = times(doc, praise.start, praise.end)
    whole = quote(doc, praise.start, praise.end)
    row = DefectRow(whole, first, last, target.part, target.side, defect="not-working", at=words[0])
    row.severity = lexicon.defects["not-working"].severity
    row.confidence = 0.8
    row.trace = [Step("excepted from what works", quote(doc, *words), f"{target.part}: not-working")]
    reading.verdicts = [
        v for v in reading.verdicts if not (v.part == target.part and praise.start <= v.at < praise.end)
    ]
    reading.findings.append(row)
