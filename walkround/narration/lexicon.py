"""The trade's words, read from the TOML files of ``lexicon/`` and checked.

A dealer's own folder can be laid over ours: lists are added to, other values replaced. Every fault names the
file and the line.
"""

import hashlib
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from importlib import resources
from pathlib import Path
from typing import Any

from walkround.errors import LexiconError, shown
from walkround.narration.folding import Piece, fold_phrase, pieces

CHECKLIST = "checklist.toml"
FILES = (
    "parts.toml",
    "families.toml",
    "defects.toml",
    "phrases.toml",
    "sides.toml",
    "spelling.toml",
    "measures.toml",
    "sounds.toml",
    "hotwords.toml",
    CHECKLIST,
    "limits.toml",
    "glossary.toml",
    "places.toml",
    "patterns.toml",
)
GROUPS = (
    "front",
    "controls",
    "tank-and-seat",
    "bodywork",
    "frame-and-engine",
    "rear",
    "paperwork",
    "running",
)
GROUP_NAMES = {
    "front": "Front",
    "controls": "Controls",
    "tank-and-seat": "Tank and seat",
    "bodywork": "Bodywork",
    "frame-and-engine": "Frame and engine",
    "rear": "Rear",
    "paperwork": "Paperwork and keys",
    "running": "Running",
}
#: Tables of families.toml that are no family.
NO_FAMILIES = frozenset(("axis", "piece_of", "near", "next", "surface", "placed"))
Tree = dict[str, Any]


@dataclass(frozen=True)
class Part:
    """A part of a motorcycle. ``sided``: one on the left and one on the right. ``safety``: it can throw a rider.

    Where ``bears`` is given, the part can have these faults only ("engine running" makes noises and has no
    scratches); any other is that of the part ``otherwise``.
    """

    id: str
    name: str
    group: str
    sided: bool = False
    safety: bool = False
    forms: tuple[str, ...] = ()
    weak: tuple[str, ...] = ()
    right: tuple[str, ...] = ()  # forms of which every bike has one, on the right
    plural_forms: tuple[str, ...] = ()
    head_forms: tuple[str, ...] = ()
    bears: tuple[str, ...] = ()
    otherwise: str | None = None


@dataclass(frozen=True)
class Family:
    """A word for several parts. ``members``: axis word ("front", "rear", ...) to part id."""

    id: str
    forms: tuple[str, ...]
    members: dict[str, str]
    bare: str = "context"
    plural: str = "all"
    axis_words: bool = True
    group_word: bool = False
    plural_forms: tuple[str, ...] = ()
    whole: tuple[str, ...] = ()
    rear_places: tuple[str, ...] = ()
    inner: tuple[str, ...] = ()
    when: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Defect:
    """Something that can be wrong. ``generic``: the words do not say what ("a problem")."""

    id: str
    name: str
    severity: str
    forms: tuple[str, ...]
    generic: bool = False
    becomes: tuple[Tree, ...] = ()
    silent: tuple[str, ...] = ()
    default_part: str | None = None
    fits: tuple[str, ...] = ()
    near: dict[str, str] = field(default_factory=dict)
    final_forms: tuple[str, ...] = ()
    predicates: tuple[str, ...] = ()
    never: tuple[str, ...] = ()


