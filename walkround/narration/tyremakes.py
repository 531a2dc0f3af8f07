"""Make and model of the tyres as said ("a matched pair of Torvex Roadline Threes"), and whether front and rear match.

No list of makes is kept: a name is known by how it is written (a capital inside a sentence, or a word that English
hardly has) and by where it stands beside the tyres. Where that is less than certain the fact says so, and a person
is asked.
"""

import re
from collections.abc import Sequence

from spacy.tokens import Doc

from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Term, Terms, between
from walkround.narration.model import FactRow, Reading
from walkround.narration.numbers import number_at
from walkround.narration.soundalike import plain_words
from walkround.narration.text import quote, times
from walkround.narration.tyrepairs import read_pair

#: The two facts, by the end of the bike.
MAKE_KEYS = {"front": "front_tyre_make", "rear": "rear_tyre_make"}
#: The most tokens of a name, and how far back the tyres may have been named before "they're ...".
LONGEST, LOOK_BACK = 6, 40
#: How far back (tokens) a part of the front or the rear may have been named for "the tyre" to be that end's.
FAR_BACK = 200
#: What may stand right before a name ("they're", "is a", "pair of", "shod with").
_LEADS = frozenset(
    "'s is are 're was were a an on of with wear wearing run running fitted got have has new by both".split()
)
#: What may stand right after one, beside an end of what is said, a tyre, an end of the bike and a size.
_FOLLOWS = frozenset("and on at in up with both all which that front rear back tyre too as they it but so".split())
#: What may stand between a name and the end of the bike that it is said of ("at the back", "up front").
_TO_END = frozenset("on at up in the tyre for".split())
_VERBS = frozenset("'s is has have was got".split())
_PRONOUNS = frozenset("they 're both them these those match pair front rear back same".split())


def read_tyres(doc: Doc, lexicon: Lexicon, reading: Reading) -> None:
    """Fill ``front_tyre_make``, ``rear_tyre_make`` and ``tyre_pair``."""
    tyres = {"tyre", *lexicon.families["tyre"].members.values()}
    for start, end in doc._.clauses.sentences:
        named = [t.id in tyres for t in _things(doc, start, end)]
        if any(named) or (_spoken_of(doc, tyres, start) and not named and _leans(doc, tyres, start, end)):
            read_pair(doc, lexicon, reading, start, end)
            _makes(doc, lexicon, tyres, reading, start, end)


def _things(doc: Doc, start: int, end: int) -> Sequence[Term]:
    """The parts that were named outright between two tokens; a name that only sounds like one may be the make."""
    terms: Terms = doc._.terms
    return between(terms.outright, start, end)


def _spoken_of(doc: Doc, tyres: set[str], start: int) -> bool:
    """Whether the tyres were the last thing named before a sentence."""
    before = _things(doc, start - LOOK_BACK, start)
    return bool(before) and before[-1].id in tyres


def _leans(doc: Doc, tyres: set[str], start: int, end: int) -> bool:
    """Whether a sentence that names no part goes on about the one before ("they're ...", "Front tyre: ...")."""
    return bool(_PRONOUNS & {t.text for t in doc[start:end]}) or _heads(doc, tyres, start)


def _heads(doc: Doc, tyres: set[str], start: int) -> bool:
    """Whether the tyres stand right before a sentence, as its heading."""
    return any(t.end == start and t.id in tyres for t in _things(doc, start - LOOK_BACK, start))


# --- make and model ----------------------------------------------------------------------------------
def _makes(doc: Doc, lexicon: Lexicon, tyres: set[str], reading: Reading, start: int, end: int) -> None:
    things = {t.start: t for t in _things(doc, start, end)}
    taken = {i: t for t in things.values() for i in range(t.start, t.end)}
    ends = {w: name for name, said in lexicon.axis.items() for w in said}
    known = {k for k in range(start, end) if doc[k].text in ends}
    known |= {k for t in between(doc._.terms.states, start, end) for k in range(t.start, t.end)}
    known |= {k for k, t in taken.items() if t.id in tyres}
    i = start
    while i < end:
        first = _name_end(doc, lexicon, i, end, set(taken))
        tried = [first, _heard_on(doc, first, end, known)] if first else []
        stop = next((s for s in tried if s and _stands(doc, lexicon, tyres, i, s, start, end)), None)
        if stop is None:
            i += 1
            continue
        said_of, doubt = _ends_of(doc, ends, i, stop, start, end), _doubt(doc, i, stop)
        if not said_of and not _several(doc, tyres, start, i, stop):
            said_of = _end_before(doc, start)
            if not _heads(doc, tyres, start):
                doubt = doubt or "it was not said in the same sentence whether the front or the rear tyre is meant"
        for name in said_of or MAKE_KEYS:
            row = FactRow(
                _written(doc, i, stop), quote(doc, start, end), times(doc, i, stop)[0], at=i, review=doubt
            )  # fmt: skip
            reading.facts.setdefault(MAKE_KEYS[name], row)
        i = stop


