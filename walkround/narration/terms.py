"""Finding the lexicon's words in a narration: parts, defects, good words and the phrases round them.

One spaCy PhraseMatcher a layer. In the layer of things and states the longest match wins, so that a name which
holds another part's name ("engine bar", "tank pad", "bar end") is only itself. Cues are kept beside them.
"""

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Protocol, TypeVar

from spacy.language import Language
from spacy.matcher import PhraseMatcher
from spacy.tokens import Doc
from spacy.vocab import Vocab

from walkround.narration.grammar import TERMS_ONE_HAS
from walkround.narration.lexicon import Lexicon

if not Doc.has_extension("terms"):
    Doc.set_extension("terms", default=None)

#: Cue categories that compete with each other for the same words; the longest wins.
POLARITY = (
    "denial.before",
    "denial.before_clause",
    "denial.not_denial",
    "doubt.phrases",
    "unreal.phrases",
    "unreal.other_bike",
)
#: Cue categories that may overlap anything.
CUES = (
    "denial.after", "denial.alone", "denial.ends", "doubt.weak", "unreal.belief", "repaired.past", "repaired.cues",
    "repaired.renewed", "withdrawn.phrases", "withdrawn.returns", "guess.phrases", "guess.lead_in", "guess.causes",
    "promise.will", "promise.work", "promise.phrases", "promise.not_work", "excluded.phrases", "included.phrases",
    "joining.openers", "joining.conjunctions", "joining.exceptions", "joining.corrections", "joining.same",
    "joining.where", "joining.linking", "joining.hosting", "joining.small_things", "suspicion.before",
    "suspicion.has", "suspicion.fails", "suspicion.alone", "good.whole_bike", "repaired.visible",
    "extent.phrases", "both.phrases", "other.phrases", "other.one",
    "this.phrases", "left.phrases", "right.phrases", "place.front.phrases", "place.rear.phrases",
    "place.left.phrases", "place.right.phrases", "place.middle.phrases",
)  # fmt: skip
JOINING = ("left.words", "right.words", "left.before_side", "right.before_side")
#: Categories that cut a statement; they never stand inside a part's name.
STOPS = ("denial.ends", "joining.exceptions", "joining.openers", "joining.where")


@dataclass(slots=True)
class Term:
    """Words of the lexicon at tokens ``start`` up to ``end``.

    ``kind`` is part, family, other, defect, good, answer or verb; ``heard`` and ``score`` are set where a
    sound-alike was taken for it.
    """

    kind: str
    id: str
    start: int
    end: int
    weak: bool = False
    plural: bool = False
    form: str = ""
    axis: str | None = None
    heard: str | None = None
    score: float = 1.0
    own_part: str | None = None
    head: bool = False


class Placed(Protocol):
    """Anything with a first token."""

    start: int


P = TypeVar("P", bound=Placed)


def between(items: Sequence[P], start: int, end: int) -> Sequence[P]:
    """Of items in order of place, those that begin at tokens ``start`` up to ``end``."""
    low = bisect_left(items, start, key=_start)
    return items[low : bisect_left(items, end, lo=low, key=_start)]


def _start(item: Placed) -> int:
    return item.start


@dataclass
class Terms:
    """All matches in a Doc: things and states in order, cues by category as (start, end)."""

    things: list[Term] = field(default_factory=list)
    states: list[Term] = field(default_factory=list)
    cues: dict[str, list[tuple[int, int]]] = field(default_factory=dict)

    def cue(self, *categories: str) -> Iterator[tuple[int, int]]:
        """The spans of the categories, in order within each."""
        for category in categories:
            yield from self.cues.get(category, ())

    def within(self, category: str, start: int, end: int) -> list[tuple[int, int]]:
        """The spans of a category that lie inside the tokens from ``start`` up to ``end``."""
        spans = self.cues.get(category, [])
        found = []
        for number in range(bisect_left(spans, (start, 0)), len(spans)):
            if spans[number][0] >= end:
                break
            if spans[number][1] <= end:
                found.append(spans[number])
        return found

    @cached_property
    def stops(self) -> frozenset[int]:
        """Tokens at which a denial has ended."""
        return frozenset(e for _, e in self.cue("denial.ends", "joining.exceptions"))

    @cached_property
    def takers(self) -> dict[int, list[tuple[int, int]]]:
        """Cues that take a clause, by the token at which they end."""
        found: dict[int, list[tuple[int, int]]] = {}
        for category in ("denial.before_clause", "doubt.phrases", "unreal.phrases", "unreal.other_bike"):
            for span in self.cue(category):
                found.setdefault(span[1], []).append(span)
        return found

    @cached_property
    def inside_takers(self) -> dict[int, int]:
        """Token inside a cue that takes a clause, to the start of that cue."""
        return {i: s for spans in self.takers.values() for s, e in spans for i in range(s + 1, e)}

    @cached_property
    def subjects(self) -> frozenset[int]:
        """Tokens at which a part is named."""
        return frozenset(t.start for t in self.things if t.kind != "other")

    @cached_property
    def covered(self) -> frozenset[int]:
        """Tokens inside a thing or a state."""
        return frozenset(i for t in (*self.things, *self.states) for i in range(t.start, t.end))