@dataclass(frozen=True)
class Lexicon:
    """Everything the reader knows of the trade. ``trees`` holds the files as read, after laying over."""

    trees: dict[str, Tree]
    sha256: str
    sources: dict[str, list[tuple[Path, str]]] = field(default_factory=dict)  #: the files behind each tree

    @cached_property
    def spelling(self) -> dict[str, str]:
        """Lower-case word to the words that the lexicon uses for it."""
        return {str(k).lower(): str(v) for k, v in self.trees["spelling.toml"].get("same", {}).items()}

    @cached_property
    def parts(self) -> dict[str, Part]:
        """Parts by id, in the order of the checklist."""
        return {k: Part(id=k, **_tuples(v)) for k, v in self.trees["parts.toml"].items()}

    @cached_property
    def axis(self) -> dict[str, tuple[str, ...]]:
        """The words that pick the front or the rear one."""
        return {k: tuple(v) for k, v in self.trees["families.toml"]["axis"].items()}

    @cached_property
    def piece_of(self) -> dict[str, tuple[str, ...]]:
        """A piece that has no row of its own, folded, to the parts that have one."""
        return {self.fold(k)[0]: tuple(v) for k, v in self.trees["families.toml"]["piece_of"].items()}

    @cached_property
    def near(self) -> dict[str, dict[str, tuple[str, ...]]]:
        """A word for a piece of several parts: the part that it is where one of the others was just spoken of."""
        tree = self.trees["families.toml"]["near"]
        return {word: {part: tuple(seen) for part, seen in parts.items()} for word, parts in tree.items()}

    @cached_property
    def next_to(self) -> dict[str, tuple[str, ...]]:
        """A word for a part, to the parts of which it is a piece right behind their name."""
        return {word: tuple(parts) for word, parts in self.trees["families.toml"]["next"].items()}

    @cached_property
    def placed(self) -> dict[str, dict[str, tuple[str, ...]]]:
        """A part, to the parts that it is where words behind its name say where ("... out of the engine")."""
        tree = self.trees["families.toml"]["placed"]
        return {part: {piece: tuple(words) for piece, words in pieces.items()} for part, pieces in tree.items()}

    @cached_property
    def surface_faults(self) -> frozenset[str]:
        """Faults of a surface: a part named beside such a mark may only tell where it is, or what made it."""
        return frozenset(self.trees["families.toml"]["surface"]["faults"])

    @cached_property
    def surface_of(self) -> dict[str, str]:
        """A part that sits in a surface, to the part whose surface it is."""
        return dict(self.trees["families.toml"]["surface"]["of"])

    @cached_property
    def coats(self) -> tuple[str, ...]:
        """Words for what the surface of a part is coated with."""
        return tuple(self.trees["families.toml"]["surface"]["coats"])

    @cached_property
    def families(self) -> dict[str, Family]:
        """Families by id."""
        tree = self.trees["families.toml"]
        return {k: Family(id=k, **_tuples(v)) for k, v in tree.items() if k not in NO_FAMILIES}

    @cached_property
    def defects(self) -> dict[str, Defect]:
        """Defects by id."""
        tree = self.trees["defects.toml"]
        return {
            k: Defect(id=k, **_tuples(v))
            for k, v in tree.items()
            if k not in ("severity", "absence", "own_part", "akin")
        }

    @cached_property
    def severity(self) -> Tree:
        """The words and tables that raise or lower a severity."""
        return dict(self.trees["defects.toml"]["severity"])

    @cached_property
    def absence(self) -> Tree:
        """Which parts must be there, and the words that excuse their absence."""
        return dict(self.trees["defects.toml"]["absence"])

    def becomes(self, defect: str, form: tuple[str, ...], part: str) -> str:
        """The defect that folded words for ``defect`` mean on a part."""
        for rule in self.defects[defect].becomes:
            if part in rule["parts"] and form in [self.fold(f) for f in rule["forms"]]:
                return str(rule["defect"])
        return defect

    def phrases(self, path: str) -> list[str]:
        """The list at a dotted path of phrases.toml or sides.toml, such as "denial.before"."""
        for name in ("phrases.toml", "sides.toml"):
            node: Any = self.trees[name]
            for key in path.split("."):
                node = node.get(key) if isinstance(node, dict) else None
            if isinstance(node, list):
                return [str(item) for item in node]
        return []

    @cached_property
    def _padded(self) -> dict[tuple[str, ...], list[str]]:
        """Lists of phrases asked for so far, folded, with a space on each side of each."""
        return {}

    def holds(self, text: str, phrases: Iterable[str]) -> bool:
        """Whether folded ``text`` (words between single spaces) holds one of the phrases as whole words."""
        asked = tuple(phrases)
        if asked not in self._padded:
            self._padded[asked] = [f" {' '.join(self.fold(phrase))} " for phrase in asked]
        inside = f" {text} "
        return any(phrase in inside for phrase in self._padded[asked])

    def says(self, text: str, path: str) -> bool:
        """Whether folded ``text`` holds a phrase of the list at a dotted path."""
        inside = f" {text} "
        return any(phrase in inside for phrase in self._listed(path))

    def _listed(self, path: str) -> list[str]:
        if path not in self._padded_lists:
            self._padded_lists[path] = [f" {' '.join(self.fold(phrase))} " for phrase in self.phrases(path)]
        return self._padded_lists[path]

    @cached_property
    def _padded_lists(self) -> dict[str, list[str]]:
        return {}

    @cached_property
    def kept(self) -> dict[str, object]:
        """What readers worked out of this lexicon once and keep beside it, by name."""
        return {}

    def fold(self, text: str) -> tuple[str, ...]:
        """A phrase as the reader matches it."""
        if text not in self._folded:
            self._folded[text] = fold_phrase(text, self.spelling)
        return self._folded[text]

    def pieces(self, text: str) -> list[Piece]:
        """The folded pieces of a written word or phrase; a talk says the same words over and over."""
        if text not in self._pieces:
            self._pieces[text] = pieces(text, self.spelling)
        return self._pieces[text]

    @cached_property
    def _folded(self) -> dict[str, tuple[str, ...]]:
        """Phrases asked for so far."""
        return {}

    @cached_property
    def _pieces(self) -> dict[str, list[Piece]]:
        """The same, in pieces."""
        return {}