def _several(doc: Doc, tyres: set[str], start: int, i: int, stop: int) -> bool:
    """Whether both tyres are spoken of: "tyres", "they", "both", a name in the plural."""
    near = [t for t in _things(doc, start - LOOK_BACK, stop + 3) if t.id in tyres]
    words = {t.text for t in doc[start:i]}
    return bool(near and near[-1].plural) or bool(words & {"they", "both", "them", "pair", "these", "set"})


def _end_before(doc: Doc, start: int) -> list[str]:
    """The end of the bike whose part was named last before a sentence."""
    for term in reversed(_things(doc, start - FAR_BACK, start)):
        for end in MAKE_KEYS:
            if term.id.startswith(f"{end}-"):
                return [end]
    return []


def _raw(doc: Doc, i: int) -> str:
    return str(doc._.words[doc._.tokens[i].word].text).strip(" .,;:?!()“”\"'’")


def _capital(doc: Doc, i: int) -> bool:
    raw = _raw(doc, i)
    return raw[:1].isupper() and doc._.tokens[i].first


def _begins(doc: Doc, i: int) -> bool:
    return i == 0 or doc._.clauses.before[i] >= 2


def _rare(doc: Doc, i: int) -> bool:
    text = doc[i].text
    return len(text) > 3 and text.isalpha() and text not in plain_words()


def _name_end(doc: Doc, lexicon: Lexicon, i: int, end: int, taken: set[int]) -> int | None:
    """The token after the name that begins at token i, or None where none does."""
    months = {lexicon.fold(name)[0] for name in lexicon.trees["measures.toml"]["months"]["names"]}
    never = months | {lexicon.fold(word)[0] for word in lexicon.trees["measures.toml"]["tyre_pair"]["no_make"]}
    text = doc[i].text
    if i in taken or text in never or not text.isalpha() or len(text) < 3:
        return None
    if not _rare(doc, i) and (not _capital(doc, i) or _begins(doc, i) or _raw(doc, i).isupper()):
        return None
    stop = i + 1
    while stop < min(end, i + LONGEST) and not doc._.tokens[stop - 1].mark and _goes_on(doc, lexicon, stop, taken):
        stop += 1
    return stop


def _heard_on(doc: Doc, stop: int, end: int, known: set[int]) -> int:
    """The token after a name of which a recogniser wrote the rest as plain words ("Torwek's road line threes")."""
    first = stop
    while stop < min(end, first + LONGEST) and not (doc._.tokens[stop - 1].mark and doc._.tokens[stop].first):
        plain = doc[stop].is_alpha and not doc[stop].is_stop and doc[stop].text not in _FOLLOWS
        counted = doc._.tokens[stop].plural and number_at([doc[stop].text], 0) is not None
        if stop in known or not (plain or counted or not doc._.tokens[stop].first):
            break
        stop += 1
    return stop


def _goes_on(doc: Doc, lexicon: Lexicon, i: int, taken: set[int]) -> bool:
    """Whether token i is more of a name: another such word, a letter or a number of the model."""
    if not doc._.tokens[i].first:
        return doc._.tokens[i].word == doc._.tokens[i - 1].word and doc[i].text != "'s"  # "Sport-Plus"
    number = number_at([t.text for t in doc[i : i + 4]], 0)
    if number is not None:
        if _capital(doc, i) or doc._.tokens[i].plural:
            return True
        after = i + number.end
        while after < len(doc) and not doc._.tokens[after].first:
            after += 1  # "2s" is two pieces
        bare = re.fullmatch(r"\d{1,2}s?", _raw(doc, i))
        return bool(bare) and (doc._.clauses.ends_at(after) or doc[after].text in _FOLLOWS)
    return (_capital(doc, i) or _rare(doc, i)) and (i not in taken or _capital(doc, i))


