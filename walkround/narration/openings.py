"""Lists of spoken forms asked for at a place: does one of them begin here, does one of them end here?"""

from collections.abc import Iterable, Sequence

from walkround.narration.lexicon import Lexicon

_Folded = tuple[str, ...]


class Forms:
    """Forms of the lexicon, folded once and found by their first or their last word."""

    def __init__(self, lexicon: Lexicon, forms: Iterable[str]) -> None:
        self._first: dict[str, list[_Folded]] = {}
        self._last: dict[str, list[_Folded]] = {}
        for form in sorted({f for f in map(lexicon.fold, forms) if f}, key=lambda f: (-len(f), f)):
            self._first.setdefault(form[0], []).append(form)
            self._last.setdefault(form[-1], []).append(form)

    def end_from(self, words: Sequence[str], i: int) -> int | None:
        """The token after the longest form that begins at token i, or None."""
        for form in self._first.get(words[i], ()) if 0 <= i < len(words) else ():
            if tuple(words[i : i + len(form)]) == form:
                return i + len(form)
        return None

    def start_before(self, words: Sequence[str], i: int, floor: int = 0) -> int | None:
        """The first token of the longest form that ends right before token i, not before ``floor``, or None."""
        for form in self._last.get(words[i - 1], ()) if floor < i <= len(words) else ():
            if i - len(form) >= floor and tuple(words[i - len(form) : i]) == form:
                return i - len(form)
        return None

    def within(self, words: Sequence[str], start: int, end: int) -> bool:
        """Whether a form stands between two tokens."""
        return any((stop := self.end_from(words, i)) is not None and stop <= end for i in range(start, end))


def forms(lexicon: Lexicon, *path: str) -> Forms:
    """The list at a path of measures.toml, such as ("test", "words"); made once and kept with the lexicon."""
    key = ".".join(path)
    if key not in lexicon.kept:
        node = lexicon.trees["measures.toml"]
        for step in path:
            node = node[step]
        lexicon.kept[key] = Forms(lexicon, [str(form) for form in node])
    found = lexicon.kept[key]
    assert isinstance(found, Forms)
    return found
