"""Finding the lexicon's words in a narration: parts, defects, good words and the phrases round them.

One spaCy PhraseMatcher a layer. In the layer of things and states the longest match wins, so that a name which
holds another part's name ("engine bar", "tank pad", "bar end") is only itself. Cues are kept beside them.
"""

from collections.abc import Iterable
from dataclasses import replace

from spacy.matcher import PhraseMatcher
from spacy.tokens import Doc
from spacy.vocab import Vocab

from walkround.narration.forms import (
    CUES,
    JOINING,
    POLARITY,
    STOPS,
    in_full,
    state_entries,
    thing_entries,
    turned_entries,
    variants,
)
from walkround.narration.grammar import TERMS_ONE_HAS, TERMS_WELL
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import FAULTS, Term, Terms
from walkround.narration.patterns import patterns_of

if not Doc.has_extension("terms"):
    Doc.set_extension("terms", default=None)

#: A pattern of so few words says no more than a plain word that stands at the end ("it's hanging").
SHORT_PATTERN = 2
THINGS = ("part", "family", "other")


class TermFinder:
    """The spaCy component: fills ``doc._.terms``."""

    def __init__(self, vocab: Vocab, lexicon: Lexicon) -> None:
        self.lexicon = lexicon
        self.entries: list[Term] = []
        self._main = PhraseMatcher(vocab, attr="ORTH")
        self._cues = PhraseMatcher(vocab, attr="ORTH")
        self._vocab = vocab
        self.patterns = patterns_of(lexicon)
        self._patterns: dict[tuple[str, ...], int] = {}
        for make in (thing_entries, state_entries, turned_entries):
            for form, term in make(lexicon):
                self._add(form, term)
        grouped: dict[str, list[Doc]] = {}
        for folded, index in self._patterns.items():
            grouped.setdefault(str(index), []).append(Doc(vocab, words=list(folded)))
        for key, docs in grouped.items():
            self._main.add(key, docs)
        for category in (*POLARITY, *CUES, *JOINING):
            forms = {full for form in self._forms(category) for full in in_full(lexicon.fold(form))}
            docs = [Doc(vocab, words=list(form)) for form in sorted(forms) if form]
            if docs:
                self._cues.add(category, docs)

    def _forms(self, category: str) -> list[str]:
        path = "guess.causes" if category == "guess.causes" else category
        return self.lexicon.phrases(path)

    def _add(self, form: str, term: Term) -> None:
        for folded in variants(self.lexicon.fold(form)):
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
                one = f"one {entry.form}"
                if one not in self.lexicon.near or not _is_well(doc, start, end):
                    continue
                entry = replace(entry, form=one)
            if plural and doc._.punctuated is not None and end < len(doc) and doc[end].text in TERMS_ONE_HAS:
                plural = False  # "the mirrors got a scratch": a lost apostrophe
            alone = toks[end - 1].mark and (start == 0 or toks[start - 1].mark in (".", "?"))
            if entry.head and not alone and not _is_well(doc, start, end):
                continue
            stops = (".", "?", ",")
            if any(t.mark in stops for t in toks[start : end - 1]):
                continue  # no name or verdict runs over a mark
            if self._halves_a_word(doc, end):
                continue
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
        best = longest(found)
        known = {i for t in best if t.kind == "defect" for i in range(t.start, t.end)}
        shortly = {i for t in best if t.kind == "predicate" for i in range(t.start, t.end)}
        at_end = {i for t in best if t.kind == "final" for i in range(t.start, t.end)}
        for term in self.patterns.find(doc):
            if self.patterns.wins(term.form):
                found.insert(0, term)  # before a phrase that is as long
                continue
            rule, span = self.patterns.rule(term.form), range(term.start, term.end)
            of_few = rule is not None and bool(rule.only)  # "has begun to yellow" is more than "yellow" alone
            doubtful = shortly | at_end if term.reach <= SHORT_PATTERN else shortly
            if not known.intersection(span) and not (of_few and doubtful.intersection(span)):
                found.append(term)  # otherwise a plain phrase says more closely what is wrong
        found = _whole_names(found)
        for term in longest(found):
            if term.kind in THINGS:
                terms.things.append(term)
            elif term.kind != "nothing":
                terms.states.append(replace(term, within=_within(term, found)) if term.reach else term)
        cues: dict[str, list[tuple[int, int]]] = {}
        for match_id, start, end in self._cues(doc):
            if not any(t.mark in (".", "?") for t in toks[start : end - 1]):
                cues.setdefault(doc.vocab.strings[match_id], []).append((start, end))
        terms.cues = _settle(cues, terms)
        doc._.terms = terms
        return doc

    def _halves_a_word(self, doc: Doc, end: int) -> bool:
        """ "The shock's had its chrome go" is no "had it": "its" is read as "it" and "'s", as recognisers mean it."""
        if end >= len(doc) or doc[end - 1].text != "it" or doc[end].text != "'s":
            return False
        words = {doc._.words[doc._.tokens[i].word].text.strip(",.;:").lower() for i in (end - 1, end)}
        return words == {"its"}


def _is_well(doc: Doc, start: int, end: int) -> bool:
    """ "Light's all right", "the plate is straight": the head of what is said, and a good word of it."""
    toks = doc._.tokens
    first = start - 1 if start and doc[start - 1].text == "the" else start
    heads = first == 0 or bool(toks[first - 1].mark)
    return heads and end + 1 < len(doc) and doc[end].text in ("'s", "is") and doc[end + 1].text in TERMS_WELL


def _whole_names(found: list[Term]) -> list[Term]:
    """Without the states that take the end of a part's name: "the bar tip | is missing", "half fairing | in"."""
    names = [t for t in found if t.kind in THINGS and not t.weak and t.end - t.start > 1]
    whole = {i: t.end for t in names for i in range(t.start + 1, t.end)}
    kept = [t for t in found if t.kind in THINGS or t.end <= whole.get(t.start, t.end)]
    # "On the paddock stand | bobbin", and of a family of words: "a graze on the metal | box".
    return [t for t in kept if t.end not in whole or not (t.kind == "nothing" or t.reach)]


def longest(found: Iterable[Term]) -> list[Term]:
    """The longest of overlapping matches, in order of place.

    Between names as long the later wins, since English names end in what they are ("the belt guard"); between
    other words the earlier.
    """
    taken: set[int] = set()
    kept: list[Term] = []
    for term in sorted(found, key=_rank):
        span = range(term.start, term.end)
        if not taken.intersection(span):
            taken.update(span)
            kept.append(term)
    return sorted(kept, key=lambda t: t.start)


def _within(pattern: Term, found: list[Term]) -> tuple[Term, ...]:
    """What a pattern's words mean of a part of which the pattern means nothing: plain words, then other families."""
    plain = [t for t in found if t.kind in FAULTS and not t.reach]
    plain = longest(t for t in plain if pattern.start < t.end and t.start < pattern.end)
    families = [t for t in found if t.reach and t.kind in FAULTS and t.form != pattern.form]
    families = [t for t in families if pattern.start <= t.start and t.end <= pattern.end]
    families.sort(key=lambda t: t.end - t.start)
    return (*plain, *families)


def _rank(term: Term) -> tuple[int, int]:
    name = term.kind in THINGS
    return -max(term.end - term.start, term.reach), -term.start if name else term.start


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