def _stands(doc: Doc, lexicon: Lexicon, tyres: set[str], i: int, stop: int, start: int, end: int) -> bool:
    """Whether a name stands where the make of a tyre does: the tyres before it or right after, and fit neighbours."""
    if not _capital(doc, i) and not any(t.id in tyres for t in _things(doc, start, end)):
        return False
    after = next(iter(_things(doc, stop, stop + 1)), None)
    if after and after.id not in tyres:
        return False
    before = _things(doc, start, i)
    if before and before[-1].id not in tyres and not after:
        return False
    if i > start:
        lead = doc[i - 1].text
        listed = doc._.tokens[i - 1].mark in (",", ".") and any(t.end == i for t in before)
        if lead not in _LEADS and not listed and not (lead in ("front", "rear", "back") and not before):
            return False
        if lead == "by" and doc[i - 2].text not in ("made", "are", "is"):
            return False
    elif _heads(doc, tyres, start):
        pass
    elif not after and not (stop < end and doc[stop].text in ("on", "at", "front", "both", "all", "up")):
        return False
    if stop >= end or after or doc._.clauses.ends_at(stop):
        return stop >= end or doc[stop].text not in ("'s", "say", "has", "is")
    return doc[stop].text in _FOLLOWS or bool(doc[stop].text[0].isdigit() or number_at([doc[stop].text], 0))


def _ends_of(doc: Doc, ends: dict[str, str], i: int, stop: int, start: int, end: int) -> list[str]:
    """The ends of the bike that a name is said of: those right after it, else the last before it; else none."""
    found: list[str] = []
    j = stop
    while j < min(end, stop + 6) and (
        doc[j].text in _TO_END or doc[j].text in ends or (found and doc[j].text == "and")
    ):
        if doc[j].text in ends:
            if _says_on(doc, j + 1, end):
                break  # "a Torvex, rear is ..."
            found.append(ends[doc[j].text])
        if doc._.clauses.ends_at(j + 1):
            break
        j += 1
    if stop < end and doc._.clauses.before[stop] and doc[stop].text not in _TO_END:
        found = []  # a comma, and the next end of the bike begins what follows
    if found:
        return found
    words = [t.text for t in doc[start:i]]
    said = [ends[w] for w in words if w in ends]
    if {"both", "pair"} & set(words) or ("and" in words and {"front", "rear"} <= set(said[-2:])):
        near = {ends[w] for w in words[-4:] if w in ends}
        return list(near) if len(near) == 1 and not {"both", "pair"} & set(words) else list(MAKE_KEYS)
    return said[-1:]


def _says_on(doc: Doc, i: int, end: int) -> bool:
    """Whether a verb follows at token i, so that what stands before it begins something new."""
    while i < end and doc[i].text in ("tyre", "one"):
        i += 1
    return i < end and doc[i].text in _VERBS


def _written(doc: Doc, i: int, stop: int) -> str:
    return " ".join(dict.fromkeys(_raw(doc, k) for k in range(i, stop) if doc._.tokens[k].first))


def _doubt(doc: Doc, i: int, stop: int) -> str | None:
    """Why a person should look before the words are taken for a make."""
    toks = doc._.tokens[i:stop]
    words = _written(doc, i, stop)
    if any(t.probability is not None and t.probability < 0.5 for t in toks):
        return f"the recogniser was unsure of “{words}”"
    plain = [k for k in range(i, stop) if doc._.tokens[k].first and not _raw(doc, k)[:1].isupper()]
    loose = any(number_at([doc[k].text], 0) is None for k in plain) or any(doc[k].text == "'s" for k in range(i, stop))
    if loose or (_begins(doc, i) and stop == i + 1):
        return f"“{words}” is only taken for the make of a tyre by where it stands"
    if stop == i + 1 and not _rare(doc, i):
        return f"“{words}” may be a make, or say something else of the tyre"
    return None