def _tuples(table: Tree) -> Tree:
    return {k: tuple(v) if isinstance(v, list) else v for k, v in table.items()}


def lexicon_folder() -> Path:
    """Our own lexicon: beside the package in a checkout, inside it when installed."""
    carried = Path(str(resources.files("walkround"))) / "_data" / "lexicon"
    beside = Path(__file__).resolve().parents[2] / "lexicon"
    return carried if carried.is_dir() else beside


def load_lexicon(extra: Path | None = None) -> Lexicon:
    """Our lexicon, with a dealer's own folder laid over it if one is given.

    Raises LexiconError, naming the file and the line, when a file is missing, is not TOML, names an unknown id,
    or gives one form two meanings.
    """
    from walkround.narration.lexicon_check import check, lay_over

    base = lexicon_folder()
    texts = {name: _text(base / name) for name in FILES}
    trees = {name: _parse(base / name, text) for name, text in texts.items()}
    digest = hashlib.sha256("".join(texts[name] for name in FILES).encode())
    sources = {name: [(base / name, texts[name])] for name in FILES}
    if extra is not None:
        if not extra.is_dir():
            raise LexiconError(f"{shown(extra)}: no such folder; --lexicon takes a folder of TOML files.")
        found = sorted(p for p in extra.iterdir() if p.suffix == ".toml")
        if not found:
            raise LexiconError(f"{shown(extra)}: holds no .toml file; add parts.toml or phrases.toml to it.")
        for path in found:
            if path.name not in FILES:
                raise LexiconError(f"{shown(path)}: unknown file name; use one of {', '.join(FILES)}.")
            text = _text(path)
            lay_over(trees[path.name], _parse(path, text), path, text)
            digest.update(text.encode())
            sources[path.name].append((path, text))
    lexicon = Lexicon(trees, digest.hexdigest(), sources)
    check(lexicon, sources)
    return lexicon


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except OSError as error:
        raise LexiconError(f"{shown(path)}: cannot be read ({error.strerror}); check the lexicon folder.") from None
    except UnicodeDecodeError:
        raise LexiconError(f"{shown(path)}: is not UTF-8 text; save it as UTF-8.") from None


def _parse(path: Path, text: str) -> Tree:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise LexiconError(f"{shown(path)}: is not valid TOML: {error}; mend that line.") from None
