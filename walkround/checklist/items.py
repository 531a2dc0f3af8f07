"""What must be covered: the items of ``lexicon/checklist.toml`` with a dealer's own laid over them, checked."""

import tomllib
from collections.abc import Iterable
from dataclasses import MISSING, dataclass, fields, replace
from pathlib import Path
from typing import Any

from rapidfuzz import process

from walkround.errors import InputError, LexiconError, shown
from walkround.narration.lexicon import CHECKLIST, Lexicon
from walkround.narration.lexicon_check import lay_over_values, line_of

Tree = dict[str, Any]
#: What counts as covered besides the names of the ``want`` tables.
NAMED, VERDICT = "named", "verdict"
#: Below this likeness (0 to 100) no other name is proposed for an unknown one. Our own choice.
LIKE = 70


@dataclass(frozen=True)
class Entry:
    """One item: its parts (or facts), what counts as covered, and what to say. See lexicon/checklist.toml."""

    id: str
    say: str
    why: str
    parts: tuple[str, ...] = ()
    name: str | None = None
    facts: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    essential: bool = False
    essential_on: tuple[str, ...] = ()
    if_fitted: bool = False
    usual_on: tuple[str, ...] = ()
    sides: str = "each"
    wants: tuple[str, ...] = (NAMED,)
    stand: str | None = None
    asked: bool = True

    def essential_for(self, kinds: Iterable[str]) -> bool:
        """Whether a film of such a bike is not complete without it."""
        return self.essential or not set(self.essential_on).isdisjoint(kinds)

    def asked_for(self, kinds: Iterable[str]) -> bool:
        """Whether such a bike is expected to have it."""
        kinds = set(kinds)
        return not self.if_fitted or self.essential_for(kinds) or not kinds.isdisjoint(self.usual_on)


@dataclass(frozen=True)
class Want:
    """A figure that is due: the measurements that give it, words that stand for it, and how it is asked for."""

    quantities: tuple[str, ...]
    words: tuple[str, ...]
    say: str


@dataclass(frozen=True)
class Kind:
    """A kind of bike: words that name it, parts it usually lacks, and sided parts of which it has one."""

    words: tuple[str, ...] = ()
    not_fitted: tuple[str, ...] = ()
    one_side: tuple[str, ...] = ()


@dataclass(frozen=True)
class Checklist:
    """All items in walking order of the file, with the tables they need."""

    entries: dict[str, Entry]
    wants: dict[str, Want]
    stands: dict[str, str]
    kinds: dict[str, Kind]
    told: tuple[Kind, ...]
    denies: dict[str, tuple[str, ...]]
    left_out: tuple[tuple[str, str], ...]
    kind_after: tuple[str, ...]
    kind_within: int


def read_own_checklist(path: Path, lexicon: Lexicon) -> Tree:
    """A dealer's own checklist file, checked as it will be laid over ours. Raises LexiconError."""
    try:
        text = path.read_text(encoding="utf-8")
        tree = tomllib.loads(text)
    except OSError as error:
        raise LexiconError(f"{shown(path)}: cannot be read ({error.strerror}); give a TOML file.") from None
    except UnicodeDecodeError:
        raise LexiconError(f"{shown(path)}: is not UTF-8 text; save it as UTF-8.") from None
    except tomllib.TOMLDecodeError as error:
        raise LexiconError(f"{shown(path)}: is not valid TOML: {error}; mend that line.") from None
    checklist_of(lexicon, tree, (path, text))
    return tree


def checklist_of(lexicon: Lexicon, own: Tree | None = None, source: tuple[Path, str] | None = None) -> Checklist:
    """The checklist of a lexicon, with a dealer's own laid over it. Raises LexiconError naming file and line."""
    if not own and (ours := lexicon.kept.get(CHECKLIST)):
        assert isinstance(ours, Checklist)
        return ours  # made once of a lexicon: it is read anew with each change of a review
    tree = lexicon.trees[CHECKLIST]
    sources = list(lexicon.sources.get(CHECKLIST, ()))
    if own:
        tree = lay_over_values(tree, own)
        sources.append(source or (Path("heard.json"), ""))
    made = _Reading(tree, lexicon, sources).checklist()
    if not own:
        lexicon.kept[CHECKLIST] = made
    return made


