"""Engine size, keys, previous owners and the test certificate, as said."""

from spacy.tokens import Doc

from walkround.narration.amounts import Amount
from walkround.narration.dates import ORDINALS, day_or_month
from walkround.narration.lexicon import Lexicon, Tree
from walkround.narration.model import FactRow, Reading
from walkround.narration.openings import forms
from walkround.narration.polarity import Said
from walkround.narration.text import quote, times

#: More keys or owners than this are not believed to be a count of them.
MOST = 12
#: An engine's size said without "cc" ("an eight hundred twin") lies between these.
BARE_CC = (100, 2500)
#: How far (tokens) the test's date may stand from its name, and a unit of months from "MOT".
TEST_REACH, MONTHS_REACH = 12, 4


def read_particulars(doc: Doc, lexicon: Lexicon, amounts: list[Amount], reading: Reading) -> None:
    """Fill ``engine_size``, ``keys``, ``owners``, ``test_expiry`` and ``test_months``."""
    table = lexicon.trees["measures.toml"]
    _engine(doc, lexicon, amounts, reading)
    for key in ("keys", "owners"):
        _count(doc, lexicon, amounts, key, table[key], reading)
    _test(doc, lexicon, amounts, table["test"], reading)


def _put(doc: Doc, reading: Reading, key: str, value: int | float | str, start: int, end: int) -> None:
    s, e = doc._.clauses.span_of(start, 1)
    reading.facts.setdefault(key, FactRow(value, quote(doc, s, max(e, end)), times(doc, start, end)[0]))


def _engine(doc: Doc, lexicon: Lexicon, amounts: list[Amount], reading: Reading) -> None:
    words: list[str] = doc._.folds
    for index, amount in enumerate(amounts):
        end = forms(lexicon, "engine", "cc").end_from(words, amount.end)
        kind = None if end else forms(lexicon, "engine", "kinds").end_from(words, amount.end)
        value, start = amount.value, amount.start
        if (end or kind) and value == int(value):
            lead = amounts[index - 1] if index else None
            while lead and lead.end == start and len(str(int(lead.value))) == 1:
                value, start = float(f"{int(lead.value)}{int(value)}"), lead.start  # "six four nine cc", "six fifty"
                index -= 1
                lead = amounts[index - 1] if index else None
            if lead and lead.end == start and value < 100 and lead.value < 20:  # "twelve fifty cc"
                value, start = lead.value * 100 + value, lead.start
            if kind and not _no_other(doc, words, amount, value, start):
                continue
            if 30 <= value <= 3000:
                _put(doc, reading, "engine_size", int(value), start, end or kind or amount.end)
                _put(doc, reading, "engine_size_unit", "cc", start, end or kind or amount.end)
            continue
        end = forms(lexicon, "engine", "litre").end_from(words, amount.end)
        if end and 0.04 <= value <= 3:
            s, e = doc._.clauses.span_of(start)
            named = forms(lexicon, "engine", "words")
            if named.within(words, max(s, start - 4), start) or named.within(words, end, min(e, end + 3)):
                _put(doc, reading, "engine_size", int(value) if value == int(value) else value, start, end)
                _put(doc, reading, "engine_size_unit", "litre", start, end)


def _no_other(doc: Doc, words: list[str], amount: Amount, value: float, start: int) -> bool:
    """Whether the number before "twin" in "an eight hundred twin" can be nothing but its size in cc."""
    low, high = BARE_CC
    article = start > 0 and words[start - 1] in ("a", "an", "the", "'s", "this", "that")
    year = 1900 <= value < 2100
    return (
        article and low <= value <= high and not year and amount.upper is None and not doc._.tokens[amount.end - 1].mark
    )


