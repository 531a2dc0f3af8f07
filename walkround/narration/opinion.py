"""A second opinion on a sentence as a whole: does it speak of a fault, and of what kind?

The lexicon knows words; people use others ("the foam's had its day", "one and a half down the middle, which the law
takes an interest in"). Two linear models over the runs of words of a sentence, and over the same runs with the
lexicon's words replaced by what they are (PART, FAULT, GOOD), say how likely it is that a fault is spoken of and of
which kind. The opinion takes no fault away and makes no part clear: it adds to how sure a row is, and what it hears
that the lexicon did not is put to a person. The weights are in ``opinion.json``; ``benchmarks/fit_opinion.py`` makes
them and prints how well they do on narrations that were not used.
"""

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property, lru_cache
from importlib import resources

from spacy.lang.en.stop_words import STOP_WORDS
from spacy.tokens import Doc

from walkround.narration.matches import FAULTS, Terms, between

#: Words that are no reason by themselves; "^" and "$" are the ends of a sentence.
SAYS_NOTHING = STOP_WORDS | {"^", "$"}
#: Runs of so many words, and of so many words with the lexicon's replaced.
WORD_RUN, KIND_RUN = 3, 4
#: The sum of a sentence's weights is divided by the root of how many features it has, times this.
SCALE = 4.0

if not Doc.has_extension("opinions"):
    Doc.set_extension("opinions", default=None)  # dict: first token of a sentence -> Opinion


@dataclass(frozen=True, eq=False)
class Model:
    """``fault``: feature to weight, with "bias"; ``kinds``: defect to its own such table."""

    fault: Mapping[str, float]
    kinds: Mapping[str, Mapping[str, float]]

    @cached_property
    def told(self) -> Mapping[str, Sequence[tuple[str, float]]]:
        """Feature to the kinds it speaks for, with the weight: a sentence has few of them."""
        table: dict[str, list[tuple[str, float]]] = {}
        for kind, weights in self.kinds.items():
            for name, weight in weights.items():
                table.setdefault(name, []).append((kind, weight))
        return table


@dataclass(frozen=True)
class Opinion:
    """``fault``: the chance, 0 to 1, that a sentence speaks of a fault; ``kinds``: defect to chance, if it does.

    Kinds and words are worked out when they are asked for: most sentences speak of no fault.
    """

    fault: float
    found: Sequence[str] = ()
    weights: Model = field(default_factory=lambda: Model({}, {}))

    @cached_property
    def kinds(self) -> Mapping[str, float]:
        scale = SCALE / math.sqrt(max(1, len(self.found)))
        scores = {kind: table.get("bias", 0.0) for kind, table in self.weights.kinds.items()}
        for name in self.found:
            for kind, weight in self.weights.told.get(name, ()):
                scores[kind] += scale * weight
        top = max(scores.values(), default=0.0)
        shares = {kind: math.exp(score - top) for kind, score in scores.items()}
        total = sum(shares.values()) or 1.0
        return {kind: share / total for kind, share in shares.items()}

    @property
    def words(self) -> Sequence[str]:
        """The runs of words that spoke for a fault most."""
        table = self.weights.fault
        runs = (f for f in self.found if f[0] == "w" and not set(f[2:].split()) <= SAYS_NOTHING)
        spoke = sorted(runs, key=lambda f: -table.get(f, 0.0))[:3]
        return tuple(f[2:] for f in spoke if table.get(f, 0.0) > 0)

    @property
    def kind(self) -> str:
        """The likeliest kind of fault."""
        return max(self.kinds, key=lambda name: self.kinds[name], default="mark")


@cache
def model() -> Model:
    """The fitted weights."""
    table = json.loads(resources.files("walkround.narration").joinpath("opinion.json").read_text("utf-8"))
    return Model(table["fault"], table["kinds"])


def give_opinions(doc: Doc, weights: Model) -> Doc:
    """Fill ``doc._.opinions`` for every sentence of a Doc with terms and clauses."""
    doc._.opinions = {start: opinion_on(doc, start, end, weights) for start, end in doc._.clauses.sentences}
    return doc


def opinion_on(doc: Doc, start: int, end: int, weights: Model) -> Opinion:
    """The opinion on some words of a Doc with terms."""
    return _heard(*_parts(doc, start, end), weights)


def opinion(found: list[str], weights: Model) -> Opinion:
    """The opinion on a sentence with these features."""
    scale = SCALE / math.sqrt(max(1, len(found)))
    return Opinion(1 / (1 + math.exp(-_score(found, weights.fault, scale))), found, weights)


def _score(found: Sequence[str], table: Mapping[str, float], scale: float) -> float:
    return table.get("bias", 0.0) + scale * sum(table.get(f, 0.0) for f in found)


@lru_cache(maxsize=1024)
def _heard(words: tuple[str, ...], kinds: tuple[str, ...], faults: tuple[str, ...], weights: Model) -> Opinion:
    """The opinion on a sentence; a talk that is read again with one word changed has mostly the same sentences."""
    return opinion(_features(words, kinds, faults), weights)


def features(doc: Doc, start: int, end: int) -> list[str]:
    """The runs of a sentence: "w ..." of its words, "k ..." with the lexicon's words replaced, "f ..." its faults."""
    return _features(*_parts(doc, start, end))


def _parts(doc: Doc, start: int, end: int) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """The words of a sentence, the same with the lexicon's replaced, and the faults that the lexicon knows in it."""
    asked = ("?",) if doc._.tokens[end - 1].mark == "?" else ()
    faults = tuple(term.id for term in between(doc._.terms.states, start, end) if term.kind in FAULTS)
    return (*doc._.folds[start:end], *asked), tuple(_replaced(doc, start, end)), faults


def _features(words: Sequence[str], kinds: Sequence[str], faults: Sequence[str]) -> list[str]:
    found = {f"w {run}" for size in range(1, WORD_RUN + 1) for run in _runs(words, size)}
    found |= {f"k {run}" for size in range(1, KIND_RUN + 1) for run in _runs(kinds, size) if size == 1 or _telling(run)}
    found |= {f"f {fault}" for fault in faults}
    return sorted(found)


def _runs(words: Sequence[str], size: int) -> Iterator[str]:
    padded = words if size == 1 else ["^", *words, "$"]
    return (" ".join(padded[i : i + size]) for i in range(len(padded) - size + 1))


def _telling(run: str) -> bool:
    return any(word.isupper() for word in run.split())


def _replaced(doc: Doc, start: int, end: int) -> Iterator[str]:
    """The words of a sentence with those of the lexicon replaced by what they are."""
    terms: Terms = doc._.terms
    folds: list[str] = doc._.folds
    names = {t.start: (t.end, "OTHER" if t.kind == "other" else "PART") for t in between(terms.things, start, end)}
    for term in between(terms.states, start, end):
        fault = term.kind in FAULTS
        names.setdefault(term.start, (term.end, "FAULT" if fault else "GOOD" if term.kind == "good" else "WELL"))
    i = start
    while i < end:
        if i in names and names[i][0] <= end:
            yield names[i][1]
            i = max(names[i][0], i + 1)
            continue
        word = folds[i]
        yield "SIDE" if word in ("left", "right") else "NUM" if word.isdigit() else word
        i += 1
