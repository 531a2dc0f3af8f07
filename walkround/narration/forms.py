"""The forms that the lexicon yields: names of things, words for states, and the categories of cues."""

from collections.abc import Iterator

from walkround.narration.grammar import FORMS_PLACED, FORMS_SERVING
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Term

#: Cue categories that compete with each other for the same words; the longest wins.
POLARITY = (
    "denial.before",
    "denial.before_clause",
    "denial.not_denial",
    "doubt.phrases",
    "unreal.phrases",
    "unreal.other_bike",
)


#: Cue categories that may overlap anything.
CUES = (
    "denial.after", "denial.alone", "denial.ends", "doubt.weak", "unreal.belief", "repaired.past", "repaired.cues",
    "repaired.renewed", "withdrawn.phrases", "withdrawn.wetness", "withdrawn.returns",
    "guess.phrases", "guess.lead_in", "guess.causes",
    "guess.tags", "guess.bare_lead_in", "promise.will", "promise.work", "promise.phrases", "promise.not_work",
    "promise.seen_to", "excluded.phrases", "included.phrases",
    "joining.openers", "joining.conjunctions", "joining.exceptions", "joining.corrections", "joining.same",
    "joining.where", "joining.beside", "joining.linking", "joining.hosting", "joining.small_things", "suspicion.before",
    "suspicion.has", "reserve.after", "suspicion.fails", "suspicion.alone", "good.whole_bike", "repaired.visible",
    "extent.phrases", "both.phrases", "other.phrases", "other.one",
    "this.phrases", "left.phrases", "right.phrases", "right.at_engine", "place.front.phrases", "place.rear.phrases",
    "place.left.phrases", "place.right.phrases", "place.middle.phrases",
)  # fmt: skip


JOINING = ("left.words", "right.words", "left.before_side", "right.before_side")


#: Categories that cut a statement; they never stand inside a part's name.
STOPS = ("denial.ends", "joining.exceptions", "joining.openers", "joining.where")


Entry = tuple[str, Term]


def thing_entries(lexicon: Lexicon) -> Iterator[Entry]:
    """Forms of parts and families, with the forms that an axis word makes ("front wheel")."""
    axis_words = [word for words in lexicon.axis.values() for word in words]
    for part in lexicon.parts.values():
        for form in part.forms:
            yield form, Term("part", part.id, 0, 0, form=form)
        for form in part.weak:
            yield form, Term("part", part.id, 0, 0, weak=True, form=form)
        for form in part.head_forms:
            yield form, Term("part", part.id, 0, 0, form=form, head=True)
        for form in part.plural_forms:
            yield form, Term("part", part.id, 0, 0, form=form, plural=True)
    for part in lexicon.parts.values():
        for form in part.forms:
            if form.startswith("brake "):  # "front brake hose" is no front brake
                for word in axis_words:
                    yield f"{word} {form}", Term("part", part.id, 0, 0, form=form)
    for family in lexicon.families.values():
        for form in family.forms:
            yield form, Term("family", family.id, 0, 0, form=form, weak=form in family.inner)
            for axis, words in lexicon.axis.items():
                member = family.members.get(axis)
                if not family.axis_words or member is None:
                    continue
                for word in words:
                    for side in ("", "left ", "right "):
                        yield f"{word} {side}{form}", Term("part", member, 0, 0, form=form, axis=axis)
                    yield f"left {word} {form}", Term("part", member, 0, 0, form=form, axis=axis)
                    yield f"right {word} {form}", Term("part", member, 0, 0, form=form, axis=axis)
        for form in family.plural_forms:
            yield form, Term("family", family.id, 0, 0, form=form, plural=True)
    for form in lexicon.phrases("joining.other_things"):
        yield form, Term("other", form, 0, 0, form=form)


def state_entries(lexicon: Lexicon) -> Iterator[Entry]:
    """Forms of defects and good words, and the phrases that mean neither."""
    for part_id, defects in lexicon.trees["defects.toml"]["own_part"].items():
        for defect_id, forms in defects.items():
            for form in forms:
                yield form, Term("defect", defect_id, 0, 0, form=form, own_part=part_id)
    for defect in lexicon.defects.values():
        for form in defect.forms:
            kind = "predicate" if form in defect.predicates else "defect"
            yield form, Term(kind, defect.id, 0, 0, form=form)
        for form in defect.final_forms:
            yield form, Term("final", defect.id, 0, 0, form=form)
    for form in lexicon.phrases("repaired.renewed"):
        yield form, Term("good", "good", 0, 0, form=form)
    for part_id, forms in lexicon.trees["phrases.toml"]["good"]["of_part"].items():
        for form in forms:
            yield form, Term("good", "good", 0, 0, form=form, own_part=part_id)
    for part_id, forms in lexicon.trees["phrases.toml"]["good"]["left_to"].items():
        for form in forms:
            yield form, Term("good", "left to", 0, 0, form=form, own_part=part_id)
    for forms in lexicon.trees["phrases.toml"]["good"]["of_only"].values():
        for form in forms:
            yield form, Term("good", "good", 0, 0, form=form)
    for kind, path in (
        ("good", "good.phrases"),
        ("adjective", "good.adjectives"),
        ("verb", "good.verbs"),
        ("manner", "good.manner"),
        ("answer", "good.answers"),
    ):
        for form in lexicon.phrases(path):
            yield form, Term(kind, kind, 0, 0, form=form)
    for form in lexicon.phrases("joining.nothing_meant"):
        yield form, Term("nothing", "nothing", 0, 0, form=form)


def turned_entries(lexicon: Lexicon) -> Iterator[Entry]:
    """ "Clutch lever" said as "the lever of the clutch", as many do whose first language is not English."""
    for form, term in thing_entries(lexicon):
        words = form.split()
        if term.kind == "other" or not 2 <= len(words) <= 3 or term.head or term.plural:
            continue
        head, rest = words[-1], words[:-1]
        if rest[-1] in FORMS_PLACED or head in FORMS_PLACED or not all(word.isalpha() for word in words):
            continue  # "wheel of the front", "side of the tank": places, no names
        for link in ("of the", "of your", *(("for the", "for your") if head in FORMS_SERVING else ())):
            yield f"{head} {link} {' '.join(rest)}", term


#: Contractions as they are said in full; "cannot" folds to "can't".
_IN_FULL = {"won't": ("will", "not"), "can't": ("can", "not"), "'ve": ("have",), "'re": ("are",), "'m": ("am",)}


def in_full(folded: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """The phrase itself and, where it holds contractions, as it is said without ("does not work", "it has gone")."""
    yield folded
    if any("'" in word for word in folded):
        for clitic in ("is", "has") if "'s" in folded else ("",):
            yield tuple(w for word in folded for w in _spelt_out(word, clitic))


def _spelt_out(word: str, clitic: str) -> tuple[str, ...]:
    if word == "'s":
        return (clitic,)
    if word in _IN_FULL:
        return _IN_FULL[word]
    return (word[:-3], "not") if word.endswith("n't") else (word,)


def variants(folded: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """The phrase itself, in full, and with each two neighbours joined ("mud guard", "mudguard")."""
    yield from in_full(folded)
    if 1 < len(folded) < 4:
        for i in range(len(folded) - 1):
            if folded[i].isalpha() and folded[i + 1].isalpha():
                yield (*folded[:i], folded[i] + folded[i + 1], *folded[i + 2 :])