@dataclass
class _Reading:
    """A tree being read; faults are told with the file and line that a person can mend."""

    tree: Tree
    lexicon: Lexicon
    sources: list[tuple[Path, str]]

    def checklist(self) -> Checklist:
        for key in self.tree:
            if key not in _TABLES:
                raise self.fault(key, None, f"unknown table '{key}'; use {_listed(_TABLES)}.")
        tree = {name: self.tree.get(name, [] if name in _LISTS else {}) for name in _TABLES}
        self.shapes(tree)
        wants = {name: self.made(Want, table, f"want.{name}") for name, table in tree["want"].items()}
        kinds = {name: self.kind(name, table) for name, table in tree["kind"].items()}
        entries = {name: self.entry(name, table, wants, kinds) for name, table in tree["item"].items()}
        return Checklist(
            entries={name: entry for name, entry in entries.items() if entry.asked},
            wants=wants,
            stands=dict(tree["stand"]),
            kinds=kinds,
            told=tuple(self.kind("told", table) for table in tree["told"]),
            denies={defect: tuple(others) for defect, others in tree["denies"].items()},
            left_out=tuple((row["what"], row["why"]) for row in tree["left_out"]),
            kind_after=tuple(tree["kinds"].get("after", ())),
            kind_within=int(tree["kinds"].get("within_words", 0)),
        )

    def shapes(self, tree: Tree) -> None:
        """Whether each table is one, and the simple ones hold what they should."""
        for name, value in tree.items():
            if not isinstance(value, list if name in _LISTS else dict):
                raise self.fault(name, None, f"'{name}' is not written as in our checklist.toml; copy its form.")
        for name in ("denies", "puts_right", "stand"):
            for key, value in tree[name].items():
                good = isinstance(value, str) if name == "stand" else _texts(value)
                if not good:
                    raise self.fault(key, name, f"'{key}' of [{name}] is not written as in our checklist.toml.")
        for row in tree["left_out"]:
            if not (isinstance(row, dict) and all(isinstance(row.get(key), str) for key in ("what", "why"))):
                raise self.fault("left_out", None, "a [[left_out]] needs 'what' and 'why', both in quotes.")
        kinds = tree["kinds"]
        if not _texts(kinds.get("after", [])) or type(kinds.get("within_words", 0)) is not int:
            raise self.fault("kinds", "kinds", "[kinds] needs 'after', a list of texts, and 'within_words', a number.")

    def entry(self, name: str, table: object, wants: dict[str, Want], kinds: dict[str, Kind]) -> Entry:
        where = f"item.{name}"
        entry: Entry = self.made(Entry, table, where, id=name)
        if not entry.facts and not entry.parts:
            entry = replace(entry, parts=(name,))
        if entry.facts and not entry.name:
            raise self.fault(where, where, f"[{where}] has facts and no 'name'; add it.")
        for part in entry.parts:
            self.known(part, where, self.lexicon.parts, "part")
        for want in entry.wants:
            self.known(want, where, [NAMED, VERDICT, *wants], "want")
        for kind in (*entry.essential_on, *entry.usual_on):
            self.known(kind, where, kinds, "kind")
        if entry.stand is not None:
            self.known(entry.stand, where, self.tree["stand"], "stand")
        if entry.sides not in ("each", "either"):
            raise self.fault(entry.sides, where, f'\'sides\' of [{where}] must be "each" or "either".')
        return entry

    def made(self, model: type[Any], table: object, where: str, **fixed: str) -> Any:
        """An Entry, Want or Kind of a table, with the keys and values that it may have."""
        if not isinstance(table, dict):
            raise self.fault(where, None, f"'{where}' is not a table; write [{where}].")
        types = {field.name: str(field.type) for field in fields(model) if field.name not in fixed}
        for key, value in table.items():
            if key not in types:
                raise self.fault(key, where, f"unknown key '{key}' in [{where}]; use {_listed(sorted(types))}.")
            if "tuple" in types[key] and not _texts(value):
                raise self.fault(key, where, f"'{key}' of [{where}] is not a list of texts; write [\"...\"].")
            if "bool" in types[key] and not isinstance(value, bool):
                raise self.fault(key, where, f"'{key}' of [{where}] must be true or false.")
            if "str" in types[key] and "tuple" not in types[key] and not (isinstance(value, str) and value.strip()):
                raise self.fault(key, where, f"'{key}' of [{where}] is not text; write it in quotes.")
        for field in fields(model):
            if field.default is MISSING and field.name not in table and field.name not in fixed:
                raise self.fault(where, where, f"[{where}] has no '{field.name}'; add it.")
        return model(**fixed, **{k: tuple(v) if isinstance(v, list) else v for k, v in table.items()})

    def kind(self, name: str, table: object) -> Kind:
        where = name if name == "told" else f"kind.{name}"
        made: Kind = self.made(Kind, table, where)
        for part in (*made.not_fitted, *made.one_side):
            self.known(part, where, self.lexicon.parts, "part")
        return made

    def known(self, name: str, where: str, names: Iterable[str], what: str) -> None:
        names = list(names)
        if name not in names:
            raise self.fault(name, where, f"unknown {what} '{name}' in [{where}]; {nearest(name, names, what)}.")

    def fault(self, needle: str, table: str | None, message: str) -> LexiconError:
        for path, text in reversed(self.sources):
            line = line_of(text, needle, table) or line_of(text, table or needle, table or needle)
            if line:
                return LexiconError(f"{shown(path)} line {line}: {message}")
        path = self.sources[-1][0] if self.sources else Path(CHECKLIST)
        return LexiconError(f"{shown(path)}: {message}")


