"""Registration mark and VIN, read out letter by letter or as the recogniser wrote them."""

import re

from spacy.tokens import Doc

from walkround.narration.lexicon import Lexicon
from walkround.narration.model import FactRow, Reading
from walkround.narration.numbers import number_at
from walkround.narration.openings import Forms, forms
from walkround.narration.text import quote, times

#: How far (tokens) the characters may stand from the words that announce them.
REACH = 6
_MARK = re.compile(r"[A-Z]{2}\d{2}[A-Z]{3}")
#: A VIN has 17 characters (ISO 3779); fewer are kept as said, so that a person can see what is missing.
VIN_LENGTH, VIN_LEAST = 17, 11
_SMALL = frozenset("is the it's it 's number and of on".split())


def read_identity(doc: Doc, lexicon: Lexicon, reading: Reading) -> None:
    """Fill ``registration`` and ``vin``. Nothing is put right: what was said is what is kept."""
    words: list[str] = doc._.folds
    for cue_start, at in _cues(words, forms(lexicon, "registration", "cues")):
        mark = _characters(words, at, 7)
        if mark and _MARK.fullmatch(mark[0]):
            _put(doc, reading, "registration", f"{mark[0][:4]} {mark[0][4:]}", cue_start, mark[2])
            break
    for cue_start, at in _cues(words, forms(lexicon, "registration", "vin_cues")):
        said = _characters(words, at, VIN_LENGTH + 3)
        if said and len(said[0]) >= VIN_LEAST and any(c.isdigit() for c in said[0]):
            _put(doc, reading, "vin", said[0], cue_start, said[2])
            break


def _put(doc: Doc, reading: Reading, key: str, value: str, start: int, end: int) -> None:
    s, e = doc._.clauses.span_of(start)
    reading.facts.setdefault(key, FactRow(value, quote(doc, s, max(e, end)), times(doc, start, end)[0]))


def _cues(words: list[str], cues: Forms) -> list[tuple[int, int]]:
    """Start of each cue, and the token where the characters may begin."""
    found = []
    for i in range(len(words)):
        end = cues.end_from(words, i)
        if end is None:
            continue
        at = end
        while at < len(words) and at - end < REACH and words[at] in _SMALL:
            at += 1
        found.append((i, at))
    return found


def _characters(words: list[str], start: int, most: int) -> tuple[str, int, int] | None:
    """The letters and digits that follow from token ``start``: (characters, first token, token after)."""
    words = words[start : start + 3 * most]
    text, i = "", 0
    while i < len(words) and len(text) < most:
        word = words[i]
        number = number_at(words, i)
        if re.fullmatch(r"[a-z]{1,3}|\d+", word) and (number is None or word.isdigit()):
            text, i = text + word.upper(), i + 1
        elif word in ("double", "triple") and i + 1 < len(words):
            digit = number_at(words, i + 1)
            if digit is None or digit.whole is None or digit.whole > 9:
                break
            text, i = text + str(digit.whole) * (2 if word == "double" else 3), digit.end
        elif number and number.whole is not None:
            text, i = text + str(number.whole), number.end
        else:
            break
        if most == 7 and _MARK.fullmatch(text):
            break
    return (text, start, start + i) if text else None
