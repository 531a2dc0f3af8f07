"""Fault words that tell of no fault: what a person does or feels, how such bikes are, what is still to come.

"I'm a bit tired", "let me knock it into neutral", "they all leak there in the end", "the MOT's due in March".
"""

from typing import Protocol

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.grammar import (
    IDLE_DEEDS,
    IDLE_DONE_TO,
    IDLE_GENERAL,
    IDLE_LATER,
    IDLE_MOVED,
    IDLE_OVER,
    IDLE_PEELERS,
    IDLE_PEOPLE,
    IDLE_PRETENDING,
    IDLE_PUT_ON,
    IDLE_WERE,
    IDLE_WILLS,
    IDLE_WORN_AT,
    POLARITY_DEGREE,
    POLARITY_GENERAL_VERBS,
)
from walkround.narration.matches import FAULTS, Terms, between
from walkround.narration.whereabouts import taken_off


class FaultWords(Protocol):
    """Words of a defect at tokens ``start`` up to ``end``."""

    id: str
    start: int
    end: int


#: How far back (tokens) "they" looks for what it stands for.
THEY_REACH = 30
#: How far behind "due" (tokens) the day may be named.
DAY_REACH = 6
#: How far behind "wearing" (tokens) the thing stands that the bike has on; how far before "isn't there" the "pretend".
WORN_REACH, OWNED_REACH = 7, 7
#: "I've had the cap off": how far before "off" (tokens) the thing stands.
MOVED_REACH = 5


def idle(doc: Doc, term: FaultWords, sentence: tuple[int, int], terms: Terms, clauses: Clauses) -> str | None:
    """Why the words of a defect tell of none, or None."""
    if _of_a_person(doc, term, sentence):
        return "of a person"
    if _deed(doc, term, sentence, clauses):
        return "a deed"
    if _moved_aside(doc, term, sentence, clauses):
        return "moved aside to look"
    if _generally(doc, term, sentence, terms):
        return "they + verb"
    if _to_come(doc, term, sentence):
        return "still to come"
    if _each_one(doc, term, sentence):
        return "any such"
    if _fitted_with(doc, term, terms, clauses):
        return "fitted with"
    if _owned_up(doc, term, sentence):
        return "not to be denied"
    return None


def _of_a_person(doc: Doc, term: FaultWords, sentence: tuple[int, int]) -> bool:
    """ "I'm a bit tired", "we were both dead", "everybody gets tired": the subject of the words is a person."""
    counted = doc[term.start - 1].text == "a" and doc[term.start].text not in POLARITY_DEGREE
    onto = term.end < len(doc) and doc[term.end].text in IDLE_DONE_TO
    if counted or onto:
        return False  # "you feel a notch", "somebody's kerbed it"
    at = term.start - 1
    while at > sentence[0] and (doc[at].text in POLARITY_DEGREE or doc[at].text in ("both", "all", "just", "only")):
        at -= 1
    return at > sentence[0] and doc[at].text in IDLE_WERE and doc[at - 1].text in IDLE_PEOPLE


def _deed(doc: Doc, term: FaultWords, sentence: tuple[int, int], clauses: Clauses) -> bool:
    """ "I'll tick that off", "let me split this", "bend down and look", "rock it": somebody does it, here and now."""
    first = doc[term.start].text
    if first in ("peel", "peeled") and term.start > sentence[0] and doc[term.start - 1].text in IDLE_PEELERS:
        return True  # "he peeled the stickers off"
    if first not in IDLE_DEEDS or doc._.tokens[term.start].plural:
        return False
    before = doc[term.start - 1].text if term.start > sentence[0] else ""
    two = doc[term.start - 2].text if term.start - 1 > sentence[0] else ""
    if before in IDLE_WILLS and two in ("i", "we", "you"):
        return True
    if (two, before) in (
        ("let", "me"),
        ("let", "'s"),
        ("going", "to"),
        ("want", "to"),
        ("try", "to"),
        ("trying", "to"),
        ("supposed", "to"),
        ("meant", "to"),
    ):
        return True
    if before in ("i", "we", "you", "let's", "gonna"):
        return True
    after = doc[term.end - 1].text if term.end - term.start > 1 else doc[term.end].text if term.end < len(doc) else ""
    heads = (
        term.start == sentence[0] or clauses.before[term.start] > 0 or before in ("and", "but", "just", "now", "then")
    )
    marked = doc._.tokens[term.start].mark
    return heads and not marked and after in IDLE_DONE_TO


