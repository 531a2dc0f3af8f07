"""The narration as a spaCy Doc: one token a folded piece, each tied to the word that was heard and its time."""

import re
from dataclasses import dataclass

from spacy.tokens import Doc
from spacy.vocab import Vocab

from walkround.narration.lexicon import Lexicon
from walkround.speech.transcript import Transcript, Word

#: A silence of this many seconds ends a statement, whatever the punctuation.
BREAK_SILENCE = 1.2
#: A silence of this many seconds is worth a comma; without punctuation it is worth a full stop.
SOFT_SILENCE = 0.5
#: Fewer sentence marks than one in this many words: the text is taken as unpunctuated.
WORDS_A_MARK = 60
_SENTENCE_END = re.compile(r"[.!?;:…][\"'”’)\]]*$")
_SOFT_END = re.compile(r"[,–—-][\"'”’)\]]*$|\.\.\.$")

if not Doc.has_extension("tokens"):
    Doc.set_extension("tokens", default=None)  # list[Tok]
    Doc.set_extension("words", default=None)  # list[Word]
    Doc.set_extension("folds", default=None)  # list[str]: the tokens' texts, since making spaCy's tokens is slow
    Doc.set_extension("punctuated", default=True)


@dataclass(slots=True)
class Tok:
    """What the folded token stands for. ``mark`` is the punctuation after it: ".", ",", "?" or nothing."""

    word: int
    plural: bool
    start: float
    end: float
    probability: float | None
    first: bool
    heard: str | None = None  # what was heard, where a plain word was taken for a trade word
    mark: str = ""
    silence: float = 0.0


def mark_after(text: str) -> str:
    """The mark at the end of a written word: "?" and "." end a sentence, "," a phrase."""
    if text.endswith("..."):
        return ","
    if _SENTENCE_END.search(text):
        return "?" if "?" in text else "."
    return "," if _SOFT_END.search(text) else ""


Confusions = dict[str, tuple[str, frozenset[str]]]


def build_doc(transcript: Transcript, lexicon: Lexicon, vocab: Vocab, confusions: Confusions | None = None) -> Doc:
    """The Doc of a transcript. ``doc._.tokens`` and ``doc._.words`` tie it to what was heard."""
    words: list[Word] = list(transcript.words())
    folds: list[str] = []
    toks: list[Tok] = []
    last_end = 0.0
    for index, word in enumerate(words):
        found = lexicon.pieces(word.text)
        mark = mark_after(word.text)
        if not found:
            if toks and mark:
                toks[-1].mark = max(toks[-1].mark, mark)
            continue
        for number, piece in enumerate(found):
            silence = max(0.0, word.start - last_end) if number == 0 and toks else 0.0
            toks.append(Tok(index, piece.plural, word.start, word.end, word.probability, number == 0, silence=silence))
            folds.append(piece.fold)
        toks[-1].mark = mark
        last_end = word.end
    _unconfuse(folds, toks, confusions or {})
    doc = Doc(vocab, words=folds)
    doc._.tokens = toks
    doc._.words = words
    doc._.folds = folds
    marks = sum(t.mark in (".", "?") for t in toks)
    doc._.punctuated = marks * WORDS_A_MARK >= len(toks)
    return doc


def _unconfuse(folds: list[str], toks: list[Tok], confusions: Confusions) -> None:
    """Put the trade word where a plain word was heard beside a word that gives it away, in place."""
    for i, fold in enumerate(folds):
        meant = confusions.get(fold)
        if meant is None:
            continue
        near = {folds[k] for k in range(max(0, i - 2), min(len(folds), i + 3)) if k != i}
        if near & meant[1]:
            toks[i].heard, folds[i] = fold, meant[0]
            if toks[i].mark == "," and i + 1 < len(folds) and folds[i + 1] in meant[1]:
                toks[i].mark = ""  # "a bit of pain, missing along the edge"


def quote(doc: Doc, start: int, end: int) -> str:
    """The words as heard that the tokens from ``start`` up to ``end`` stand for."""
    toks, words = doc._.tokens, doc._.words
    first, last = toks[start].word, toks[end - 1].word
    return " ".join(word.text for word in words[first : last + 1]).strip(" ,;–—-")


def times(doc: Doc, start: int, end: int) -> tuple[float, float]:
    """Start and end in seconds of the tokens from ``start`` up to ``end``."""
    toks = doc._.tokens
    return toks[start].start, toks[end - 1].end
