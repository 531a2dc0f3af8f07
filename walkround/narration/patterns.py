"""Families of words for faults: "{come} {degree} (away|loose)", in every tense, from ``lexicon/patterns.toml``.

A list of fixed phrases knows the form that somebody thought of. A pattern knows its sisters as well: classes of
words stand in braces, "(a|b)" is one of several, a "?" behind it says that it may be left out, "_" is up to four
words of any kind, "$" a mark or the end, and a "*" behind a verb stands for its other tenses. What stands before ">"
or behind "<" must be there but is no part of the fault's own words: "{coat} {be}? > gone < (off|from)".
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from spacy.tokens import Doc

from walkround.narration.folding import fold_phrase
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Term

Words = tuple[str, ...]
#: So many stretches of words are kept with what was found in them.
SEEN_AT_MOST = 4096
#: How many words "_" may stand for.
GAP = 4
_PIECE = re.compile(r"\{[\w-]+\}\??|\([^)]*\)\??|[<>_]|[^\s(){}<>]+")


@dataclass(frozen=True, slots=True)
class Rule:
    """What a family of words means. ``of``: part to the fault that they mean there; ``only``: the parts that can.

    ``wins``: it is taken before a plain phrase that it overlaps ("a corner's gone"). ``part``: the part that the words
    themselves name.
    """

    key: str
    defect: str
    of: dict[str, str] = field(default_factory=dict)
    only: frozenset[str] = frozenset()
    severity: str | None = None
    wins: bool = False
    part: str | None = None


@dataclass(slots=True)
class _Slot:
    """One place of a pattern: its alternatives by first word.

    ``gap``: any words but the barred will do; ``end``: none need follow.
    """

    by_first: dict[str, list[Words]]
    optional: bool = False
    gap: bool = False
    barred: frozenset[str] = frozenset()
    end: bool = False


@dataclass(slots=True)
class _Pattern:
    """The slots; the fault's own words are those from ``first`` on and before ``last``."""

    slots: list[_Slot]
    first: int
    last: int
    family: str


def tenses(verb: str) -> Iterator[str]:
    """The verb with -ed and -ing; irregular tenses stand in the lexicon as words of their own."""
    yield verb
    head, _, rest = verb.partition(" ")
    tail = f" {rest}" if rest else ""
    if head.endswith("e"):
        stem, past = head[:-1] if not head.endswith("ee") else head, f"{head}d"
    elif head.endswith("y") and head[-2] not in "aeiou":
        stem, past = head, f"{head[:-1]}ied"
    elif re.search(r"[^aeiou][aeiou][bdgklmnprt]$", head) and len(head) < 6:
        stem, past = head + head[-1], f"{head}{head[-1]}ed"
    else:
        stem, past = head, f"{head}ed"
    yield f"{stem}ing{tail}"
    yield f"{past}{tail}"


