"""Where full stops and commas belong in words that came without any: a small linear model over words and terms.

Recognisers differ: some write no punctuation. The reading needs to know where a statement ends, so it is
guessed here, from left to right, from the words around each gap, from what the lexicon knows them to be, and from
what the statement has said so far. The weights are in ``marks.json``; ``benchmarks/fit_marks.py`` makes them.
"""

import json
from collections.abc import Iterator, Sequence
from functools import cache
from importlib import resources

from spacy.tokens import Doc

from walkround.narration.grammar import MARKS_LEADING, MARKS_VERBS
from walkround.narration.matches import Terms
from walkround.narration.text import BREAK_SILENCE, SOFT_SILENCE

MARKS = ("", ",", ".")
Weights = dict[str, Sequence[float]]


@cache
def weights() -> Weights:
    """The fitted weights: feature to one number a mark."""
    found: Weights = json.loads(resources.files("walkround.narration").joinpath("marks.json").read_text("utf-8"))
    return found


def restore(doc: Doc, model: Weights) -> None:
    """Fill ``mark`` of the tokens of a Doc whose terms were found, in place."""
    toks = doc._.tokens
    names = {term.start for term in (*doc._.terms.things, *doc._.terms.states)}
    ended = {term.end for term in doc._.terms.things}
    inside = {i for term in (*doc._.terms.things, *doc._.terms.states) for i in range(term.start + 1, term.end)}
    cues = doc._.terms.cue("denial.before", "denial.before_clause", "doubt.phrases")
    inside |= {i for start, end in cues for i in range(start + 1, end + 1)}  # what is denied follows
    for i, features in walk(doc):
        if toks[i].silence >= BREAK_SILENCE:
            choice = 2
        elif i in inside:
            choice = 0
        elif i in names and doc[i - 1].text in MARKS_LEADING:
            choice = 0  # "the left | pannier" is one name
        elif i in ended and doc[i].text in MARKS_VERBS:
            choice = 0  # "the oil tank | might be scuffed"
        else:
            scores = [0.0, 0.0, 0.0]
            for feature in features:
                for k, weight in enumerate(model.get(feature, ())):
                    scores[k] += weight
            choice = max(range(3), key=scores.__getitem__)
            if toks[i].silence >= SOFT_SILENCE:
                choice = max(choice, 1)
        toks[i - 1].mark = MARKS[choice]


def walk(doc: Doc) -> Iterator[tuple[int, list[str]]]:
    """Each gap between words (the token after it) with its features; reads the marks set before it as it goes."""
    toks, words = doc._.tokens, doc._.folds
    kinds = _kinds(doc)
    begun, thing, state = 0, False, False
    for i in range(1, len(words)):
        thing |= kinds[i - 1] in ("thing", "weak")
        state |= kinds[i - 1] in ("bad", "good")
        if not toks[i].first:
            continue
        yield i, _features(words, kinds, i, i - begun, thing, state)
        if toks[i - 1].mark in (".", "?"):
            begun, thing, state = i, False, False


def _kinds(doc: Doc) -> list[str]:
    """What the lexicon knows each token to be."""
    terms: Terms = doc._.terms
    kinds = ["number" if t.like_num else "" for t in doc]
    for term in (*terms.things, *terms.states):
        kind = {"good": "good", "adjective": "good", "verb": "good", "answer": "good"}.get(term.kind, "bad")
        if term.kind in ("part", "family", "other"):
            kind = "weak" if term.weak or term.kind == "other" else "thing"
        for i in range(term.start, term.end):
            kinds[i] = kind if i == term.start else kind + "+"
    return kinds


def _features(words: list[str], kinds: list[str], i: int, length: int, thing: bool, state: bool) -> list[str]:
    def word(k: int) -> str:
        return words[k] if 0 <= k < len(words) else "#"

    def kind(k: int) -> str:
        return kinds[k] or words[k] if 0 <= k < len(words) else "#"

    before, after, later, earlier = word(i - 1), word(i), word(i + 1), word(i - 2)
    said = f"{thing:d}{state:d}"
    size = min(length, 3) if length < 4 else 4 + min(length // 4, 5)
    return [
        "bias", f"a={before}", f"b={after}", f"c={later}", f"d={earlier}", f"ab={before}_{after}",
        f"bc={after}_{later}", f"da={earlier}_{before}", f"A={kind(i - 1)}", f"B={kind(i)}", f"C={kind(i + 1)}",
        f"D={kind(i - 2)}", f"AB={kind(i - 1)}_{kind(i)}", f"BC={kind(i)}_{kind(i + 1)}",
        f"BCE={kind(i)}_{kind(i + 1)}_{kind(i + 2)}", f"E={kind(i + 2)}", f"DAB={kind(i - 2)}_{kind(i - 1)}_{kind(i)}",
        f"s={said}", f"n={size}", f"sB={said}_{kind(i)}", f"sA={said}_{kind(i - 1)}", f"nB={size}_{kind(i)}",
        f"sAB={said}_{kind(i - 1)}_{kind(i)}", f"sBC={said}_{kind(i)}_{kind(i + 1)}",
    ]  # fmt: skip
