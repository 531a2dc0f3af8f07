"""Sentences that only suppose a cause or a history: "I'd say that's off a kerb", "must have been a fuse".

The same small words hedge a size ("maybe two inches"), praise ("I suppose it's fine"), a name ("the side fairing, I
suppose") or the end of the talk ("and that's it, I think"): those suppose nothing.
"""

from spacy.tokens import Doc

from walkround.narration.grammar import (
    SUPPOSING_AFTER,
    SUPPOSING_ALL,
    SUPPOSING_BEFORE,
    SUPPOSING_IF,
    SUPPOSING_IT,
    SUPPOSING_OVER,
    SUPPOSING_SIZES,
    SUPPOSING_WOULD,
)
from walkround.narration.matches import Terms, between
from walkround.narration.numbers import number_at

#: How far (tokens) after "that'll be" the cause may be named.
CAUSE_REACH = 7
#: How far (tokens) after "from the" and "off a" the cause stands.
FROM_REACH = 2
#: How far (tokens) after "I suppose" the praise may stand that it hedges.
PRAISE_REACH = 4
#: How far (tokens) after "I'd have thought" the "would" may stand that makes it untrue.
WOULD_REACH = 4


def supposes(doc: Doc, terms: Terms, start: int, end: int) -> bool:
    """Whether a sentence supposes a cause or a history."""
    causes = terms.within("guess.causes", start, end)
    if any(_supposed(doc, terms, s, e, start, end) for s, e in terms.within("guess.phrases", start, end)):
        return True
    tags = [s for s, e in terms.within("guess.tags", start, end) if doc._.clauses.ends_at(e)]
    if any(a <= s - 1 < b for s in tags for a, b in causes):
        return True  # "a cigarette, is it?"
    for _, e in terms.within("guess.bare_lead_in", start, end):
        if any(a == e and doc._.clauses.ends_at(b) for a, b in causes):
            return True  # "That's sun."
    for s, e in terms.within("guess.lead_in", start, end):
        near = FROM_REACH if doc[s].text in ("from", "off") else CAUSE_REACH
        if s > start and doc[s - 1].text in SUPPOSING_IF:
            continue  # "I'm not sure if it's just damp"
        tied = any(0 <= a - e <= near and not any(doc._.clauses.before[e : a + 1]) for a, _ in causes)
        if tied and not terms.within("withdrawn.phrases", s, end):
            return True
    return False


def _supposed(doc: Doc, terms: Terms, start: int, end: int, first: int, last: int) -> bool:
    """Whether the words from ``start`` up to ``end`` suppose something of the bike, and not a size or a good word."""
    before = doc[start - 1].text if start > first else ""
    after = doc[end].text if end < last else ""
    if before in SUPPOSING_BEFORE or after in SUPPOSING_AFTER:
        return False  # "there might be a hair of play", "I must be honest", "I'd say half of that"
    if after in SUPPOSING_IT and doc._.clauses.ends_at(end + 1):
        return False  # "I believe it", "I'd say so"
    sized = after in ("a", "an") and doc[end + 1 : end + 2].text in SUPPOSING_SIZES
    if sized or (end < last and number_at(doc._.folds, end)):
        return False  # "I'd say two mil", "maybe an inch"
    if (
        any(doc[i].text in SUPPOSING_WOULD for i in range(end, min(last, end + WOULD_REACH)))
        and "have" in doc[start:end].text.split()
    ):
        return False  # "I'd have thought there'd be more": there are not
    hedged = between(terms.states, end, min(last, end + PRAISE_REACH))
    if any(t.kind in ("good", "adjective", "verb") for t in hedged):
        return False  # "I suppose it's fine"
    ends = doc._.clauses.ends_at(end)
    ahead, behind = ({token.text for token in doc[a:b]} for a, b in ((end, end + 5), (first, start)))
    over = ends and "that" in behind and behind <= SUPPOSING_OVER
    if over or ("that" in ahead and ahead & SUPPOSING_ALL):
        return False  # "and that's about it, I think", "I think that's everything"
    praised = between(terms.states, max(first, start - PRAISE_REACH), start)
    return not (ends and any(t.end == start and t.kind in ("good", "adjective", "verb") for t in praised))
