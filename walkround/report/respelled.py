"""Where a word was taken for a trade word by its sound: for the captions. The transcript keeps what was heard."""

import re

from spacy.tokens import Doc

from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Term
from walkround.narration.soundalike import plain_words, similarity
from walkround.report.heard import rounded
from walkround.report.record import Respelled

#: How alike (0 to 1, by sound and spelling) words must be to be respelled; more where they are plain English.
SURE, SURE_PLAIN = 0.8, 0.9


def respelled(doc: Doc, lexicon: Lexicon, source: int) -> list[Respelled]:
    """The words of a parsed narration that stand for other words, in order. ``written`` is the trade's spelling."""
    made: list[Respelled] = []
    taken: set[int] = set()
    trade = _trade_words(lexicon)
    words = doc._.words
    for term in (*doc._.terms.things, *doc._.terms.states):
        if _sure(doc, term):
            taken.update(range(term.start, term.end))
            _add(made, doc, term.start, term.end, _as_written(term), source)
    for number, token in enumerate(doc._.tokens):
        if token.heard and number not in taken:
            taken.add(number)
            _add(made, doc, number, number + 1, _in_place(doc, number), source)
    for number, token in enumerate(doc._.tokens):
        if number not in taken and token.first:
            written = _misspelled(words[token.word].text, lexicon, trade)
            if written:
                _add(made, doc, number, number + 1, written, source)
    return sorted(made, key=lambda row: (row.start, row.end))


def _trade_words(lexicon: Lexicon) -> frozenset[str]:
    """All words in the names of parts; made once and kept with the lexicon."""
    if "respelled" not in lexicon.kept:
        forms = [form for part in lexicon.parts.values() for form in part.forms]
        forms += [form for family in lexicon.families.values() for form in family.forms]
        lexicon.kept["respelled"] = frozenset(word for form in forms for word in form.split())
    found = lexicon.kept["respelled"]
    assert isinstance(found, frozenset)
    return found


def _sure(doc: Doc, term: Term) -> bool:
    """Whether the captions may say the trade word: a wrong one would put words into the narrator's mouth.

    Names of parts only. A capital in the middle of a sentence is somebody's or something's own name.
    """
    if term.kind == "defect" or not term.heard:
        return False
    tokens, words = doc._.tokens, doc._.words
    said = [re.sub(r"^\W+|\W+$", "", words[tokens[n].word].text) for n in range(term.start, term.end)]
    if said[0][:1].isupper() and term.start and tokens[term.start - 1].mark not in (".", "?"):
        return False
    rare = any(word.lower() not in plain_words() for word in said)
    if len(said) == 1:
        return rare  # no word of English, and the reading took it for this part
    return term.score >= (SURE if rare else SURE_PLAIN)


def _in_place(doc: Doc, number: int) -> str:
    """The word of a token with the trade word where it was misheard: "half-warn" becomes "half-worn"."""
    token, meant = doc._.tokens[number], doc[number].text
    said = re.sub(r"^\W+|\W+$", "", doc._.words[token.word].text).lower()
    if "-" in said and token.heard in said:
        return said.replace(token.heard, meant, 1)
    return f"{meant}s" if token.plural and said.endswith("s") else meant


def _misspelled(text: str, lexicon: Lexicon, trade: frozenset[str]) -> str | None:
    """The trade's spelling of a word that is no word of English: "pillian", but not the American "tire"."""
    core = (text if text.isalpha() else re.sub(r"^\W+|\W+$", "", text)).lower()
    if not core.isalpha() or core in plain_words():
        return None
    for ending in ("", "s"):
        meant = lexicon.spelling.get(core.removesuffix(ending)) if core.endswith(ending) else None
        if meant in trade and similarity(core, meant) >= SURE:
            return meant + ending
    return None


def _as_written(term: Term) -> str:
    """The form of the lexicon, in the plural where the plural was heard."""
    return f"{term.form}s" if term.plural and not term.form.endswith("s") else term.form


def _add(made: list[Respelled], doc: Doc, start: int, end: int, written: str, source: int) -> None:
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