def _moved_aside(doc: Doc, term: FaultWords, sentence: tuple[int, int], clauses: Clauses) -> bool:
    """ "I've had the cap off and it's clean in there", "I know because I lifted it": moved to see what is under it."""
    if term.id == "missing" and doc[term.end - 1].text in ("off", "out"):
        first = max(sentence[0], term.end - MOVED_REACH)
        return any(taken_off(doc, i, clauses) for i in range(first, term.end))
    if doc[term.start].text not in IDLE_MOVED:
        return False
    at = term.start - 1
    while at > sentence[0] and doc[at].text in ("not", "never", "only", "just", "have", "'ve"):
        at -= 1  # "I've not lifted it"
    return at >= sentence[0] and doc[at].text in ("i", "we", "you", "haven't", "didn't", "hasn't")


def _generally(doc: Doc, term: FaultWords, sentence: tuple[int, int], terms: Terms) -> bool:
    """ "They do dent", "they all leak", "they rot at the bottom", where no pair or set of parts is spoken of."""
    verb = doc[term.start].text
    if verb not in POLARITY_GENERAL_VERBS or doc._.tokens[term.start].plural:
        return False
    at = term.start - 1
    helped = False
    while at >= sentence[0] and doc[at].text in IDLE_GENERAL:
        helped, at = True, at - 1
    if at < sentence[0] or doc[at].text not in ("they", "these", "those", "bike"):
        return False
    if helped or doc[at].text != "they":
        return True
    named = [t for t in between(terms.things, at - THEY_REACH, at) if t.kind in ("part", "family")]
    return bool(named) and not any(t.plural for t in named[-1:])


def _to_come(doc: Doc, term: FaultWords, sentence: tuple[int, int]) -> bool:
    """ "The MOT's due in March", "a service is due at twelve thousand": not out of date yet."""
    words = {doc[i].text for i in range(term.start, term.end)}
    if term.id != "out-of-date" or not words & {"due", "run", "runs", "expire", "expires", "end", "ends"}:
        return False
    after = {doc[i].text for i in range(term.end - 1, min(sentence[1], term.end + DAY_REACH))}
    around = {doc[i].text for i in range(max(sentence[0], term.start - 3), min(sentence[1], term.end + DAY_REACH))}
    return bool(after & IDLE_LATER) and not around & IDLE_OVER


def _fitted_with(doc: Doc, term: FaultWords, terms: Terms, clauses: Clauses) -> bool:
    """ "It's wearing bar-end mirrors", "she's wearing a new set of tyres": what the bike has on."""
    words = [doc[i].text for i in range(term.start, min(len(doc), term.start + 2))]
    if words[0] != "wearing" or term.end - term.start > 1 or clauses.ends_at(term.end):
        return False
    things = between(terms.things, term.end, term.end + WORN_REACH)
    if not things or any(clauses.before[term.end : things[0].start + 1]):
        return False
    gap = [doc[i].text for i in range(term.end, things[0].start)]
    faults = [t for t in between(terms.states, term.end, things[0].start) if t.kind in FAULTS]
    return (not gap or gap[0] in IDLE_PUT_ON) and not faults and not set(gap) & IDLE_WORN_AT


def _owned_up(doc: Doc, term: FaultWords, sentence: tuple[int, int]) -> bool:
    """ "I'm not going to pretend it isn't there": the fault told before, not a part that is missing."""
    if term.id != "missing" or doc[term.end - 1].text != "there":
        return False
    lead = [doc[i].text for i in range(max(sentence[0], term.start - OWNED_REACH), term.start)]
    return bool(IDLE_PRETENDING & set(lead)) and bool((IDLE_PEOPLE | {"'m", "not", "won't"}) & set(lead))


def _each_one(doc: Doc, term: FaultWords, sentence: tuple[int, int]) -> bool:
    """ "I'll show you every mark", "a scratch on one of these costs you": of no mark in particular."""
    if term.start > sentence[0] and doc[term.start - 1].text == "every":
        return True
    return doc[term.end : min(sentence[1], term.end + 4)].text in (
        "on one of these",
        "on one of them",
        "on any of these",
    )
