"""Which words are quoted for a fault: the sentence, with its neighbours where it is a mere fragment."""

from spacy.tokens import Doc

from walkround.narration.grammar import ATTACH_PRONOUNS, QUOTING_POINTING
from walkround.narration.matches import between
from walkround.narration.told import Statement

#: A sentence of so few tokens is quoted with the one before it.
FRAGMENT = 6
#: A quote of no more tokens goes on over the next sentence, where no part is named in it.
SHORT = 12
#: How far before "it" (tokens) the name of the part is quoted with it, where the sentence before is long.
NAME_REACH = 8
#: A sentence about "it" is quoted with the fault up to so many tokens of it.
ON_REACH = 18
#: Without punctuation, so many tokens before and after the words of a fault are quoted with them.
UNPUNCTUATED = 9


def span_of(doc: Doc, statement: Statement) -> tuple[int, int]:
    """The first token to quote and the one after the last."""
    if doc._.punctuated:
        return _on_from(doc, _back_from(doc, statement), statement.end)
    return _round(doc, statement)


def _round(doc: Doc, statement: Statement) -> tuple[int, int]:
    """Without punctuation where a statement ends is a guess: more is quoted round it."""
    said, clauses = statement.said, doc._.clauses
    start, end = statement.start, statement.end
    while start and said.start - start < UNPUNCTUATED and clauses.before[start] < 3:
        start = max(clauses.span_of(start - 1)[0], start - UNPUNCTUATED)
    while end < len(doc) and end - said.end < UNPUNCTUATED and clauses.before[end] < 3:
        end = min(clauses.span_of(end)[1], end + UNPUNCTUATED)
    return start, end


def _back_from(doc: Doc, statement: Statement) -> int:
    """The sentence before too, where this one is a mere fragment of it."""
    start, end, clauses = statement.start, statement.end, doc._.clauses
    if statement.how != "focus" or not start or clauses.before[start] >= 3:
        return start
    s, e = clauses.span_of(start - 1)
    pronoun = doc[start].text in ATTACH_PRONOUNS
    fragment = end - start <= FRAGMENT and e - s <= 2 * FRAGMENT
    if fragment or (pronoun and e - s <= FRAGMENT + 3):
        return int(s)
    return _name_before(doc, start) if pronoun else start


def _name_before(doc: Doc, start: int) -> int:
    """ "We'll see back indicator, the right one. | It's been snapped": from the part's name on, if it stands close."""
    near = list(between(doc._.terms.things, max(0, start - NAME_REACH), start))
    if not near:
        return start
    begin: int = near[0].start
    while begin and not doc._.clauses.before[begin] and start - begin < NAME_REACH:
        begin -= 1
    return begin


def _on_from(doc: Doc, start: int, end: int) -> tuple[int, int]:
    """ "It's got stone chips. There's no way round that. Five or six across the front." """
    clauses, things = doc._.clauses, doc._.terms.things
    for _ in range(2):
        if end >= len(doc) or clauses.before[end] >= 3 or end - start > SHORT:
            break
        s, e = clauses.span_of(end)
        if between(things, s, e) or e - s > 2 * FRAGMENT:
            if _goes_on(doc, s):  # "That's finished. It's only got one mil on it, so ..."
                end = _phrases(doc, s, e)
            break
        end = e
    return start, end


def _goes_on(doc: Doc, start: int) -> bool:
    """Whether a sentence goes on about what was said: "it might have been like that", "just there, at the edge"."""
    opens = doc[start].text
    return (
        opens in ATTACH_PRONOUNS
        or opens in QUOTING_POINTING
        or "it" in [token.text for token in doc[start : start + 3]]
    )


def _phrases(doc: Doc, start: int, end: int) -> int:
    """The end of the first phrases of a sentence that name no part, up to ``ON_REACH`` tokens."""
    stop = start
    while stop < end:
        following: int = doc._.clauses.span_of(stop, 1)[1]
        if following - start > ON_REACH or any(not t.weak for t in between(doc._.terms.things, stop, following)):
            break
        stop = following
    return stop if stop > start else start
