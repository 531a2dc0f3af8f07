"""Promises, guesses, and what comes or does not come with the bike."""

from spacy.tokens import Doc

from walkround.narration.grammar import (
    EXTRAS_ABOUT,
    EXTRAS_ADVERBS,
    EXTRAS_NOT_IT,
    EXTRAS_OBJECTS,
    EXTRAS_ORDER,
    EXTRAS_REFUSED,
    EXTRAS_RIDERS,
    EXTRAS_WANTED,
    EXTRAS_WHO,
    IDLE_OVER,
)
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms, between
from walkround.narration.model import Passed, Reading, Row
from walkround.narration.supposing import supposes
from walkround.narration.text import quote, times
from walkround.narration.told import Told

#: How far (tokens) after "we'll" the work may be named.
WORK_REACH = 7
#: How far after its verb what is to be worked on may stand.
OBJECT_REACH = 6


def read_extras(doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
    """Fill promises, guesses, included and excluded; tie guesses at a cause to the finding before them."""
    terms: Terms = doc._.terms
    shown = {lexicon.fold(word)[0] for word in lexicon.phrases("promise.shown")}
    for start, end in doc._.clauses.sentences:
        if supposes(doc, terms, start, end):
            row = _row(doc, told, start, end)
            reading.guesses.append(row)
            _give_cause(doc, reading, row, start, end)
        out = [span for span in terms.within("excluded.phrases", start, end) if not _of_work(doc, told, span)]
        out = [span for span in out if not _other_sense(doc, terms, span)]
        if _promised(doc, shown, terms, start, end) and not (out and not terms.within("promise.will", start, end)):
            # "The box isn't included, that's going on one we're keeping": nothing is done to this bike
            reading.promises.append(_row(doc, told, start, end))
        inn = [s for s in terms.within("included.phrases", start, end) if not any(a <= s[0] < b for a, b in out)]
        out = out or _left_out(doc, told, start, end, reading)
        if out:
            reading.excluded.append(_row(doc, told, start, end, out[0][0]))
            _not_missing(doc, lexicon, told, reading, out, (start, end))
        if inn and not _denied(terms, inn[0]):
            reading.included.append(_row(doc, told, start, end, inn[0][0]))


def _row(doc: Doc, told: Told, start: int, end: int, at: int | None = None) -> Row:
    """The sentence as a row; its part is the one named last before ``at``, else the first."""
    first, last = times(doc, start, end)
    inside = [m for m in between(told.mentions, start, end) if m.targets]
    row = Row(quote(doc, start, end), first, last)
    if inside:
        before = [m for m in inside if at is not None and m.start < at]
        chosen = before[-1] if before else inside[0]
        row.part, row.side = chosen.targets[0].part, chosen.targets[0].side
    return row


def _of_work(doc: Doc, told: Told, span: tuple[int, int]) -> bool:
    """ "It's worn, so that's coming off before anybody rides it": a part with a fault is taken off, not kept back."""
    words = doc[span[0] : span[1]].text.split()
    start, end = doc._.clauses.span_of(span[0])
    faults = [s for s in between(told.statements, start, end) if s.said.kind == "defect" and s.said.status == "said"]
    return {"off", "before"} <= set(words) and any(s.said.id != "missing" for s in faults)


def _not_missing(
    doc: Doc,
    lexicon: Lexicon,
    told: Told,
    reading: Reading,
    out: list[tuple[int, int]],
    sentence: tuple[int, int],
) -> None:
    """ "Top box isn't with it", "the bags hanging off it are mine": what does not come is neither missing nor loose."""
    spans = [doc._.clauses.span_of(start, 1) for start, _ in out]
    for row in list(reading.findings):
        kept = row.part in lexicon.absence["parts"] or row.defect not in ("missing", "loose")
        if kept or not sentence[0] <= row.at < sentence[1]:
            continue
        clause = doc._.clauses.span_of(row.at, 1)
        after = spans[0][0] == clause[1] and row.part not in lexicon.absence["expected"]
        if after and row.defect == "missing" and doc[out[0][1] - 1].text in EXTRAS_OBJECTS:
            clause = spans[0]  # "the old cans are long gone, you're not getting those"
        goes_on = clause[0] >= spans[0][1] and doc[clause[0]].text in EXTRAS_WHO  # "..., he's kept that"
        before = [m for m in between(told.mentions, sentence[0], out[0][1]) if m.targets and m.term]
        if before and all(t.part != row.part for t in before[-1].targets):
            continue  # "the rack's loose and the top box isn't included"
        if clause in spans or goes_on:
            reading.findings.remove(row)
            named = {x.part for m in between(told.mentions, *sentence) if m.term for x in m.targets}
            if row.part in named and row.part not in lexicon.phrases("excluded.extras"):
                # "the seat isn't with it"
                row.review = f"does it not come with the bike, or is it missing ({row.part})?"
                reading.doubted.append(Row(row.quote, row.start, row.end, row.part, row.side))
                row.part = row.side = None
                reading.unplaced.append(row)
            else:
                reading.passed.append(Passed(row.quote, row.start, "does not come with the bike"))


def _other_sense(doc: Doc, terms: Terms, span: tuple[int, int]) -> bool:
    """ "It doesn't come on", "I'm having that done": of a fault, or of work."""
    words, end = doc[span[0] : span[1]].text.split(), span[1]
    if words[-1] in ("come", "selling"):
        return not doc._.clauses.ends_at(end)
    if words[-2:] == ["off", "before"] and end < len(doc):
        return doc[end].text in EXTRAS_RIDERS
    return "having" in words and bool(terms.within("promise.work", end, end + 3))


def _left_out(doc: Doc, told: Told, start: int, end: int, reading: Reading) -> list[tuple[int, int]]:
    """ "The rack comes with it. The top box doesn't.": said of what comes, or does not, just before."""
    near = [row for row in (*reading.included, *reading.excluded) if row.end <= times(doc, start, end)[0]]
    before = doc._.clauses.span_of(start - 1)[0] if start else 0
    if not near or near[-1].start < times(doc, before, before + 1)[0]:
        return []
    things = between(doc._.terms.things, start, end)
    alone = [
        (s, e)
        for s, e in doc._.terms.within("denial.alone", start, end)
        if doc._.clauses.ends_at(e) and any(t.end <= s for t in things) and doc[s:e].text in EXTRAS_NOT_IT
    ]
    return alone[:1]


def _denied(terms: Terms, span: tuple[int, int]) -> bool:
    return any(0 <= span[0] - e <= 2 for _, e in terms.cue("denial.before"))


def _promised(doc: Doc, shown: set[str], terms: Terms, start: int, end: int) -> bool:
    if any(not _refused(doc, s) for s, _ in terms.within("promise.phrases", start, end)):
        return True
    not_work = [span for span in terms.within("promise.not_work", start, end) if not _to_be_done(doc, terms, span)]
    for s, e in terms.within("promise.will", start, end):
        work = [a for a, _ in terms.within("promise.work", start, end)]
        shown_only = any((a <= s and e <= b) or a <= e - 1 < b for a, b in not_work)
        seen_to = terms.within("promise.seen_to", s, end)
        if (shown_only and not seen_to) or (e < len(doc) and doc[e].text == "not") or _unsaid(doc, s):
            continue
        if _wanted(doc, s, e) or _in_order(doc, s, e):
            continue
        held = int(doc[e - 1].text == "have" or (doc[e - 1].text == "get" and doc[s].text in ("i", "we")))
        # "I'll have that off": the verb is part of both
        if any(-held <= a - e <= WORK_REACH for a in work):
            return True
        if _undertaken(doc, shown, s, e, end):
            return True
    return False


def _unsaid(doc: Doc, start: int) -> bool:
    """ "I'm not saying it'll be done"."""
    lead = [token.text for token in doc[max(0, start - 4) : start]]
    return "not" in lead and bool({"saying", "promising", "promise", "say"} & set(lead))


def _in_order(doc: Doc, start: int, end: int) -> bool:
    """ "I'll do the wheels first", "I'm going to do it how we did it": what is filmed when, no work."""
    stop = doc._.clauses.span_of(start, 1)[1]
    ahead = {token.text for token in doc[end:stop]}
    return "do" in ahead and bool(ahead & EXTRAS_ORDER)


def _wanted(doc: Doc, start: int, end: int) -> bool:
    """ "It will want replacing soon": what the part needs, not what anybody will do."""
    own = doc[start].text in ("i", "we")
    return not own and any(doc[i].text in EXTRAS_WANTED for i in range(end, min(len(doc), end + 2)))


def _refused(doc: Doc, index: int) -> bool:
    """ "I'm not doing it", "wants replacing": the words of a promise behind "not", or of what a part needs."""
    lead = [] if doc._.clauses.before[index] else [token.text for token in doc[max(0, index - 2) : index]]
    before, last = set(lead), lead[-1] if lead else ""
    if (
        before & EXTRAS_REFUSED
        or doc[index].text == "no"
        or last in EXTRAS_WANTED
        or (last in EXTRAS_ABOUT and doc[index].text != "before")
    ):
        return True  # "figure on replacing those", "without doing them"
    clause, stop = doc._.clauses.span_of(index, 1)
    if "put" in doc[index : index + 2].text.split() and {t.text for t in doc[index:stop]} & IDLE_OVER:
        return True  # "we put a new one in last week"
    return doc[index].text == "before" and any(doc[i].text in EXTRAS_WANTED for i in range(clause, index))


def _to_be_done(doc: Doc, terms: Terms, span: tuple[int, int]) -> bool:
    """ "That one's going to be replaced": the verb behind "be" is work."""
    return doc[span[1] - 1].text == "be" and any(
        s == span[1] for s, _ in terms.within("promise.work", span[1], span[1] + 4)
    )


def _undertaken(doc: Doc, shown: set[str], start: int, end: int, stop: int) -> bool:
    """ "I'll bond that back on", "we'll silicone those": whatever the verb, unless it is one of showing or telling."""
    if not {"i'll", "we'll", "he'll", "i", "we"} & {doc[start].text, doc[start : start + 2].text.replace(" ", "")}:
        return False
    while end < stop and doc[end].text in EXTRAS_ADVERBS:
        end += 1
    if end >= stop or doc[end].is_stop or doc[end].text in shown or doc._.clauses.before[end]:
        return False
    reach = min(stop, end + OBJECT_REACH, doc._.clauses.span_of(end, 1)[1])
    return any(doc[i].text in EXTRAS_OBJECTS for i in range(end + 1, reach))


def _give_cause(doc: Doc, reading: Reading, row: Row, start: int, end: int) -> None:
    """A guess belongs to the last finding of its own sentence or of the one before."""
    near = [f for f in reading.findings if f.at < end and start - f.at < 40]
    if near:
        last = max(near, key=lambda f: f.at)
        if row.part and row.part != last.part and last.at < start:
            return  # "The exhaust blows. Somebody has welded the footrest hanger": of another part
        last.cause_guess = last.cause_guess or row.quote