Entry = tuple[str, Term]


def thing_entries(lexicon: Lexicon) -> Iterator[Entry]:
    """Forms of parts and families, with the forms that an axis word makes ("front wheel")."""
    axis_words = [word for words in lexicon.axis.values() for word in words]
    for part in lexicon.parts.values():
        for form in part.forms:
            yield form, Term("part", part.id, 0, 0, form=form)
        for form in part.weak:
            yield form, Term("part", part.id, 0, 0, weak=True, form=form)
        for form in part.head_forms:
            yield form, Term("part", part.id, 0, 0, form=form, head=True)
        for form in part.plural_forms:
            yield form, Term("part", part.id, 0, 0, form=form, plural=True)
    for part in lexicon.parts.values():
        for form in part.forms:
            if form.startswith("brake "):  # "front brake hose" is no front brake
                for word in axis_words:
                    yield f"{word} {form}", Term("part", part.id, 0, 0, form=form)
    for family in lexicon.families.values():
        for form in family.forms:
            yield form, Term("family", family.id, 0, 0, form=form, weak=form in family.inner)
            for axis, words in lexicon.axis.items():
                member = family.members.get(axis)
                if not family.axis_words or member is None:
                    continue
                for word in words:
                    for side in ("", "left ", "right "):
                        yield f"{word} {side}{form}", Term("part", member, 0, 0, form=form, axis=axis)
                    yield f"left {word} {form}", Term("part", member, 0, 0, form=form, axis=axis)
                    yield f"right {word} {form}", Term("part", member, 0, 0, form=form, axis=axis)
        for form in family.plural_forms:
            yield form, Term("family", family.id, 0, 0, form=form, plural=True)
    for form in lexicon.phrases("joining.other_things"):
        yield form, Term("other", form, 0, 0, form=form)


def state_entries(lexicon: Lexicon) -> Iterator[Entry]:
    """Forms of defects and good words, and the phrases that mean neither."""
    for part_id, defects in lexicon.trees["defects.toml"]["own_part"].items():
        for defect_id, forms in defects.items():
            for form in forms:
                yield form, Term("defect", defect_id, 0, 0, form=form, own_part=part_id)
    for defect in lexicon.defects.values():
        for form in defect.forms:
            yield form, Term("defect", defect.id, 0, 0, form=form)
        for form in defect.final_forms:
            yield form, Term("final", defect.id, 0, 0, form=form)
    for form in lexicon.phrases("repaired.renewed"):
        yield form, Term("good", "good", 0, 0, form=form)
    for part_id, forms in lexicon.trees["phrases.toml"]["good"]["of_part"].items():
        for form in forms:
            yield form, Term("good", "good", 0, 0, form=form, own_part=part_id)
    for kind, path in (
        ("good", "good.phrases"),
        ("adjective", "good.adjectives"),
        ("verb", "good.verbs"),
        ("answer", "good.answers"),
    ):
        for form in lexicon.phrases(path):
            yield form, Term(kind, kind, 0, 0, form=form)
    for form in lexicon.phrases("joining.nothing_meant"):
        yield form, Term("nothing", "nothing", 0, 0, form=form)


