"""Teaching the dealer's own lexicon a word, with what else it would change shown first."""

import os
import shutil
import tempfile
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from walkround.errors import InputError, LexiconError, shown
from walkround.narration.lexicon import Lexicon, load_lexicon
from walkround.narration.reader import Reader
from walkround.report import record as r
from walkround.report.store import write_file
from walkround.report.wording import Names, sentence

#: The folder of the dealer's own words, inside the walk-round's folder, where none was given.
OWN = "lexicon"
FILES = {"part": "parts.toml", "defect": "defects.toml"}
LONGEST = 80
_STATES = {
    "finding": "a fault spoken of", "clear": "said to be in order", "named": "named only",
    "not-mentioned": "not mentioned",
}  # fmt: skip


@dataclass(frozen=True)
class Lesson:
    """That ``form`` means a part or a fault: ``kind`` says which, ``id`` is that of the lexicon."""

    kind: str
    id: str
    form: str

    @property
    def file(self) -> str:
        """The file of a lexicon folder that it goes into."""
        return FILES[self.kind]


def lesson_from(asked: dict[str, Any], lexicon: Lexicon) -> Lesson:
    """What was sent, checked. Raises InputError."""
    kind, wanted, form = (asked.get(name) for name in ("kind", "id", "form"))
    known: Iterable[str] = lexicon.parts if kind == "part" else lexicon.defects if kind == "defect" else ()
    if not isinstance(wanted, str) or wanted not in known:
        raise InputError("Choose the part or the fault that the word means.")
    if not isinstance(form, str) or not form.strip() or len(form) > LONGEST or not form.isprintable():
        raise InputError(f"Write the word as it was heard, at most {LONGEST} characters.")
    if not lexicon.fold(form):
        raise InputError("There is no word in that.")
    return Lesson(str(kind), wanted, " ".join(form.split()))


def text_with(path: Path, lesson: Lesson) -> str:
    """The text of a lexicon file with the word added; what stands in it, comments too, is kept. Raises LexiconError."""
    try:
        old = (
            path.read_text(encoding="utf-8")
            if path.is_file()
            else "# Words of your own, laid over those of walkround.\n"
        )
        document = tomlkit.parse(old)
        table = document.setdefault(lesson.id, tomlkit.table())
        forms = table.setdefault("forms", tomlkit.array())
        if lesson.form not in forms:
            forms.append(lesson.form)
        return tomlkit.dumps(document)
    except (OSError, UnicodeDecodeError, TOMLKitError, AttributeError, TypeError) as error:
        raise LexiconError(f"{shown(path)}: cannot be added to ({error}); mend the file first.") from None


def lexicon_with(folder: Path | None, lesson: Lesson) -> Lexicon:
    """The lexicon as it would be with the word, tried on a copy. Raises LexiconError, as for the folder itself."""
    with tempfile.TemporaryDirectory() as beside:
        copy = Path(beside)
        for path in sorted(folder.glob("*.toml")) if folder and folder.is_dir() else ():
            shutil.copyfile(path, copy / path.name)
        (copy / lesson.file).write_text(text_with(copy / lesson.file, lesson), encoding="utf-8")
        try:
            return load_lexicon(copy)
        except LexiconError as error:
            raise LexiconError(str(error).replace(f"{shown(copy)}{os.sep}", "")) from None


def write_lesson(folder: Path, lesson: Lesson) -> None:
    """Put the word into the folder's file: written beside, then renamed. Raises LexiconError and OutputError."""
    path = folder / lesson.file
    write_file(path, text_with(path, lesson), "the word was not added")


@dataclass(frozen=True)
class Trial:
    """A lexicon with the word in it, a reader over it, and what it makes of the words."""

    lesson: Lesson
    lexicon: Lexicon
    reader: Reader


def trial(folder: Path | None, lesson: Lesson) -> Trial:
    """Make the lexicon with the word and its reader: about a second."""
    lexicon = lexicon_with(folder, lesson)
    return Trial(lesson, lexicon, Reader(lexicon))


def differences(before: r.Report, after: r.Report, names: Names) -> dict[str, list[dict[str, Any]]]:
    """The lines that would be there more or no longer, and the checklist items that would stand otherwise."""
    old, new = (Counter(map(_known, (*report.findings, *report.unplaced))) for report in (before, after))
    was = {(check.part, check.side): check.state for check in before.checklist}
    of_part = {check.part: check.state for check in before.checklist}
    items = [
        {"name": sentence(names.part(check.part, check.side)), "text": f"{_STATES[state]}; then {_STATES[check.state]}"}
        for check in after.checklist
        if (state := was.get((check.part, check.side), of_part[check.part])) != check.state
    ]
    return {"more": _told(new - old, names), "fewer": _told(old - new, names), "items": items}


_Known = tuple[str | None, str | None, str, str, float]


def _known(row: r.Finding) -> _Known:
    return row.part, row.side, row.defect, row.quote, row.start


def _told(rows: "Counter[_Known]", names: Names) -> list[dict[str, Any]]:
    return [
        {"name": sentence(f"{names.part(part, side)}: {names.defect(defect)}"), "text": quote, "start": start}
        for part, side, defect, quote, start in sorted(rows.elements(), key=lambda row: row[4])
    ]
