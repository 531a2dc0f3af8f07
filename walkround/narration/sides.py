"""Left, right, both, the other: which words mean a side, and which do not ("right then", "three mil left")."""

from dataclasses import dataclass
from itertools import pairwise

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.comparing import compared
from walkround.narration.grammar import (
    SIDES_BETWEEN,
    SIDES_CORRECTED,
    SIDES_ENDS,
    SIDES_LEADING,
    SIDES_NOT_A_SIDE_NEXT,
    SIDES_POINTING,
    SIDES_VERBS,
)
from walkround.narration.matches import FAULTS, Term, Terms, between

#: Words that may stand between a side and the part it belongs to ("left-hand lower fairing").
#: How far behind the left one (tokens) a bare "right" can be its fellow.
ANSWER_REACH = 25
#: "Engine. ... On the clutch side": how far back (tokens) the engine was named.
ENGINE_REACH = 20


@dataclass(slots=True)
class SideWord:
    """Words that name a side at tokens ``start`` up to ``end``.

    ``value``: left, right, both, other or this. ``one``: it stands for a part ("the left one").
    ``place``: it names a whole side of the bike ("the left-hand side"). ``void``: taken back at once.
    """

    value: str
    start: int
    end: int
    one: bool = False
    place: bool = False
    void: bool = False
    moved: bool = False  # it has moved the camera already
    moving: bool = False  # it stands for a part and moves the camera too


def find_sides(doc: Doc) -> list[SideWord]:
    """All side words of a Doc with terms and clauses, in order."""
    terms: Terms = doc._.terms
    clauses: Clauses = doc._.clauses
    starts = {t.start for t in terms.things if t.kind != "other"}
    inside = {i for t in terms.things if t.kind != "other" for i in range(t.start, t.end)}
    states = {t.start for t in terms.states}
    found: list[SideWord] = []
    for value in ("left", "right"):
        for start, end in terms.cue(f"{value}.words"):
            if start in inside:
                continue
            word = _left_or_right(doc, clauses, starts, states, value, start, end)
            if word:
                found.append(word)
        for start, end in terms.cue(f"{value}.phrases"):
            found.append(_extended(doc, SideWord(value, start, end, place=True)))
        for start, end in terms.cue(f"{value}.before_side"):
            if end in starts and doc[end].text == "side" and not clauses.before[end]:
                found.append(SideWord(value, start, end))
    engine = [t.start for t in terms.things if t.id.startswith("engine-")]
    for start, _ in terms.cue("right.at_engine"):
        for word in found:
            if word.start == start and any(0 < start - at <= ENGINE_REACH for at in engine):
                word.value = "right"
    for start, end in terms.cue("both.phrases"):
        found.append(SideWord("both", start, end))
    for start, end in terms.cue("other.one"):
        if _other_fault(doc, terms, end):
            continue
        found.append(SideWord("other", start, end, one=True))
    for start, end in terms.cue("other.phrases"):
        found.append(_extended(doc, SideWord("other", start, end, place=True)))
    for start, end in terms.cue("this.phrases"):
        found.append(SideWord("this", start, end, place=True))
    found += _answering(doc, clauses, found)
    for word in found:
        if word.value == "other" and word.place and _all_said(doc, terms, clauses, word):
            word.one, word.place, word.moving = True, False, True
    found.sort(key=lambda w: (w.start, -w.end))
    kept: list[SideWord] = []
    for word in found:
        if not kept or word.start >= kept[-1].end:
            kept.append(word)
    _void_corrected(doc, kept, terms)
    for word in kept:
        if word.value in ("left", "right") and not word.moved and compared(doc, word.start):
            word.void = True  # "engine cover on the right, same as the left"
    return kept


def _other_fault(doc: Doc, terms: Terms, end: int) -> bool:
    """ "Two marks. One's a scratch, the other's a crack": the other mark, no other part."""
    if doc[end : end + 2].text not in ("'s a", "is a"):
        return False
    counted = doc[end + 2 : end + 4].text.split()
    return any(t.kind in FAULTS for t in between(terms.states, end + 2, end + 2 + len(counted)))


def _answering(doc: Doc, clauses: Clauses, found: list[SideWord]) -> list[SideWord]:
    """ "Side panels. Left, nothing. Right, a scuff": behind a left one, a "right" that opens a statement is a side."""
    lefts = [w.start for w in found if w.value == "left" and w.one and clauses.before[w.start] > 0]
    taken = {i for w in found for i in range(w.start, w.end)}
    return [
        SideWord("right", i, i + 1, one=True)
        for i in range(1, len(doc))
        if doc[i].text == "right" and i not in taken and clauses.before[i] >= 2 and clauses.ends_at(i + 1)
        if any(0 < i - at <= ANSWER_REACH for at in lefts)
    ]


def _all_said(doc: Doc, terms: Terms, clauses: Clauses, word: SideWord) -> bool:
    """ "A scrape on the right panel. Other side, nothing": of the same part on the other side, and no more is said."""
    start, end = clauses.span_of(word.start)
    head = all(doc[i].text in SIDES_LEADING for i in range(start, word.start)) and clauses.before[start] < 3
    named = any(t.kind != "other" for t in between(terms.things, start, end))
    states = between(terms.states, word.end, end)
    close = bool(states) and states[0].start - word.end <= 3 and end - states[0].end <= 2
    return head and not named and start > 0 and close


def _extended(doc: Doc, word: SideWord) -> SideWord:
    if word.end < len(doc) and doc[word.end].text == "one":
        word.end += 1
        word.one, word.place = True, False
    return word


