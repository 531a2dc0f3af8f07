"""A finished Doc as plain Python: the reading asks for its words tens of thousands of times a talk.

spaCy's Doc makes an object for each word, slice and extension that is asked for; this keeps them ready. It stands in
for a Doc once the matchers are done with it, with as much of a Doc as the reading uses: words with ``text``,
``is_stop``, ``is_alpha`` and ``like_num``, slices with ``text``, and the extensions under ``_``.
"""

from collections.abc import Iterator
from types import SimpleNamespace
from typing import cast, overload

from spacy.tokens import Doc

_EXTENSIONS = ("tokens", "words", "folds", "punctuated", "terms", "clauses", "said", "opinions")


class LightWord:
    """One word."""

    __slots__ = ("is_alpha", "is_stop", "like_num", "text")

    def __init__(self, text: str, is_stop: bool, is_alpha: bool, like_num: bool) -> None:
        self.text, self.is_stop, self.is_alpha, self.like_num = text, is_stop, is_alpha, like_num


class LightRun(list[LightWord]):
    """Some words in a row."""

    __slots__ = ()

    @property
    def text(self) -> str:
        """The words between single spaces."""
        return " ".join([word.text for word in self])


class LightDoc:
    """The words and extensions of a Doc."""

    __slots__ = ("_", "_made")

    def __init__(self, doc: Doc, seen: dict[str, LightWord]) -> None:
        self._made: list[LightWord] = []
        for text, token in zip(doc._.folds, doc, strict=True):
            word = seen.get(text)
            if word is None:
                word = seen[text] = LightWord(token.text, token.is_stop, token.is_alpha, token.like_num)
            self._made.append(word)
        kept = {name: doc._.get(name) for name in _EXTENSIONS if Doc.has_extension(name)}
        self._ = SimpleNamespace(**kept)

    def __len__(self) -> int:
        return len(self._made)

    def __iter__(self) -> Iterator[LightWord]:
        return iter(self._made)

    @overload
    def __getitem__(self, at: int) -> LightWord: ...
    @overload
    def __getitem__(self, at: slice) -> LightRun: ...
    def __getitem__(self, at: int | slice) -> LightWord | LightRun:
        return LightRun(self._made[at]) if isinstance(at, slice) else self._made[at]


def light(doc: Doc, seen: dict[str, LightWord]) -> Doc:
    """The Doc without spaCy's costs; ``seen`` keeps words from one Doc to the next. Reads like a Doc, and is none."""
    return cast(Doc, LightDoc(doc, seen))
