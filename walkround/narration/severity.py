"""How bad: the defect's own level, moved by size words, by the part, and by what the narrator says of it."""

from collections.abc import Iterator
from typing import Protocol

from spacy.tokens import Doc

from walkround.narration.lexicon import Lexicon, Tree
from walkround.narration.model import DefectRow, Reading

LEVELS = ("minor", "moderate", "serious")


def worse(one: str, other: str) -> str:
    """The worse of two levels."""
    return max(one, other, key=LEVELS.index)


def severity_said(doc: Doc, lexicon: Lexicon, statement: "Placed", at: int) -> bool:
    """Whether the words near a fault say that it is small, or that it is serious, instead of its kind alone.

    A "long scratch" is minor by its kind; the words do not say so.
    """
    table = lexicon.severity
    near = " ".join(doc._.folds[max(statement.start, at - 6) : min(statement.end, at + 6)])
    text = " ".join(doc._.folds[statement.start : statement.end])
    small = lexicon.holds(near, table["smaller_words"]) and not lexicon.holds(near, table["bigger_words"])
    return small or lexicon.holds(text, table["serious_words"])


class Placed(Protocol):
    """Anything with a token range: a statement."""

    start: int
    end: int


def severity_of(doc: Doc, lexicon: Lexicon, statement: Placed, row: DefectRow) -> str:
    """minor, moderate or serious, from the tables of lexicon/defects.toml."""
    table = lexicon.severity
    level = LEVELS.index(lexicon.defects[row.defect].severity)
    text = " ".join(doc._.folds[statement.start : statement.end])
    near = " ".join(doc._.folds[max(statement.start, row.at - 6) : min(statement.end, row.at + 6)])
    for step in _rules(table, "lower", row):
        level = min(level, step)
    for step in _rules(table, "raise", row):
        level = max(level, step)
    if level == 1 and row.defect in table["small_is_minor"] and lexicon.holds(near, table["smaller_words"]):
        level = 0
    if (
        level == 0
        and row.defect in ("dent", "crack", "tear", "corrosion")
        and lexicon.holds(near, table["bigger_words"])
    ):
        level = 1
    for step in _rules(table, "least", row):
        level = max(level, step)
    for rule in table.get("where", []):
        if _is_of(rule, row) and lexicon.holds(text, rule["words"]) and not lexicon.holds(text, rule.get("not", [])):
            level = LEVELS.index(rule["to"])
    if lexicon.holds(text, table["serious_words"]):
        level = 2
    return LEVELS[level]


def _is_of(rule: Tree, row: DefectRow) -> bool:
    return row.defect in rule["defects"] and (row.part in rule["parts"] or rule["parts"] == ["*"])


def _rules(table: Tree, name: str, row: DefectRow) -> Iterator[int]:
    """The levels that the rules of a table name for a fault of its kind on its part."""
    return (LEVELS.index(rule["to"]) for rule in table.get(name, []) if _is_of(rule, row))


def used_up(lexicon: Lexicon, reading: Reading) -> None:
    """Wear is serious where a depth or thickness of the same part was said that leaves next to nothing."""
    gone = lexicon.trees["measures.toml"]["low"]["used_up"]
    for row in reading.findings:
        if row.defect != "wear" or row.severity == "serious":
            continue
        for size in reading.measurements:
            limit = gone.get(size.quantity, {}).get(size.unit or "")
            if size.part == row.part and limit is not None and not isinstance(size.value, str) and size.value <= limit:
                row.severity, row.severity_said = "serious", True
