"""Parts that only tell where something is, what something is for, or what was taken off to look."""

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.comparing import head_of
from walkround.narration.grammar import (
    FOCUS_DETERMINERS,
    FOCUS_PURPOSE,
    FOCUS_TAKEN,
    RESERVE_HANDLING,
    WHERE_BEFORE_DEEDS,
    WHERE_LAMP_KINDS,
    WHERE_LAMPS,
    WHERE_MEANS,
    WHERE_PEOPLE,
    WHERE_WHENS,
)
from walkround.narration.matches import FAULTS, Term, Terms, between

#: "Where it comes out of the engine": so many tokens may stand between.
WHERE_REACH = 8


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
    if (
        _in_where(doc, start, clauses, terms)
        or _handled(doc, start, clauses, terms)
        or _by_means_of(doc, start, term, terms, clauses)
    ):
        return True
    if doc[start - 1].text in ("through", "in", "at") and "feel" in [
        doc[i].text for i in range(max(0, start - 5), start)
    ]:
        return True  # "you can feel it through the lever"
    return any(e in (start, term.start) for _, e in terms.within("joining.where", start - 5, term.start))


def _in_where(doc: Doc, start: int, clauses: Clauses, terms: Terms) -> bool:
    """ "The exhaust, where it comes out of the engine, has gone blue": within words that only tell where."""
    at = start
    while at > max(0, start - WHERE_REACH) and not clauses.before[at] and doc[at].text != "where":
        at -= 1
    if doc[at].text != "where" or any(state.kind in FAULTS for state in between(terms.states, at, start)):
        return False  # "where it's rubbed the swingarm"
    return at > 0 and doc[at + 1].text in ("it", "they", "that", "you", "your", "he", "she")


def _handled(doc: Doc, start: int, clauses: Clauses, terms: Terms) -> bool:
    """ "Right one, when I spin the wheel, there's a wobble in it": what somebody takes hold of to find a fault."""
    verb = start - 1
    if doc[verb].text in RESERVE_HANDLING and (clauses.before[verb] or doc[verb - 1].text in WHERE_BEFORE_DEEDS):
        return True  # "but hold the tyre and rock it and it knocks"
    at = start
    while at > max(0, start - WHERE_REACH) and not clauses.before[at] and doc[at].text not in WHERE_WHENS:
        at -= 1
    if doc[at].text not in WHERE_WHENS or at + 1 >= start or doc[at + 1].text not in WHERE_PEOPLE:
        return False
    return not between(terms.states, at, start)


def _by_means_of(doc: Doc, start: int, term: Term, terms: Terms, clauses: Clauses) -> bool:
    """ "The screen goes up and down on a button": what works the part that is spoken of."""
    if start < 2 or doc[start].text not in ("a", "an") or doc[start - 1].text not in WHERE_MEANS:
        return False
    states = between(terms.states, clauses.span_of(term.start, 1)[0], term.start)
    return not any(state.kind in FAULTS for state in states)


def beside(doc: Doc, start: int, terms: Terms) -> bool:
    """Whether what is named from token ``start`` only has the fault beside it: "in front of the cap", "by the seat"."""
    head = head_of(doc, start)
    return any(e in (head, start) for _, e in terms.within("joining.beside", head - 5, start))


def tells_of(doc: Doc, start: int) -> bool:
    """ "The little green light for the indicators": what a lamp among the instruments stands for."""
    head = head_of(doc, start)
    words = [doc[i].text for i in range(max(0, head - 6), head)]
    for link in (["for"], ["that", "say"], ["that", "show"], ["that", "tell", "you"], ["to", "say"], ["to", "show"]):
        lamp = words[: len(words) - len(link)]
        if words[-len(link) :] == link and lamp[-1:] and lamp[-1] in WHERE_LAMPS:
            return bool(WHERE_LAMP_KINDS & set(lamp[-3:-1]))
    return False


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
