"""What may speak of a fault in words that the lexicon does not know: never dropped, shown to a person.

A good word in the same breath is not believed then: "no scratches, but the knob's ..." clears nothing.
"""

from bisect import bisect_left
from collections.abc import Iterator

from spacy.tokens import Doc

from walkround.narration.grammar import LEFTOVERS_AUXILIARIES, LEFTOVERS_PEOPLE
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms, between
from walkround.narration.model import DefectRow, Reading, Row, Step
from walkround.narration.text import quote, times
from walkround.narration.told import Told

#: A promise or a guess this many tokens after a finding speaks of that finding.
REACH = 45
#: How far back (tokens) the part lies that a sentence without a part may speak of.
NEAR = 25
_NEUTRAL_PARTS = frozenset(
    ("test-certificate", "registration-document", "keys", "service-history", "handbook", "toolkit")
)


def read_leftovers(doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
    """Add rows to ``unplaced`` for sentences that name a part, hold no row, and sound like a fault."""
    harmless = {lexicon.fold(w) for w in lexicon.phrases("suspicion.harmless")}
    plain = {lexicon.fold(w)[0] for w in lexicon.phrases("suspicion.has_harmless")}
    taken = [
        s.said.start
        for s in told.statements
        if s.said.kind in ("defect", "good") and s.said.status in ("said", "denied")
    ]
    taken.sort()
    measured = {i for s in told.statements if s.said.kind == "measure" for i in range(s.said.start, s.said.end)}
    rows = sorted(r.at for r in (*reading.findings, *reading.unplaced, *reading.repaired))
    promised = {p.start for p in reading.promises}
    gone = {t.start for t in reading.withdrawn}  # "I thought that was a tear, but it's a bit of leaf"
    for start, end in doc._.clauses.sentences:
        named = [m for m in between(told.mentions, start, end) if m.targets and m.named_only]
        first = times(doc, start, end)[0]
        reason = _excepted(doc, told, start, end, rows)
        if not reason and (taken_in(rows, start, end) or first in gone):
            continue
        if not reason and (named or _continues(doc, told, start, end)):
            reason = _odd(doc, start, end, taken, harmless, measured) or _unknown(
                doc, start, end, taken, plain, measured
            )
        shown = {"first", "show", "walk", "film", "start"} & {doc[i].text for i in range(start, end)}
        if not reason and first in promised and not shown and not taken_in(rows, start - REACH + 1, start + 1):
            parts = {t.part for m in named for t in m.targets}
            if not parts or parts - _NEUTRAL_PARTS:
                reason = "work is promised, but no fault was recognised"
        if reason:
            _add(doc, reading, start, end, reason)
            near = named or [m for m in between(told.mentions, start - NEAR, start) if m.targets][-1:]
            for target in {t for m in near for t in m.targets}:
                reading.doubted.append(Row(quote(doc, start, end), first, first, target.part, target.side))
            _disbelieve(doc, reading, start, end, taken)


def taken_in(taken: list[int], start: int, end: int) -> bool:
    """Whether a sorted list of tokens holds one from ``start`` up to ``end``."""
    return bisect_left(taken, start) < bisect_left(taken, end)


def _excepted(doc: Doc, told: Told, start: int, end: int, rows: list[int]) -> str:
    """ "All good, bar the tab": praise with an exception that no row took up."""
    for s, e in doc._.terms.within("joining.exceptions", start, end):
        praised = any(
            (x.said.kind, x.said.status) in (("good", "said"), ("defect", "denied")) and start <= x.said.start < s
            for x in told.statements
        )
        if praised and e < end and not taken_in(rows, s, end):
            return f"“{quote(doc, s, end)}” takes something out of what is praised"
    return ""


def _odd(doc: Doc, start: int, end: int, taken: list[int], harmless: set[tuple[str, ...]], measured: set[int]) -> str:
    terms: Terms = doc._.terms
    for s, e in terms.within("suspicion.alone", start, end):
        return f"“{quote(doc, s, e)}” often goes with a fault"
    for s, e in _stretches(doc, start, end):
        if taken_in(taken, s, e):
            continue
        for a, b in terms.within("suspicion.before", s, e):
            went = a > s and doc[a - 1].text == "'ve"  # "I've gone round all the spokes"
            if (
                b < e
                and not went
                and b not in measured
                and doc[b].is_alpha
                and not doc[b].is_stop
                and (doc[b].text,) not in harmless
            ):
                return f"“{quote(doc, a, b + 1)}” may speak of a fault that the lexicon does not know"
        for i in range(s + 1, e):
            word = doc[i].text
            ended = word.endswith(("ed", "en")) and doc[i - 1].text in LEFTOVERS_AUXILIARIES
            ended = ended or (word.endswith("ing") and _left_undone(doc, s, i))
            odd = len(word) > 4 and (word,) not in harmless and i not in measured
            odd = odd and not doc[i].like_num and doc[i - 2].text not in ("i", "we")  # "seven", "I have wiped it"
            if ended and odd and not _inside(terms, i):
                return f"“{quote(doc, i, i + 1)}” may speak of a fault that the lexicon does not know"
    return ""


def _left_undone(doc: Doc, start: int, index: int) -> bool:
    """ "The flap is not closing", but not "I'm not promising": a thing does not do what it should."""
    lead = [doc[i].text for i in range(max(start, index - 3), index)]
    denied = lead[-1:] == ["not"] or (lead and lead[-1] in ("isn't", "aren't", "ain't", "wasn't"))
    return bool(denied) and not set(lead) & LEFTOVERS_PEOPLE


def _continues(doc: Doc, told: Told, start: int, end: int) -> bool:
    """A sentence that begins with a pronoun, soon after a part was named."""
    heads = {doc[i].text for i in range(start, min(end, start + 2))}
    return bool(heads & {"it", "that", "they", "there"}) and any(
        0 <= start - m.end < 20 and m.targets for m in between(told.mentions, start - 30, start)
    )


def _unknown(doc: Doc, start: int, end: int, taken: list[int], plain: set[str], measured: set[int]) -> str:
    """ "The hose has a white crust", "it doesn't make a noise": words unknown to the lexicon after "has", "doesn't"."""
    terms: Terms = doc._.terms
    known = terms.covered
    for s, e in _stretches(doc, start, end):
        if taken_in(taken, s, e):
            continue
        for category in ("suspicion.has", "suspicion.fails"):
            for a, b in terms.within(category, s, e):
                ahead = [i for i in range(b, min(e, b + 3)) if doc[i].is_alpha and not doc[i].is_stop]
                if (
                    not ahead
                    or measured & {b, ahead[0]}  # "has an inch of slack", "there's a hundred and eighty thou"
                    or any(i in known or doc[i].text in plain for i in ahead[:2])
                    or (b < e and doc[b].text in plain)
                ):
                    continue
                return f"“{quote(doc, a, ahead[0] + 1)}” may speak of a fault that the lexicon does not know"
    return ""


def _inside(terms: Terms, index: int) -> bool:
    cues = (
        "promise.work",
        "excluded.phrases",
        "included.phrases",
        "guess.causes",
        "repaired.renewed",
        "repaired.cues",
    )
    return any(s <= index < e for c in cues for s, e in terms.within(c, index - 8, index + 8)) or index in terms.covered


def _stretches(doc: Doc, start: int, end: int) -> Iterator[tuple[int, int]]:
    """The clauses of a sentence."""
    begin = start
    for i in range(start + 1, end + 1):
        if i == end or doc._.clauses.before[i] >= 1:
            yield begin, i
            begin = i


def _add(doc: Doc, reading: Reading, start: int, end: int, reason: str) -> None:
    first, last = times(doc, start, end)
    row = DefectRow(quote(doc, start, end), first, last, defect="mark", at=start, confidence=0.2, review=reason)
    row.trace = [Step("left over", quote(doc, start, end), reason)]
    reading.unplaced.append(row)


def _disbelieve(doc: Doc, reading: Reading, start: int, end: int, taken: list[int]) -> None:
    """Good words of this sentence do not make a part clear."""
    reading.verdicts = [v for v in reading.verdicts if not start <= v.at < end]