class Patterns:
    """All patterns of a lexicon, ready for matching."""

    def __init__(self, tree: dict[str, Any], spelling: dict[str, str]) -> None:
        self.rules: dict[str, Rule] = {}
        self._spelling = spelling
        self._classes: dict[str, list[str]] = {k: list(v) for k, v in tree.get("words", {}).items()}
        self._by_first: dict[str, list[_Pattern]] = {}
        self._seen: dict[tuple[str, ...], list[Term]] = {}
        parts: dict[str, list[str]] = tree.get("parts", {})
        for name, entry in tree.get("family", {}).items():
            self.rules[name] = Rule(
                name,
                entry["defect"],
                {part: defect for defect, groups in entry.get("of", {}).items() for part in _all(groups, parts)},
                frozenset(_all(entry.get("only", []), parts)),
                entry.get("severity"),
                entry.get("wins", False),
                entry.get("part"),
            )
            for pattern in entry["say"]:
                self._add(pattern, name)

    def _add(self, pattern: str, family: str) -> None:
        slots: list[_Slot] = []
        first, last = 0, None
        for piece in _PIECE.findall(pattern):
            if piece == ">":
                first = len(slots)
            elif piece == "<":
                last = len(slots)
            else:
                slots.append(self._slot(piece))
        end = len(slots) if last is None else last
        for k, slot in enumerate(slots):  # a pattern may begin behind words that may be left out
            for word in slot.by_first:
                made = _Pattern(slots[k:], max(first - k, 0), end - k, family)
                self._by_first.setdefault(word, []).append(made)
            if not slot.optional:
                break

    def _slot(self, piece: str) -> _Slot:
        if piece == "_":
            return _Slot({}, optional=True, gap=True, barred=frozenset(self._classes.get("new-breath", ())))
        optional = piece.endswith("?")
        bare = piece.removesuffix("?")
        if bare.startswith("{"):
            words = self._classes[bare[1:-1]]
        else:
            words = bare.strip("()").split("|")
        by_first: dict[str, list[Words]] = {}
        for word in self._spelt_out(words):
            folded = fold_phrase(word, self._spelling)
            if folded and folded not in by_first.setdefault(folded[0], []):
                by_first[folded[0]].append(folded)
        return _Slot(by_first, optional, end="$" in words)

    def _spelt_out(self, words: list[str]) -> Iterator[str]:
        for word in words:
            if word.startswith("{"):
                yield from self._spelt_out(self._classes[word[1:-1]])
            elif "*" in word:
                yield from tenses(word.replace("*", ""))
            else:
                yield word

    def find(self, doc: Doc) -> Iterator[Term]:
        """The longest match of each family at each token."""
        words: list[str] = doc._.folds
        begun = 0
        for i, tok in enumerate(doc._.tokens):
            if tok.mark in (".", "?", ",") or i + 1 == len(words):  # no pattern runs over a mark
                for term in self._kept(tuple(words[begun : i + 1])):
                    yield replace(term, start=term.start + begun, end=term.end + begun)
                begun = i + 1

    def _kept(self, words: tuple[str, ...]) -> list[Term]:
        """The matches in the words between two marks: kept, since a talk is often read again with a word changed."""
        found = self._seen.get(words)
        if found is None:
            if len(self._seen) >= SEEN_AT_MOST:
                self._seen.clear()
            found = self._seen[words] = list(self._matches(_Text(list(words))))
        return found

    def _matches(self, text: "_Text") -> Iterator[Term]:
        for start, word in enumerate(text.words):
            best: dict[str, Term] = {}
            for pattern in self._by_first.get(word, ()):
                for begin, end, reach in _ends(text, pattern, 0, start, (start, start)):
                    old = best.get(pattern.family)
                    if end > begin and (old is None or reach - start > old.reach):
                        rule, reached = self.rules[pattern.family], reach - start
                        best[rule.key] = Term(
                            "defect", rule.defect, begin, end, form=f"~{rule.key}", own_part=rule.part, reach=reached
                        )
            yield from best.values()

    def wins(self, form: str) -> bool:
        """Whether the family behind a form is taken before a plain phrase that it overlaps."""
        return self.rules[form[1:]].wins

    def rule(self, form: str) -> Rule | None:
        """The family behind a term's form, if it is one."""
        return self.rules.get(form[1:]) if form.startswith("~") else None


def patterns_of(lexicon: Lexicon) -> Patterns:
    """The patterns of a lexicon, read once."""
    found = lexicon.kept.get("patterns")
    if not isinstance(found, Patterns):
        found = Patterns(lexicon.trees["patterns.toml"], lexicon.spelling)
        lexicon.kept["patterns"] = found
    return found


def _all(names: list[str], groups: dict[str, list[str]]) -> Iterator[str]:
    """Part ids, with the names of groups written out."""
    for name in names:
        yield from groups.get(name, [name])


@dataclass(slots=True)
class _Text:
    """The folded words between two marks."""

    words: list[str]

    def ended(self, at: int) -> bool:
        return at >= len(self.words)


def _ends(text: _Text, pattern: _Pattern, k: int, at: int, own: tuple[int, int]) -> Iterator[tuple[int, int, int]]:
    """Where the fault's own words begin and end, and how far the match goes, for the slots from ``k`` on."""
    own = (at if k == pattern.first else own[0], at if k == pattern.last else own[1])
    if k == len(pattern.slots):
        yield *own, at
        return
    slot = pattern.slots[k]
    if slot.optional or (slot.end and text.ended(at)):
        yield from _ends(text, pattern, k + 1, at, own)
    if at >= len(text.words):
        return
    for width in range(1, GAP + 1) if slot.gap else ():
        if text.ended(at + width) or text.words[at + width - 1] in slot.barred:
            return
        yield from _ends(text, pattern, k + 1, at + width, own)
    for option in slot.by_first.get(text.words[at], ()):
        stop = at + len(option)
        if tuple(text.words[at:stop]) == option:
            yield from _ends(text, pattern, k + 1, stop, own)