_TABLES = ("item", "want", "stand", "kind", "kinds", "told", "denies", "puts_right", "left_out")
_LISTS = ("told", "left_out")


def nearest(name: str, names: Iterable[str], what: str) -> str:
    """ "did you mean 'front-tyre'?" in the form of an order, or all of the names where they are few."""
    names = list(names)
    if len(names) <= 14:
        return f"use one of {_listed(names)}"
    found = [match for match, score, _ in process.extract(name, names, limit=3) if score >= LIKE]
    return f"use {' or '.join(found)}" if found else f"use the id of a {what} in our parts.toml"


def kinds_given(text: str, checklist: Checklist) -> tuple[str, ...]:
    """Kinds from "adventure" or "faired, electric". Raises InputError for one that is not known."""
    kinds = tuple(dict.fromkeys(word.strip().lower() for word in text.split(",") if word.strip()))
    for kind in kinds:
        if kind not in checklist.kinds:
            raise InputError(f"There is no kind of bike {shown(kind)!r}; use one of {_listed(checklist.kinds)}.")
    if not kinds:
        raise InputError(f"No kind of bike was given; use one of {_listed(checklist.kinds)}.")
    return kinds


def part_given(text: str, lexicon: Lexicon) -> str:
    """A part from its id or from a name for it ("centre stand"). Raises InputError for one that is not known."""
    wanted = lexicon.fold(text)
    for part in lexicon.parts.values():
        if text == part.id or wanted in [lexicon.fold(form) for form in (part.id, part.name, *part.forms)]:
            return part.id
    raise InputError(f"There is no part {shown(text)!r}; {nearest(text, lexicon.parts, 'part')}.")


def _texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(item, str) and item.strip() for item in value)


def _listed(names: Iterable[str]) -> str:
    return ", ".join(names)