def _variants(folded: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """The phrase itself, and with each two neighbours joined ("mud guard", "mudguard")."""
    yield folded
    if 1 < len(folded) < 4:
        for i in range(len(folded) - 1):
            if folded[i].isalpha() and folded[i + 1].isalpha():
                yield (*folded[:i], folded[i] + folded[i + 1], *folded[i + 2 :])


class TermFinder:
    """The spaCy component: fills ``doc._.terms``."""

    def __init__(self, vocab: Vocab, lexicon: Lexicon) -> None:
        self.lexicon = lexicon
        self.entries: list[Term] = []
        self._main = PhraseMatcher(vocab, attr="ORTH")
        self._cues = PhraseMatcher(vocab, attr="ORTH")
        self._vocab = vocab
        self._patterns: dict[tuple[str, ...], int] = {}
        for make in (thing_entries, state_entries):
            for form, term in make(lexicon):
                self._add(form, term)
        grouped: dict[str, list[Doc]] = {}
        for folded, index in self._patterns.items():
            grouped.setdefault(str(index), []).append(Doc(vocab, words=list(folded)))
        for key, docs in grouped.items():
            self._main.add(key, docs)
        for category in (*POLARITY, *CUES, *JOINING):
            forms = {lexicon.fold(form) for form in self._forms(category)}
            docs = [Doc(vocab, words=list(form)) for form in sorted(forms) if form]
            if docs:
                self._cues.add(category, docs)

    def _forms(self, category: str) -> list[str]:
        path = "guess.causes" if category == "guess.causes" else category
        return self.lexicon.phrases(path)

    def _add(self, form: str, term: Term) -> None:
        for folded in _variants(self.lexicon.fold(form)):
            if not folded or folded in self._patterns:
                continue
            self._patterns[folded] = len(self.entries)
            self.entries.append(term)

    def __call__(self, doc: Doc) -> Doc:
        terms = Terms()
        toks = doc._.tokens
        found: list[Term] = []
        for match_id, start, end in self._main(doc):
            entry = self.entries[int(doc.vocab.strings[match_id])]
            plural = toks[end - 1].plural
            if entry.plural and not plural:
                continue
            if plural and doc._.punctuated is not None and end < len(doc) and doc[end].text in TERMS_ONE_HAS:
                plural = False  # "the mirrors got a scratch": a lost apostrophe
            if entry.head and not (toks[end - 1].mark and (start == 0 or toks[start - 1].mark in (".", "?"))):
                continue
            stops = (".", "?", ",") if entry.kind in ("good", "defect") else (".", "?")
            if any(t.mark in stops for t in toks[start : end - 1]):
                continue  # no word runs over a full stop, no verdict over a comma
            heard = " ".join(t.heard or doc[i].text for i, t in enumerate(toks[start:end], start))
            changed = any(t.heard for t in toks[start:end])
            found.append(
                replace(
                    entry,
                    start=start,
                    end=end,
                    plural=plural,
                    heard=heard if changed else None,
                    score=0.9 if changed else 1.0,
                )
            )
        for term in longest(found):
            if term.kind in ("part", "family", "other"):
                terms.things.append(term)
            elif term.kind != "nothing":
                terms.states.append(term)
        cues: dict[str, list[tuple[int, int]]] = {}
        for match_id, start, end in self._cues(doc):
            if not any(t.mark in (".", "?") for t in toks[start : end - 1]):
                cues.setdefault(doc.vocab.strings[match_id], []).append((start, end))
        terms.cues = _settle(cues, terms)
        doc._.terms = terms
        return doc


def longest(found: Iterable[Term]) -> list[Term]:
    """The longest of overlapping matches, in order of place. Between equals the earlier wins."""
    taken: set[int] = set()
    kept: list[Term] = []
    for term in sorted(found, key=lambda t: (t.start - t.end, t.start)):
        span = range(term.start, term.end)
        if not taken.intersection(span):
            taken.update(span)
            kept.append(term)
    return sorted(kept, key=lambda t: t.start)


def _settle(cues: dict[str, list[tuple[int, int]]], terms: Terms) -> dict[str, list[tuple[int, int]]]:
    """Let polarity cues compete; a cue inside a defect's or verdict's own words ("doesn't work") is no cue."""
    rivals = [Term(c, c, s, e) for c in POLARITY for s, e in cues.get(c, ())]
    rivals += [replace(t) for t in terms.states if t.end - t.start > 1]
    settled: dict[str, list[tuple[int, int]]] = {c: [] for c in POLARITY}
    for term in longest(rivals):
        if term.kind in settled:
            settled[term.kind].append((term.start, term.end))
    phrased = {i: s for c in POLARITY for s in settled[c] if s[1] - s[0] > 2 for i in range(*s)}
    terms.states = [t for t in terms.states if not _within_longer(t, phrased.get(t.start))]
    inside = {i: t.end for t in terms.things for i in range(t.start, t.end)}
    for category, spans in cues.items():
        if category in POLARITY:
            continue
        if category in STOPS:  # the "bar" of a handlebar ends no denial
            spans = [s for s in spans if inside.get(s[0], -1) < s[1]]
        settled[category] = sorted(_maximal(spans))
    return settled


def _within_longer(term: Term, span: tuple[int, int] | None) -> bool:
    return span is not None and term.end <= span[1] and span[1] - span[0] > term.end - term.start


def _maximal(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Spans that lie in no longer span of the same category."""
    kept: list[tuple[int, int]] = []
    reach = -1
    for start, end in sorted(spans, key=lambda s: (s[0], -s[1])):
        if end > reach:
            kept.append((start, end))
            reach = end
    return kept


@Language.factory("walkround_terms", default_config={"lexicon": None})
def create_terms(nlp: Language, name: str, lexicon: Lexicon) -> Callable[[Doc], Doc]:
    """The component for a pipeline of our own; ``lexicon`` is a loaded Lexicon."""
    return TermFinder(nlp.vocab, lexicon)