def _left_or_right(
    doc: Doc, clauses: Clauses, starts: set[int], states: set[int], value: str, start: int, end: int
) -> SideWord | None:
    """A SideWord where the word is a side, None where it is the verb or the adverb."""
    word = SideWord(value, start, end)
    size = len(doc)
    hand = end < size and doc[end].text == "hand" and end not in starts
    if hand:
        word.end += 1
    if word.end < size and doc[word.end].text in ("side", "hander") and word.end not in starts:
        word.end += 1
        word.place = word.end not in starts
        return _extended(doc, word)
    if word.end < size and doc[word.end].text == "one":
        word.end += 1
        word.one = True
        return word
    if _is_end(doc, clauses, starts, word):
        word.end += 1
        word.one = True
        return word
    ahead = word.end
    while (
        ahead < min(word.end + 3, size)
        and doc[ahead].text in SIDES_BETWEEN
        and ahead not in starts
        and not clauses.before[ahead]
    ):
        ahead += 1
    if (
        ahead in starts
        and not clauses.before[ahead]
        and (value == "left" or hand or not _is_adverb(doc, clauses, start))
    ):
        return word
    previous = doc[start - 1].text if start else ""
    following = doc[word.end].text if word.end < size else ""
    if hand:
        word.one = True
        return word
    if previous in ("front", "rear", "back") and start > 1 and doc[start - 2].text in SIDES_POINTING:
        place = doc[start - 3].text if start > 2 else ""
        alone = doc[start - 2].text == "the" and place not in ("on", "at", "down", "to", "in", "of")
        word.one = alone and (clauses.ends_at(word.end) or following in SIDES_VERBS - {"there"})
        return word  # "on the front right"; "the front right, the lens is cracked"
    if previous in SIDES_POINTING and following not in SIDES_NOT_A_SIDE_NEXT:
        place = doc[start - 2].text if start > 1 and not clauses.before[start - 1] else ""
        word.one = previous not in ("on", "to") and place not in (
            "on",
            "down",
            "up",
            "to",
            "at",
            "in",
            "along",
            "round",
            "off",
            "from",
            "across",
        )
        return word
    first = start - 1 if previous in ("front", "rear", "back") and start else start  # "Front left's fine"
    at_start = first == 0 or clauses.before[first] >= 1
    listed = clauses.ends_at(word.end) or word.end in states
    if (
        at_start
        and listed
        and first
        and clauses.before[first] == 1
        and any(s in starts for s in range(first - 6, first))
    ):
        word.one = True  # "Side panels, left, nothing", "grips, right torn"
        return word
    if at_start and (
        following in SIDES_VERBS - {"there"} or ((value == "left" or first < start) and clauses.ends_at(word.end))
    ):
        if (
            following in ("is", "'s")
            and value == "right"
            and word.end + 1 < size
            and doc[word.end + 1].text in ("then", "so")
        ):
            return None
        word.one = True
        return word
    return None


def _is_end(doc: Doc, clauses: Clauses, starts: set[int], word: SideWord) -> bool:
    """ "Grab rail, left end's good", "turn signals, left rear is good": the head of what is said."""
    if word.end >= len(doc) or word.end in starts or doc[word.end].text not in SIDES_ENDS:
        return False
    first = word.start - 1 if word.start and doc[word.start - 1].text in ("the", "and") else word.start
    at_start = first == 0 or clauses.before[first] >= 1 or clauses.before[word.start] >= 1
    following = doc[word.end + 1].text if word.end + 1 < len(doc) else ""
    return at_start and (clauses.ends_at(word.end + 1) or following in SIDES_VERBS - {"there"})


def _is_adverb(doc: Doc, clauses: Clauses, start: int) -> bool:
    """ "right" that opens a sentence and is cut off by a comma, or follows a word of manner."""
    if start and doc[start - 1].text in (
        "all",
        "quite",
        "just",
        "not",
        "about",
        "alright",
        "seal",
        "sit",
        "work",
        "is",
    ):
        return doc[start - 1].text != "is"
    return False


def _void_corrected(doc: Doc, words: list[SideWord], terms: Terms) -> None:
    """ "left, sorry, right-hand mirror": the first is taken back."""
    corrections = list(terms.cue("joining.corrections"))
    for first, second in pairwise(words):
        if {first.value, second.value} == {"left", "right"} and second.start - first.end <= 6:
            gap = [c for c in corrections if first.end <= c[0] and c[1] <= second.start]
            led = gap and {doc[i].text for i in range(gap[-1][1], second.start)} <= SIDES_CORRECTED
            if gap and led and gap[0][0] - first.end <= 2:  # not "left disc, no lip. Right disc"
                first.void = True


def own_side(doc: Doc, thing: Term, words: list[SideWord], clauses: Clauses) -> str | None:
    """The side said in or right beside a part's name: "front left indicator", "left-hand lower fairing"."""
    inside = {doc[i].text for i in range(thing.start, thing.end)}
    for value in ("left", "right"):
        if value in inside:
            return value
    for word in between(words, thing.start - 8, thing.start + 1):
        if word.void or word.end > thing.start or thing.start - word.end > 3:
            continue
        gap = range(word.end, thing.start)
        if any(clauses.before[i] >= 2 for i in range(word.end, thing.start + 1)):
            continue
        if all(doc[i].text in SIDES_BETWEEN | {"of", "the", "your"} for i in gap) and not clauses.before[thing.start]:
            if word.value == "both" and any(doc[i].text == "of" for i in gap):
                continue
            return "this" if word.moved else word.value
    return None
