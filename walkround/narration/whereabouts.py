"""Parts that only tell where something is, what something is for, or what was taken off to look."""

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.grammar import FOCUS_DETERMINERS, FOCUS_PURPOSE, FOCUS_TAKEN
from walkround.narration.matches import Term, Terms


def is_locative(doc: Doc, term: Term, terms: Terms, clauses: Clauses) -> bool:
    """Whether the part only tells where something is ("just above the footrest")."""
    start = term.start
    while (
        start > 0
        and not clauses.before[start]
        and (
            doc[start - 1].text in FOCUS_DETERMINERS
            or doc[start - 1].text in ("left", "right", "hand", "front", "rear")
        )
    ):
        start -= 1
    if clauses.before[start]:
        return False
    if in_front_of(doc, term.start) or taken_off(doc, term.start, clauses):
        return True
    if placed_beside(doc, start) or purpose(doc, start):
        return True
    if doc[start - 1].text in ("through", "in", "at") and "feel" in [
        doc[i].text for i in range(max(0, start - 5), start)
    ]:
        return True  # "you can feel it through the lever"
    return any(e in (start, term.start) for _, e in terms.within("joining.where", start - 5, term.start))


def placed_beside(doc: Doc, start: int) -> bool:
    """ "A dent, left of the filler", "to the right of the cap", but not "on the left of the tank"."""
    if start < 3 or doc[start - 1].text != "of" or doc[start - 2].text not in ("left", "right"):
        return False
    return doc[start - 3].text != "the" or doc[start - 4].text == "to"


def in_front_of(doc: Doc, start: int) -> bool:
    """ "Just in front of the seat", where "front of the seat" is a name as well."""
    return start > 0 and doc[start].text == "front" and doc[start - 1].text == "in" and doc[start + 1].text == "of"


def purpose(doc: Doc, start: int) -> bool:
    """ "The left one does your back brake", "that's for the gears": what a thing is for."""
    word = doc[start - 1].text
    return word in FOCUS_PURPOSE or (word == "for" and start > 1 and doc[start - 2].text in ("is", "'s"))


def taken_off(doc: Doc, start: int, clauses: Clauses) -> bool:
    """ "I pulled the cap and looked inside": a part that somebody moved out of the way to look."""
    at = start - 1
    while at > 0 and doc[at].text in FOCUS_DETERMINERS:
        at -= 1
    if at < 1 or doc[at].text not in FOCUS_TAKEN or any(clauses.before[at + 1 : start + 1]):
        return False
    who = {doc[i].text for i in range(max(0, at - 3), at)} & {"i", "we", "you"}
    return bool(who) and (doc[at].text not in ("had", "have", "'d") or _off(doc, start))


def _off(doc: Doc, start: int) -> bool:
    return bool({doc[i].text for i in range(start, min(len(doc), start + 4))} & {"off", "out", "up", "open"})
