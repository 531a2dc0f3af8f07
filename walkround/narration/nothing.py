""" "Nothing on the left mirror", "nothing from the sump", "not a speck on this frame": none of it, of the part behind.

The part stands behind such words, where a verdict mostly has it before. Words that may as well say that something is
not there ("nothing under the seat", "nothing in the tank", "nothing holding the panel") are none of these.
"""

from collections.abc import Iterator

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.grammar import (
    ATTACH_SKIP,
    NOTHING_AFTER,
    NOTHING_BETWEEN,
    NOTHING_NOUNS,
    NOTHING_PLACES,
    NOTHING_WORDS,
)
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms
from walkround.narration.polarity import Said
from walkround.narration.sides import SideWord

#: Small words ("the other one of the") that may stand between the place and the part.
SKIPPED = ATTACH_SKIP | {"of", "glass", "outside", "inside", "top", "one"}
#: How many words may stand between "nothing" and the place, and between the place and the part.
BETWEEN, SKIP = 4, 5


def nothing_events(doc: Doc, lexicon: Lexicon, sides: list[SideWord]) -> Iterator[Said]:
    """Events for the attacher: a good word of the part that follows it."""
    silent = {*lexicon.phrases("good.answers_not"), "indicator"}
    wet = {*lexicon.phrases("good.may_weep"), "fork", "hose"}  # nothing comes out of them when all is well
    terms: Terms = doc._.terms
    clauses: Clauses = doc._.clauses
    stands_for = {w.start: w.end for w in sides if w.one and not w.void}
    things = {t.start: t for t in terms.things if t.kind != "other"}
    states = {t.start: t.end for t in terms.states if t.kind != "answer" and not t.reach}
    for start, head in _heads(doc):
        place = _place(doc, clauses, head)
        if place is None or states.get(start, 0) >= place:
            continue
        part = place
        while part < min(len(doc), place + SKIP) and part not in things and part not in stands_for:
            if doc[part].text not in SKIPPED or (clauses.before[part] and part > place):
                break
            part += 1
        end = things[part].end if part in things else stands_for.get(part)
        if end is None or not _closed(doc, clauses, end) or _limited(doc, terms, start):
            continue
        out_of = doc[place - 1].text != "on"
        dead = part in things and out_of and (things[part].id in silent or things[part].id not in wet)
        if dead:
            continue  # "nothing from the horn": it does not work
        yield Said("good", "nothing", start, place, form=doc[start:place].text)


def _heads(doc: Doc) -> Iterator[tuple[int, int]]:
    """Where the words for nothing at all begin and end."""
    for i in range(len(doc)):
        text = doc[i].text
        if text in NOTHING_WORDS:
            yield i, i + 1
        elif (
            text == "not" and i + 2 < len(doc) and doc[i + 1].text in ("a", "one") and doc[i + 2].text in NOTHING_NOUNS
        ):
            yield i, i + 3


def _place(doc: Doc, clauses: Clauses, head: int) -> int | None:
    """Where "on the ..." goes on, behind words that add nothing: "at all", "to see", "coming"."""
    for i in range(head, min(len(doc), head + BETWEEN)):
        if clauses.before[i]:
            return None
        if doc[i].text in NOTHING_PLACES:
            out = doc[i].text == "out"
            return i + 2 if out and i + 1 < len(doc) and doc[i + 1].text == "of" else None if out else i + 1
        if doc[i].text not in NOTHING_BETWEEN:
            return None
    return None


def _closed(doc: Doc, clauses: Clauses, end: int) -> bool:
    """Whether nothing more is said of the part: not "nothing on the bars has been touched"."""
    if clauses.ends_at(end) or doc[end].text in NOTHING_AFTER:
        return True
    following = doc[end + 1].text if end + 1 < len(doc) else ""
    return doc[end].text == "that" and following in ("i", "we", "you", "should", "shouldn't")


def _limited(doc: Doc, terms: Terms, start: int) -> bool:
    """ "Nothing on the tank but that mark", "if there's nothing on the frame": not without reserve."""
    first, last = doc._.clauses.span_of(start)
    cues = ("joining.exceptions", "unreal.phrases", "unreal.other_bike", "doubt.phrases")
    return any(terms.within(cue, first, last) for cue in cues) or "but" in {doc[i].text for i in range(start, last)}
