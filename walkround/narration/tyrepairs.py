"""Whether front and rear tyre were said to be a pair or odd: in general, in make, in model or in date.

The words are in lexicon/measures.toml. With "not" before it a "same" is read as the "odd" of its kind.
"""

from spacy.tokens import Doc

from walkround.narration.lexicon import Lexicon
from walkround.narration.model import FactRow, Reading
from walkround.narration.openings import Forms, forms
from walkround.narration.text import quote, times

#: How many tokens before "match" and the like a "not" turns it round.
DENIED_REACH = 4
#: How many tokens after the sentence are looked at ("the same as the other").
AFTER = 4
_NEGATIVES = frozenset("not never no hardly".split())
#: What a pair was said to be, by the list of forms, and what it is with "not" before it.
PAIRS = {
    "same": "matching", "odd": "not matching", "same_make": "same make", "odd_make": "different make",
    "same_model": "same model", "odd_model": "different model", "same_date": "same date", "odd_date": "different date",
    "same_unsaid": "the same", "odd_unsaid": "different",
}  # fmt: skip


def read_pair(doc: Doc, lexicon: Lexicon, reading: Reading, start: int, end: int) -> None:
    """Fill ``tyre_pair`` from the tokens of one sentence that speaks of the tyres."""
    words = [t.text for t in doc[start : min(len(doc), end + AFTER)]]
    length = end - start
    kinds = [(kind, forms(lexicon, "tyre_pair", kind)) for kind in PAIRS]
    said: list[str] = []
    first, last, i = end, start, 0
    while i < length:
        kind, stop = _longest(words, i, kinds)
        if kind is None or stop > length or (words[stop : stop + 1] == ["as"] and not _other_end(lexicon, words, stop)):
            i += 1
            continue
        if kind.endswith("unsaid") and forms(lexicon, "tyre_pair", "of_something_else").within(words, 0, length):
            i = stop
            continue
        if kind.startswith("same") and _denied(words, i, 0):
            kind = f"odd{kind.removeprefix('same')}"
        if PAIRS[kind] not in said:
            said.append(PAIRS[kind])
        first, last, i = min(first, start + i), start + stop, stop
    if not said:
        return
    row = FactRow(", ".join(said), quote(doc, start, end), times(doc, first, last)[0], at=first)
    row.review = _odd_saying(said)
    known = reading.facts.setdefault("tyre_pair", row)
    if known.value != row.value and known.review is None:
        known.review = f"later it was said otherwise: “{row.quote}”"


def _other_end(lexicon: Lexicon, words: list[str], at: int) -> bool:
    """ "The same make as the rear", and not "the same age as the bike"."""
    ends = {w for said in lexicon.axis.values() for w in said} | {"other"}
    return bool(ends & set(words[at : at + 4]))


def _longest(words: list[str], i: int, kinds: list[tuple[str, Forms]]) -> tuple[str | None, int]:
    found: tuple[str | None, int] = (None, i)
    for kind, said in kinds:
        stop = said.end_from(words, i)
        if stop is not None and stop > found[1]:
            found = (kind, stop)
    return found


def _denied(words: list[str], i: int, floor: int) -> bool:
    return any(w in _NEGATIVES or w.endswith("n't") for w in words[max(floor, i - DENIED_REACH) : i])


def _odd_saying(said: list[str]) -> str | None:
    """Why a person should look at what was said of the pair."""
    if {"the same", "different"} & set(said):
        return "it was not said in what front and rear are the same or differ"
    opposed = {"matching", "not matching"} <= set(said) or any(
        {f"same {what}", f"different {what}"} <= set(said) for what in ("make", "model", "date")
    )
    return "two things were said that cannot both hold" if opposed else None
