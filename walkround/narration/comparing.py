"""Parts that are named only to compare with, to measure by, or as what did it: none of them is spoken of.

"Rear tyre is the same deal as the front, it's cracked" is about the rear tyre, "a scuff the size of a beer mat" about
no mat, "a scratch from a luggage strap" about no luggage.
"""

from collections.abc import Sequence
from itertools import pairwise

from spacy.tokens import Doc

from walkround.narration.grammar import (
    ATTACH_SKIP,
    COMPARING_AT,
    COMPARING_CAUSES,
    COMPARING_DEEDS,
    COMPARING_MEASURED,
    COMPARING_SEEM,
    COMPARING_WITH,
)
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Term

#: "The same old story as the left": so many tokens before "as" may "same" stand.
SAME_REACH = 5


def head_of(doc: Doc, start: int) -> int:
    """The first of the articles and side words before a name; never across a stop or a comma."""
    while start > 0 and not doc._.clauses.before[start] and doc[start - 1].text in ATTACH_SKIP:
        start -= 1
    return start


def compared(doc: Doc, start: int) -> bool:
    """Whether what begins at token ``start`` is only compared with: "same as the left", "unlike the front one"."""
    head = head_of(doc, start)
    if head < 1 or doc._.clauses.before[head] >= 2:
        return False
    word = doc[head - 1].text
    lead = [doc[i].text for i in range(max(0, head - 1 - SAME_REACH), head - 1)]
    if word == "as":
        return bool({"same", "as"} & set(lead)) or lead[-1:] == ["just"]
    if word == "like":
        return not COMPARING_SEEM & set(lead[-2:])
    return word in ("unlike", "than", "match") or (word in ("to", "with") and bool(COMPARING_WITH & set(lead[-1:])))


def measured_by(doc: Doc, start: int) -> bool:
    """Whether it only gives a size or a shape: "the size of a beer mat", "as long as a brake lever"."""
    for at in range(start - 1, max(1, start - 4), -1):  # "a beer mat", "a small spark plug"
        if any(doc._.clauses.before[at : start + 1]):
            return False
        if doc[at].text in ("a", "an", "my", "your"):
            lead, link = doc[at - 2].text, doc[at - 1].text
            return (link == "of" and lead in COMPARING_MEASURED) or (
                link == "as" and doc[at - 3].text in ("as", "about")
            )
    return False


def cause(doc: Doc, start: int) -> bool:
    """Whether it is what did it: "I believe from a luggage strap", "by somebody's toolbox"."""
    at = start
    while at > 0 and doc[at - 1].text in COMPARING_CAUSES:
        at -= 1
    if not 0 < at < start or any(doc._.clauses.before[at : start + 1]):
        return False
    if doc[at - 1].text == "from":
        return "the" not in [doc[i].text for i in range(at, start)]
    return doc[at - 1].text in COMPARING_DEEDS and _on_it(doc, start)


def _on_it(doc: Doc, start: int) -> bool:
    """ "Somebody's dropped their keys on it"."""
    words = [doc[i].text for i in range(start + 1, min(len(doc), start + 4))]
    return any(a in COMPARING_AT and b in ("it", "that", "this", "them") for a, b in pairwise(words))


def akin(lexicon: Lexicon, term: Term, others: Sequence[str]) -> bool:
    """Whether a name is of the same part, or the same family of parts, as one of ``others`` (ids)."""
    family = lexicon.families.get(term.id)
    members = set(family.members.values()) if family else {term.id}
    for known in lexicon.families.values():
        if known.axis_words or "rear" in known.members:
            members |= set(known.members.values()) if members & set(known.members.values()) else set()
    for other in others:
        known_family = lexicon.families.get(other)
        if members & (set(known_family.members.values()) if known_family else {other}):
            return True
    return False
