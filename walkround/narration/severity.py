"""How bad: the defect's own level, moved by size words, by the part, and by what the narrator says of it."""

from typing import Protocol

from spacy.tokens import Doc

from walkround.narration.lexicon import Lexicon
from walkround.narration.model import DefectRow

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
    for rule in table.get("lower", []):
        if row.defect in rule["defects"] and row.part in rule["parts"]:
            level = min(level, LEVELS.index(rule["to"]))
    for rule in table.get("raise", []):
        if row.defect in rule["defects"] and row.part in rule["parts"]:
            level = max(level, LEVELS.index(rule["to"]))
    if level == 1 and row.defect in table["small_is_minor"] and lexicon.holds(near, table["smaller_words"]):
        level = 0
    if (
        level == 0
        and row.defect in ("dent", "crack", "tear", "corrosion")
        and lexicon.holds(near, table["bigger_words"])
    ):
        level = 1
    if lexicon.holds(text, table["serious_words"]):
        level = 2
    return LEVELS[level]
