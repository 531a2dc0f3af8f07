"""Trade words that the recogniser wrote as something else: "panyor", "pillian seat", "left pan your".

Compared by sound (Metaphone, through jellyfish) and by spelling (rapidfuzz), over one to three words. A word is
only questioned where it is rare in English, or where a side word stands before it and no part follows; a plain
word stays what it is, save for the pairs listed in lexicon/sounds.toml. What was heard is kept with a score.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import jellyfish
import wordsegment
from rapidfuzz import fuzz
from spacy.tokens import Doc

from walkround.narration.forms import state_entries, thing_entries
from walkround.narration.grammar import SOUNDALIKE_EXPECTING
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Term, Terms

#: Words of English up to this rank by frequency are plain; the list is Google's, as wordsegment carries it.
PLAIN_RANK = 60_000
#: Score (0 to 1) from which a rare word, or a word where a part is expected, is taken for a trade word.
RARE, RARE_DEFECT, EXPECTED = 0.74, 0.86, 0.64
#: One word taken for a name of several must reach this.
SEVERAL = 0.86
#: A longer name over a shorter one that was found ("pillian pad" over "pad") must reach this.
LONGER = 0.85
#: Two words behind "front" or "rear" must reach this, and be so much better than for any other part.
AT_AN_END, APART = 0.6, 0.12
#: Share of the sound in the score; the rest is spelling.
SOUND_SHARE = 0.55
_SHORTEST = 4


@cache
def plain_words() -> frozenset[str]:
    """The most frequent words of English."""
    path = Path(wordsegment.__file__).parent / "unigrams.txt"
    words = []
    with path.open(encoding="utf-8") as file:
        for line in file:
            words.append(line.split("\t")[0])
            if len(words) >= PLAIN_RANK:
                break
    return frozenset(words)


def similarity(heard: str, form: str) -> float:
    """How alike two words or phrases are, 0 to 1, by sound and by spelling."""
    one, two = heard.replace(" ", ""), form.replace(" ", "")
    sound = fuzz.ratio(jellyfish.metaphone(one), jellyfish.metaphone(two)) / 100
    return SOUND_SHARE * sound + (1 - SOUND_SHARE) * fuzz.ratio(one, two) / 100


class SoundAlikes:
    """The component: adds terms with ``heard`` and ``score`` to ``doc._.terms``."""

    def __init__(self, lexicon: Lexicon) -> None:
        self._lexicon = lexicon
        self._known: set[str] = set()
        self._by_letter: dict[str, list[tuple[str, str, Term]]] = {}
        for make in (thing_entries, state_entries):
            for form, term in make(lexicon):
                folded = lexicon.fold(form)
                self._known.update(folded)
                wanted = term.kind in ("part", "family") or (term.kind == "defect" and len(folded) == 1)
                word = "".join(folded)
                if wanted and len(word) >= _SHORTEST and not term.head and not term.plural:
                    code = jellyfish.metaphone(word)
                    if code:
                        self._by_letter.setdefault(code[0], []).append((word, code, term))
        self._cache: dict[str, tuple[Term, float] | None] = {}
        self._ends: dict[str, tuple[str, str, float] | None] = {}

    def __call__(self, doc: Doc) -> Doc:
        terms: Terms = doc._.terms
        self._lengthen(doc, terms)
        taken = {i for t in (*terms.things, *terms.states) for i in range(t.start, t.end)}
        things = {t.start for t in terms.things}
        for term in self._behind_ends(doc, taken):
            terms.things.append(term)
            taken.update(range(term.start, term.end))
        for start, end, least in self._windows(doc, taken, things):
            if taken.intersection(range(start, end)):
                continue
            best = self._best(doc[start:end].text)
            if best is None or best[1] < (max(least, RARE_DEFECT) if best[0].kind == "defect" else least):
                continue
            if end - start == 1 and len(self._lexicon.fold(best[0].form)) > 1 and best[1] < SEVERAL:
                continue
            if least == EXPECTED and not (best[0].kind == "part" and self._lexicon.parts[best[0].id].sided):
                continue
            term = replace(
                best[0], start=start, end=end, heard=doc[start:end].text, score=round(best[1], 2),
                plural=doc._.tokens[end - 1].plural,
            )  # fmt: skip
            (terms.states if term.kind == "defect" else terms.things).append(term)
            taken.update(range(start, end))
        terms.things.sort(key=lambda t: t.start)
        terms.states.sort(key=lambda t: t.start)
        return doc

    def _behind_ends(self, doc: Doc, taken: set[int]) -> Iterator[Term]:
        """ "The front much art": two plain words behind an end of the bike, much like one of its few parts' names."""
        toks, texts = doc._.tokens, doc._.folds
        for axis, ends in self._lexicon.axis.items():
            for i in range(len(texts) - 2):
                run = range(i, i + 3)
                if texts[i] not in ends or taken.intersection(run) or toks[i].mark or toks[i + 1].mark:
                    continue
                if doc[i + 2].is_stop:
                    continue  # "the back so that ..."
                heard = " ".join(texts[i + 1 : i + 3])
                best = self._end_part(heard)
                if best:
                    family, form, score = best
                    member, said = self._lexicon.families[family].members[axis], f"{texts[i]} {heard}"
                    yield Term("part", member, i, i + 3, form=form, axis=axis, heard=said, score=round(score, 2))

    def _end_part(self, heard: str) -> tuple[str, str, float] | None:
        """Family, form and score of a name that two words sound like, where no other family's comes near."""
        if heard not in self._ends:
            best: dict[str, tuple[float, str]] = {}
            for family in self._lexicon.families.values():
                both = {"front", "rear"} <= set(family.members) and family.axis_words
                for form in family.forms if both else ():
                    best[family.id] = max(best.get(family.id, (0.0, "")), (similarity(heard, form), form))
            ranked = sorted(((score, form, key) for key, (score, form) in best.items()), reverse=True)
            clear = ranked[0][0] >= AT_AN_END and ranked[0][0] - ranked[1][0] >= APART
            self._ends[heard] = (ranked[0][2], ranked[0][1], ranked[0][0]) if clear else None
        return self._ends[heard]

    def _lengthen(self, doc: Doc, terms: Terms) -> None:
        """A rare word beside a part's name may make it a longer name: "pillian pad" is no brake pad."""
        plain = plain_words()
        for number, term in enumerate(terms.things):
            i = term.start - 1
            if i < 0 or term.end - term.start > 1 or doc._.tokens[i].mark or not doc[i].is_alpha:
                continue
            if doc[i].text in plain or doc[i].text in self._known:
                continue
            best = self._best(doc[i : term.end].text)
            if best and best[1] >= LONGER and best[0].kind in ("part", "family") and best[0].id != term.id:
                heard = doc[i : term.end].text
                terms.things[number] = replace(
                    best[0], start=i, end=term.end, heard=heard, score=round(best[1], 2), plural=term.plural
                )

    def _windows(self, doc: Doc, taken: set[int], things: set[int]) -> Iterator[tuple[int, int, float]]:
        """Stretches of words to question, the longest first, with the score each must reach."""
        plain, toks, texts = plain_words(), doc._.tokens, doc._.folds
        found = []
        for i in range(len(texts)):
            for size in (3, 2, 1):
                end = i + size
                if end > len(texts) or taken.intersection(range(i, end)) or any(t.mark for t in toks[i : end - 1]):
                    continue
                words = texts[i:end]
                if words[0] == "hand" and i and texts[i - 1] in ("left", "right"):
                    continue
                if not all(w.isalpha() for w in words) or len("".join(words)) < _SHORTEST:
                    continue
                rare = [w for w in words if w not in plain and w not in self._known]
                expected = i > 0 and texts[i - 1] in SOUNDALIKE_EXPECTING and not toks[i - 1].mark and i not in things
                if rare:
                    found.append((i, end, RARE))
                elif expected and size == 2:
                    found.append((i, end, EXPECTED))
        return iter(sorted(found, key=lambda w: -self._score(doc, w[0], w[1])))

    def _score(self, doc: Doc, start: int, end: int) -> float:
        best = self._best(doc[start:end].text)
        return best[1] if best else 0.0

    def _best(self, heard: str) -> tuple[Term, float] | None:
        if heard not in self._cache:
            self._cache[heard] = self._search(heard)
        return self._cache[heard]

    def _search(self, heard: str) -> tuple[Term, float] | None:
        word = heard.replace(" ", "")
        code = jellyfish.metaphone(word)
        best: tuple[Term, float] | None = None
        for form, other, term in self._by_letter.get(code[:1], ()):
            if abs(len(form) - len(word)) > 3:
                continue
            sound = fuzz.ratio(code, other) / 100
            if sound < 0.6:
                continue
            score = SOUND_SHARE * sound + (1 - SOUND_SHARE) * fuzz.ratio(word, form) / 100
            if best is None or score > best[1]:
                best = (term, score)
        return best


def confusions(lexicon: Lexicon) -> dict[str, tuple[str, frozenset[str]]]:
    """Plain word heard to (trade word, words that must stand near it)."""
    out: dict[str, tuple[str, frozenset[str]]] = {}
    for meaning, table in lexicon.trees["sounds.toml"].items():
        near = frozenset(w for item in table["near"] for w in lexicon.fold(item))
        for heard in table["heard"]:
            folded = lexicon.fold(heard)
            if len(folded) == 1 and folded != lexicon.fold(meaning):
                out.setdefault(folded[0], (lexicon.fold(meaning)[0], near))
    return out
