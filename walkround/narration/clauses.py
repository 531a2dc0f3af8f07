"""Where statements begin and end: by punctuation where there is any, by pauses, openers and parts where not.

A boundary before token i has a strength: 0 none, 1 a phrase, 2 a statement, 3 a break in the talk.
"""

from dataclasses import dataclass

from spacy.tokens import Doc

from walkround.narration.grammar import CLAUSES_ATTRIBUTIVE, CLAUSES_BEFORE_ONE, CLAUSES_HOLDING, CLAUSES_SUBJECT_WORDS
from walkround.narration.matches import Terms
from walkround.narration.text import BREAK_SILENCE, SOFT_SILENCE

if not Doc.has_extension("clauses"):
    Doc.set_extension("clauses", default=None)


@dataclass(slots=True)
class Clauses:
    """``before[i]`` is the strength of the boundary before token i; ``sentences`` are (start, end)."""

    before: list[int]
    openers: set[int]
    sentences: list[tuple[int, int]]

    def span_of(self, index: int, strength: int = 2) -> tuple[int, int]:
        """The stretch round a token that is bounded by boundaries of at least this strength."""
        start = index
        while start > 0 and self.before[start] < strength:
            start -= 1
        end = index + 1
        while end < len(self.before) and self.before[end] < strength:
            end += 1
        return start, end

    def ends_at(self, index: int) -> bool:
        """Whether something said ends before token ``index``: a boundary of any strength or the end."""
        return index >= len(self.before) or self.before[index] > 0


def find_clauses(doc: Doc) -> Doc:
    """The spaCy component's work: fills ``doc._.clauses`` from marks, silences and the terms found."""
    toks, terms = doc._.tokens, doc._.terms
    before = [0] * len(doc)
    for i in range(1, len(doc)):
        mark, silence = toks[i - 1].mark, toks[i].silence
        before[i] = 2 if mark in (".", "?") else 1 if mark == "," else 0
        if silence >= BREAK_SILENCE:
            before[i] = 3
        elif silence >= SOFT_SILENCE:
            before[i] = max(before[i], 1 if doc._.punctuated else 2)
    openers = {s for s, _ in terms.cue("joining.openers") if not _picks(doc, s)}
    for start in openers:
        _raise(before, _with_conjunction(doc, start), 1)
    for start, _ in terms.cue("denial.ends", "joining.exceptions"):
        _raise(before, start, 1)
    if not doc._.punctuated:
        _cut_unpunctuated(doc, terms, before, openers)
    sentences, start = [], 0
    for i in range(1, len(doc) + 1):
        if i == len(doc) or before[i] >= 2:
            sentences.append((start, i))
            start = i
    doc._.clauses = Clauses(before, openers, sentences if len(doc) else [])
    return doc


def _picks(doc: Doc, start: int) -> bool:
    """ "The right one's worn": "one's" goes with the words before it and opens nothing."""
    return start > 0 and doc[start].text == "one" and doc[start - 1].text in CLAUSES_BEFORE_ONE


def _raise(before: list[int], index: int, strength: int) -> None:
    if 0 < index < len(before):
        before[index] = max(before[index], strength)


def _with_conjunction(doc: Doc, start: int) -> int:
    return start - 1 if start > 0 and doc[start - 1].text in ("and", "but", "so", "because", "then") else start


def _cut_unpunctuated(doc: Doc, terms: Terms, before: list[int], openers: set[int]) -> None:
    """End a statement where it has said something and a new subject or a new clause begins."""
    tied = {
        e for c in ("denial.before_clause", "doubt.phrases", "unreal.phrases", "guess.phrases") for _, e in terms.cue(c)
    }
    things = {t.start: t for t in terms.things if t.kind != "other"}
    said = {t.end: t.start for t in terms.states}
    corrected = {e for _, e in terms.cue("joining.corrections")}
    has_thing = has_state = False
    state_end = -1
    for i in range(len(doc)):
        if before[i] >= 2:
            has_thing = has_state = False
        if i in said:
            has_state, state_end = True, i
        if i in things and has_state:
            start = _subject_start(doc, i)
            held = start > 0 and (doc[start - 1].text in CLAUSES_HOLDING or start in corrected)
            attributive = i in said and said[i] > 0 and doc[said[i] - 1].text in CLAUSES_ATTRIBUTIVE
            if attributive:  # "a loose spoke", "a bent lever"
                has_thing = True
                continue
            if held and doc[start - 1].text == "no" and start - 1 >= state_end:
                _raise(before, start - 1, 2)
                has_thing, has_state = True, False
                continue
            if not held and start >= state_end:
                _raise(before, start, 2)
                has_state = False
            elif start >= state_end and start > 0 and doc[start - 1].text == "and" and has_thing:
                _raise(before, start - 1, 2)
                has_state = False
        elif i in openers and has_state and i >= state_end and not any(e in tied for e in (i, i - 1)):
            _raise(before, _with_conjunction(doc, i), 2)
            has_state = False
        if i in things:
            has_thing = True


def _subject_start(doc: Doc, index: int) -> int:
    start = index
    while (
        start > 0
        and index - start < 4
        and doc[start - 1].text in CLAUSES_SUBJECT_WORDS - {"and", "so", "now", "then", "also"}
    ):
        start -= 1
    return start
