"""One form for each word, whoever wrote it down: case, plural, hyphens, spelling and contractions folded.

The lexicon and the narration pass through the same functions, so that "Mud-guards", "mudguard" and "mud guard"
meet. Folding is for matching only; what the report quotes is always the words as they were heard.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from walkround.narration.grammar import FOLDING_KEEP_S

_CLITIC = re.compile(r"(?i)^(.+?)('s|'ll|'ve|'d|'re|'m)$")
_PIECE = re.compile(r"(?<!\w)'(?:s|re|ll|ve|d|m)\b|[0-9]+(?:[.,][0-9]+)*|[^\W\d_]+(?:'[^\W\d_]+)*'?|[%£$€]", re.UNICODE)
_CLITICS = frozenset(("'s", "'ll", "'ve", "'d", "'re", "'m"))
#: Contractions that recognisers write without an apostrophe.
_BARE = {
    "thats": "that's",
    "theres": "there's",
    "its": "it's",
    "ive": "i've",
    "weve": "we've",
    "theyre": "they're",
    "youd": "you'd",
    "youll": "you'll",
    "theyve": "they've",
    "whats": "what's",
    "heres": "here's",
    "youve": "you've",
    "hes": "he's",
    "shes": "she's",
    "itll": "it'll",
    "thatll": "that'll",
    "theyll": "they'll",
    "ones": "one's",
    "im": "i'm",
}


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a written word that stands for itself in matching. ``plural`` says that an s was taken off."""

    fold: str
    plural: bool = False


def singular(word: str) -> str:
    """The word without a plural (or third person) s; short and irregular words are left alone."""
    if len(word) < 4 or word in FOLDING_KEEP_S or not word.endswith("s") or word.endswith(("ss", "us", "is", "'s")):
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("sses", "shes", "ches", "xes")):
        return word[:-2]
    return word[:-1]


def pieces(text: str, spelling: Mapping[str, str]) -> list[Piece]:
    """The folded pieces of one written word or of a whole phrase.

    ``spelling`` maps a lower-case word to the words that the lexicon uses for it.
    """
    plain = text.replace("’", "'").replace("‘", "'").lower()
    found: list[Piece] = []
    for part in _PIECE.findall(plain):
        found.extend(_word_pieces(part, spelling))
    return found


def _word_pieces(word: str, spelling: Mapping[str, str]) -> list[Piece]:
    if word in _CLITICS:
        return [Piece(word)]
    word = word.strip("'") if word not in spelling else word
    if not word:
        return []
    word = _respelt(_BARE.get(word, word), spelling)
    clitic = _CLITIC.match(word)
    if clitic:
        return [*_word_pieces(clitic[1], spelling), Piece(clitic[2])]
    if " " in word:
        return [piece for part in word.split() for piece in _word_pieces(part, spelling)]
    bare = singular(word)
    if bare != word and bare in spelling:
        return [Piece(p, plural=True) for p in _respelt(bare, spelling).split()]
    return [Piece(bare, plural=bare != word)]


def _respelt(word: str, spelling: Mapping[str, str]) -> str:
    """The lexicon's spelling, which may itself be another word's ("millimeter", "millimetre", "mil")."""
    for _ in range(3):
        if word not in spelling:
            break
        word = spelling[word].lower()
    return word


def fold_phrase(text: str, spelling: Mapping[str, str]) -> tuple[str, ...]:
    """A phrase as the tuple of its folded words."""
    return tuple(piece.fold for piece in pieces(text, spelling))
