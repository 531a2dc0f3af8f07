"""Whether words of the lexicon say what they can say where they stand: "is yellow", not "the yellow one".

Some words are a fault or a good word only at the end of what is said, or only behind "is", or only as an answer.
"""

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.grammar import (
    MANNER_PASSED,
    POLARITY_AFTER_STATE,
    POLARITY_AFTER_VERDICT,
    POLARITY_COPULAS,
    POLARITY_DEGREE,
    POLARITY_FINAL_COPULAS,
    POLARITY_INTENSIFIERS,
    POLARITY_INTERJECTIONS,
    POLARITY_PAST_TIMES,
    POLARITY_PATCHES,
    POLARITY_STATE_COPULAS,
    VALIDITY_GOING,
    VALIDITY_ONES,
)
from walkround.narration.matches import FAULTS, Term, Terms, between

#: A sentence of no more tokens that ends in a part's name is a heading.
HEADING = 6


def is_meant(doc: Doc, term: Term, terms: Terms, clauses: Clauses, unpraised: set[str]) -> bool:
    if (
        term.kind == "good"
        and not term.reach
        and term.end < len(doc)
        and doc._.tokens[term.start].plural
        and doc[term.end - 1].text == "on"
    ):
        return term.form.split()[0].endswith("s")  # "blue spots on it" is not "spot on"
    if term.kind in ("good", "adjective", "answer") and _interjected(doc, term, terms, clauses):
        return False
    if term.kind == "good" and term.form in ("'s new", "is new", "are new") and doc[term.start - 1].text == "there":
        return False  # "there's new rotors going on before it leaves"
    if term.kind in ("defect", "good"):
        return True
    if term.kind == "adjective" and doc._.tokens[term.end - 1].plural:
        return False  # "it sounds", "the goods"
    if term.kind == "answer":
        return _is_answer(doc, term, terms, clauses)
    if term.kind == "manner":
        return _is_manner(doc, term, terms, clauses, unpraised)
    if term.kind == "final":
        return clauses.ends_at(term.end) and (clauses.before[term.start] > 0 or _is_so(doc, term, clauses))
    if term.kind == "predicate":
        return _said_of(doc, term, terms, clauses)
    following = doc[term.end].text if term.end < len(doc) else ""
    if (
        term.kind == "verb"
        and term.start
        and doc[term.start - 1].text in ("on", "a", "the", "for", "of", "any", "no", "to")
    ):
        return False
    if doc[term.start].text == "worked" and POLARITY_PAST_TIMES & {t.text for t in doc[term.end : term.end + 2]}:
        return False  # "that worked this morning": and now?
    if clauses.ends_at(term.end) or following in POLARITY_AFTER_VERDICT:
        return not (term.kind == "adjective" and _described(doc, term))
    if term.kind == "verb":
        return bool(between(terms.things, term.end, term.end + 1))
    if between(terms.states, term.end, term.end + 1):
        return False
    at = term.start - 1
    while at >= 0 and doc[at].text in POLARITY_INTENSIFIERS:
        at -= 1
    copula = at >= 0 and doc[at].text in POLARITY_COPULAS
    return copula and bool(between(terms.things, term.end, term.end + 4))


def _is_so(doc: Doc, term: Term, clauses: Clauses, further: bool = False) -> bool:
    """Whether a form of "be" or the like stands before the words: "is a bit tired"."""
    at = term.start - 1
    while (
        at > 0
        and not clauses.before[at + 1]
        and (
            doc[at].text in POLARITY_DEGREE
            or (doc[at].text in ("that", "this") and doc[at - 1].text in VALIDITY_GOING)  # "gone that yellow"
            or (further and (doc[at].text in POLARITY_INTENSIFIERS or doc[at].text[-2:] == "ly"))
        )
    ):
        at -= 1
    if at > 1 and doc[at - 1 : at + 1].text in ("sort of", "kind of"):
        at -= 2  # "gone sort of yellow"
    return at >= 0 and (doc[at].text in POLARITY_FINAL_COPULAS or (further and doc[at].text in POLARITY_STATE_COPULAS))


