"""Where a word was taken for a trade word by its sound: for the captions. The transcript keeps what was heard."""

import re

from spacy.tokens import Doc

from walkround.narration.matches import Term
from walkround.report.heard import rounded
from walkround.report.record import Respelled


def respelled(doc: Doc, source: int) -> list[Respelled]:
    """The words of a parsed narration that stand for other words, in order. ``written`` is the trade's spelling."""
    made: list[Respelled] = []
    taken: set[int] = set()
    for term in (*doc._.terms.things, *doc._.terms.states):
        if term.heard:
            taken.update(range(term.start, term.end))
            _add(made, doc, term.start, term.end, term.heard, _as_written(term), source)
    for number, token in enumerate(doc._.tokens):
        if token.heard and number not in taken:
            _add(made, doc, number, number + 1, token.heard, doc[number].text, source)
    return sorted(made, key=lambda row: (row.start, row.end))


def _as_written(term: Term) -> str:
    """The form of the lexicon, in the plural where the plural was heard."""
    return f"{term.form}s" if term.plural and not term.form.endswith("s") else term.form


def _add(made: list[Respelled], doc: Doc, start: int, end: int, heard: str, written: str, source: int) -> None:
    tokens, words = doc._.tokens, doc._.words
    first, last = tokens[start], tokens[end - 1]
    said = " ".join(word.text for word in words[first.word : last.word + 1])
    core = re.sub(r"^\W+|\W+$", "", said)
    tail = re.search(r"['’](?:s|ve|d|re|ll)$", core)  # "leaver's got" is "lever's got"
    if tail:
        core = core[: tail.start()]
    if core.casefold() == written.casefold():
        return
    made.append(
        Respelled(heard=core, written=written, start=rounded(first.start), end=rounded(last.end), source=source)
    )