def _count(doc: Doc, lexicon: Lexicon, amounts: list[Amount], key: str, table: Tree, reading: Reading) -> None:
    """ "Two keys", "both keys", "keys, two", "one lady owner", "no keys"."""
    at = {a.start: a for a in amounts if a.value == int(a.value) and a.value <= MOST and a.upper is None}
    kinds = {lexicon.fold(k)[0] for k in table["kinds"]}
    heads = {lexicon.fold(w)[0] for w in table["words"] if len(lexicon.fold(w)) == 1}
    for i, token in enumerate(doc):
        if token.text not in heads:
            continue
        s = doc._.clauses.span_of(i)[0]
        j = i
        while j > s and doc[j - 1].text in kinds and not doc._.tokens[j - 1].mark:
            j -= 1
        lead = next((a for a in at.values() if a.end == j and s <= a.start), None)
        before = doc[max(s, j - 6) : j].text
        if lexicon.holds(before, table["unreal"]):
            continue
        if lead and not doc._.tokens[j - 1].mark:
            _put(doc, reading, key, int(lead.value), lead.start, i + 1)
        elif j > s and doc[j - 1].text == "both" and key == "keys":
            _put(doc, reading, key, 2, j - 1, i + 1)
        elif j > s and doc[j - 1].text in ("no", "single") and doc._.tokens[i].plural | (doc[j - 1].text == "single"):
            _put(doc, reading, key, 0 if doc[j - 1].text == "no" else 1, j - 1, i + 1)
        elif j - s >= 2 and key == "owners" and doc[j - 1].text in ORDINALS and _is_own(doc, lexicon, s, j - 1):
            _put(doc, reading, key, ORDINALS[doc[j - 1].text], j - 1, i + 1)
        elif i == s and (said := at.get(i + 1)) and doc._.clauses.ends_at(said.end):
            _put(doc, reading, key, int(said.value), i, said.end)
        if key in reading.facts:
            return


def _is_own(doc: Doc, lexicon: Lexicon, start: int, at: int) -> bool:
    """ "I'm the third owner": as many as that have had it."""
    return forms(lexicon, "owners", "own").start_before(doc._.folds, at, start) is not None


def _test(doc: Doc, lexicon: Lexicon, amounts: list[Amount], table: Tree, reading: Reading) -> None:
    words: list[str] = doc._.folds
    names = forms(lexicon, "test", "words")
    for start, end in doc._.clauses.sentences:
        for i in range(start, end):
            name = names.end_from(words, i)
            if name is None:
                continue
            _months(doc, lexicon, amounts, table, reading, i, name)
            when = day_or_month(doc, lexicon, name, min(end, name + TEST_REACH))
            if when is None or forms(lexicon, "test", "past").within(words, name, when.start):
                continue
            if name == when.start or forms(lexicon, "test", "until").within(words, i, when.start):
                _put(doc, reading, "test_expiry", when.text, when.start, when.end)


#: Before "run out" these make it something to come.
_TO_RUN = frozenset("will 'll going gonna don't doesn't".split())


def to_come(doc: Doc, lexicon: Lexicon, said: Said) -> bool:
    """ "The MOT runs out in June": a date to come, no fault. A service that is needed stays one, however far off."""
    if said.id != "out-of-date" or said.kind != "defect" or doc[said.start].text != "run" or said.end >= len(doc):
        return False
    if doc[said.end].text not in ("in", "on", "at", "by", "next"):
        return False
    runs = doc._.tokens[said.start].plural or bool(_TO_RUN & {t.text for t in doc[max(0, said.start - 3) : said.start]})
    return runs and day_or_month(doc, lexicon, said.end, min(len(doc), said.end + 6)) is not None


def _months(
    doc: Doc, lexicon: Lexicon, amounts: list[Amount], table: Tree, reading: Reading, name: int, end: int
) -> None:
    """ "Twelve months' MOT", "a year's ticket", "MOT with six months left"."""
    s, e = doc._.clauses.span_of(name)
    if lexicon.holds(doc[s:name].text, table["promised"]):
        return
    for i in range(max(s, name - MONTHS_REACH), min(e, end + MONTHS_REACH + 2)):
        word = doc[i].text
        if word not in ("month", "year") or s > i - 1:
            continue
        lead = next((a for a in amounts if a.end == i or (a.end == i - 1 and doc[i - 1].text == "full")), None)
        closed = doc._.clauses.ends_at(i + 1)
        if i >= end and not closed and not {"left", "of", "on", "to"} & {t.text for t in doc[i + 1 : i + 3]}:
            continue
        count = lead.value if lead else 1 if doc[i - 1].text in ("a", "full", "an") else None
        if count is not None and (word == "month" or i < name):
            months = int(count * 12 if word == "year" else count)
            _put(doc, reading, "test_months", months, lead.start if lead else i - 1, max(i + 1, end))
            return