def _said_of(doc: Doc, term: Term, terms: Terms, clauses: Clauses) -> bool:
    """ "The lens is yellow at the edge", "a dull patch", "a weak spring"; not "the yellow one", "dead straight"."""
    following = doc[term.end].text if term.end < len(doc) else ""
    ends = clauses.ends_at(term.end) or following in POLARITY_AFTER_VERDICT or following in POLARITY_AFTER_STATE
    named = any(t.end == term.start for t in between(terms.things, term.start - 6, term.start))  # "fuel gauge dead"
    if ends and (named or _is_so(doc, term, clauses, True) or term.start == 0 or clauses.before[term.start] > 0):
        return True
    return following in POLARITY_PATCHES or bool(between(terms.things, term.end, term.end + 1))


def _described(doc: Doc, term: Term) -> bool:
    """ "a good, honest ..." and "be straight": no verdict on a part."""
    previous = doc[term.start - 1].text if term.start else ""
    if previous == "the":
        return True  # "on the whole"
    return previous in ("be", "a") and doc[term.start].text in (
        "straight",
        "clear",
        "fair",
        "sensible",
        "good",
        "nice",
    )


def _is_manner(doc: Doc, term: Term, terms: Terms, clauses: Clauses, unpraised: set[str]) -> bool:
    """ "Opens easily", "turned over very nicely": behind a verb of its own that is no fault and no seeing of one."""
    following = doc[term.end].text if term.end < len(doc) else ""
    if not clauses.ends_at(term.end) and following not in POLARITY_AFTER_VERDICT:
        return False
    at = term.start - 1
    while at > 0 and not clauses.before[at + 1] and doc[at].text in MANNER_PASSED:
        at -= 1
    if at < 0 or any(clauses.before[at + 1 : term.start + 1]):
        return False
    verb = doc[at]
    faulty = any(t.kind in FAULTS for t in between(terms.states, at - 3, at + 1) if t.end > at)
    return verb.is_alpha and not verb.is_stop and verb.text not in unpraised and not faulty


def _interjected(doc: Doc, term: Term, terms: Terms, clauses: Clauses) -> bool:
    """ "Okay, other side", "All right. Next, the tank": said to oneself, of no part."""
    opens = term.start == 0 or clauses.before[term.start] >= 2
    mark = doc._.tokens[term.end - 1].mark
    alone = clauses.ends_at(term.end) and bool(mark)
    if mark == "." and _heading(doc, term.start, terms, clauses):
        return False  # "Chain. All right."
    return opens and alone and doc[term.start : term.end].text in POLARITY_INTERJECTIONS


def _heading(doc: Doc, at: int, terms: Terms, clauses: Clauses) -> bool:
    """ "Left mirror. | Nothing.": the sentence before is a part's name and no more."""
    if not at or clauses.before[at] >= 3:
        return False
    start, end = clauses.span_of(at - 1)
    things = [t for t in between(terms.things, start, end) if t.kind != "other"]
    return (
        len(things) == 1 and end == things[0].end and end - start <= HEADING and not between(terms.states, start, end)
    )


def _is_answer(doc: Doc, term: Term, terms: Terms, clauses: Clauses) -> bool:
    """ "Left mirror, no." but not "the back, no, two": it must end the statement or lead to another good word."""
    if not (
        clauses.before[term.start] == 1
        or any(t.end == term.start for t in between(terms.things, term.start - 6, term.start))
    ):
        return False
    if not clauses.ends_at(term.end):
        return False
    start, stop = clauses.span_of(term.start)
    if (start, stop) == (term.start, term.end) and _heading(doc, start, terms, clauses):
        return doc[term.start].text not in ("no", "nope")
    if not any(
        start <= t.start < term.start for t in between(terms.things, start, term.start) if t.kind != "other"
    ) and not VALIDITY_ONES & {token.text for token in doc[start : term.start]}:
        return False
    final = term.end >= len(doc) or clauses.before[term.end] >= 2
    return final or any(t.kind == "good" for t in between(terms.states, term.end, term.end + 1))
