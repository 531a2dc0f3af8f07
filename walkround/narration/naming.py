"""The bike's maker and model as said at the opening: "this is the Gressick Pipit 300, 2019".

No list of makers: a name is told by its shape, words with capitals in the middle of a sentence up to a figure such as
the engine's size or a year. Where the words have no capitals, or were weakly heard, the name is kept for a person to
look at and is not made the title.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from spacy.tokens import Doc

from walkround.narration.lexicon import Lexicon
from walkround.narration.model import FactRow, Reading
from walkround.narration.numbers import find_numbers
from walkround.narration.openings import forms
from walkround.narration.soundalike import plain_words
from walkround.narration.text import mark_after

#: Words of the talk that are looked at, words before and in a name, and how far after it a figure may stand.
OPENING, LEADING, LONGEST, FIGURE = 60, 5, 4, 8
#: Heard less surely than this, a word of the name is for a person to look at.
SURE = 0.5
NO_CAPITALS = "the words have no capitals, so what is the bike’s name is a guess"
WEAKLY = "the recogniser was unsure of this name"
#: "300", "650R", "E6", "MT-07", "1200GS": what makers call their models by.
_MODEL = re.compile(r"\d{2,4}[A-Za-z]{0,3}|[A-Z]{1,3}-?\d{1,4}[A-Z]{0,2}")
_CAPITAL = re.compile(r"[A-Z][A-Za-z'’-]*")
_MARKS = ' .,;:?!…"“”()'
_YEAR = re.compile(r"(?:19|20)\d\d")


@dataclass(frozen=True)
class _Said:
    """A word as written, without its marks; the mark after it; how surely it was heard."""

    text: str
    mark: str
    start: float
    sure: bool


def read_name(doc: Doc, lexicon: Lexicon, reading: Reading) -> None:
    """Fill the fact ``name``, with a reason in its ``review`` where it is not sure."""
    written = doc._.words[:OPENING]
    said = [
        _Said(w.text.strip(' .,;:?!…"“”()'), mark_after(w.text), w.start, (w.probability or 1.0) >= SURE)
        for w in written
    ]
    parts = {doc._.tokens[i].word for t in doc._.terms.things if not t.heard for i in range(t.start, t.end)}
    found = _with_capitals(said, parts, lexicon) or _without(said, parts, lexicon)
    if found is None:
        return
    start, end, doubt = found
    words = [word.text for word in said[start:end] if word.text not in ("the", "a")]
    if doubt is None and not all(word.sure for word in said[start:end]):
        doubt = WEAKLY
    first, last = start, end - 1
    while first and said[first - 1].mark not in (".", "?"):
        first -= 1
    while last + 1 < min(len(said), end + FIGURE) and said[last].mark not in (".", "?"):
        last += 1
    quote = " ".join(word.text for word in written[first : last + 1]).strip(" ,;:")
    reading.facts["name"] = FactRow(" ".join(words), quote, said[start].start, review=doubt)


def _with_capitals(said: Sequence[_Said], parts: set[int], lexicon: Lexicon) -> tuple[int, int, None] | None:
    """The first run of capitals with a figure: from ``start`` up to ``end``."""
    months = {str(name) for name in lexicon.trees["measures.toml"]["months"]["names"]}
    after_cue = set()
    for at in _cues(said, lexicon):
        first = next((i for i in range(at, min(at + LEADING, len(said))) if _CAPITAL.fullmatch(said[i].text)), None)
        after_cue |= {first}
    for start, word in enumerate(said):
        end = start
        while end < len(said) and end - start < LONGEST and _capital(said, end, parts, months):
            end += 1
            if said[end - 1].mark:
                break
        if end == start or word.text in ("I", "A"):
            continue
        opening = start == 0 or said[start - 1].mark in (".", "?")
        if opening and word.text.lower() in plain_words():
            continue  # "Front Tyre": a capital that every sentence has
        model = _model_end(said, end)
        if model is not None and (start in after_cue or end - start >= 2):
            return start, model, None
        if start in after_cue and end - start >= 2 and _figure(said, end):
            return start, end, None
    return None


def _without(said: Sequence[_Said], parts: set[int], lexicon: Lexicon) -> tuple[int, int, str] | None:
    """Where nothing has a capital: rare words between "this is the" and a figure."""
    if any(_CAPITAL.fullmatch(word.text) and word.text != "I" for word in said[1:] if len(word.text) > 1):
        return None
    for at in _cues(said, lexicon):
        for end in range(at + 1, min(at + LONGEST, len(said)) + 1):
            model = _model_end(said, end)
            if model is None or any(word.mark for word in said[at : end - 1]) or parts & set(range(at, end)):
                continue
            if any(word.text.isalpha() and word.text.lower() not in plain_words() for word in said[at:end]):
                return at, model, NO_CAPITALS
    return None


def _cues(said: Sequence[_Said], lexicon: Lexicon) -> list[int]:
    """Where words such as "this is the" end."""
    folded: list[str] = []
    owners: list[int] = []
    for number, word in enumerate(said):
        for token in lexicon.fold(word.text):
            folded.append(token)
            owners.append(number)
    cues = forms(lexicon, "name", "before")
    ends = [cues.end_from(folded, i) for i in range(len(folded))]
    found = [owners[end] for end in ends if end is not None and end < len(owners)]
    return [at + 1 if _YEAR.fullmatch(said[at].text) else at for at in found]  # "a 2017 Oskaloo"


def _capital(said: Sequence[_Said], i: int, parts: set[int], months: set[str]) -> bool:
    return bool(_CAPITAL.fullmatch(said[i].text)) and i not in parts and said[i].text not in months


def _model_end(said: Sequence[_Said], at: int) -> int | None:
    """The word after the model's figure, where one follows: "300", or "the 250" after a comma."""
    if at < len(said) and said[at - 1].mark == "," and said[at].text == "the":
        at += 1
    elif at and said[at - 1].mark:
        return None
    if at < len(said) and _MODEL.fullmatch(said[at].text) and not _YEAR.fullmatch(said[at].text):
        return at + 1
    return None


def _figure(said: Sequence[_Said], at: int) -> bool:
    """Whether a number of two digits or more, such as a year, stands soon after."""
    near = [word.text.lower() for word in said[at : at + FIGURE]]
    words = [piece for text in near for piece in text.replace("-", " ").split()]
    return any(number.value >= 10 for number in find_numbers(words))
