"""What a person asks for, checked and put as an entry of the log: with the row it speaks of, before and after.

Every function takes what was sent and gives the fields of the entry. Raises InputError, in a sentence for the
person, where the request cannot be done.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from walkround.errors import InputError
from walkround.narration.lexicon import Lexicon
from walkround.report import record as r
from walkround.report.heard import rounded
from walkround.review.apply import FIELDS, Applied
from walkround.review.log import Log, effective
from walkround.review.targets import key_of_question

#: No text that a person types is longer (characters).
LONGEST = 2000
SIDES = ("left", "right", "both")
SEVERITIES = ("minor", "moderate", "serious")


@dataclass(frozen=True)
class Desk:
    """What lies before the person: the record as it is now, the lexicon, the log."""

    now: Applied
    lexicon: Lexicon
    log: Log

    def row(self, row_id: object) -> r.Finding:
        """The row with this id. Raises InputError."""
        for row in (*self.now.report.findings, *self.now.report.unplaced):
            if row.id == row_id:
                return row
        raise InputError("That line is no longer there; look at the list again.")

    def target(self, row: r.Finding) -> dict[str, Any]:
        """What the log knows the row by."""
        return self.now.targets[row.id].model_dump()

    def check(self, asked: Mapping[str, Any]) -> r.ChecklistRow:
        """The checklist's row. Raises InputError."""
        for row in self.now.report.checklist:
            if (row.part, row.side) == (asked.get("part"), asked.get("side")):
                return row
        raise InputError("That item is not on the checklist; look at the list again.")


def _confirm(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    if "question" in asked:
        for question in desk.now.report.questions:
            if key_of_question(question) == asked["question"]:
                return {"target": {"question": asked["question"]}, "was": question.model_dump()}
        raise InputError("That question is no longer there; look at the list again.")
    if "part" in asked:
        check = desk.check(asked)
        if check.review is None:
            raise InputError("There is nothing to settle about that item.")
        target = {"check": True, "part": check.part, "side": check.side}
        return {"target": target, "was": {"review": check.review, "state": check.state}}
    row = desk.row(asked.get("row"))
    return {"target": desk.target(row), "was": row.model_dump()}


def _change(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    row = desk.row(asked.get("row"))
    after = _fields(desk, asked.get("fields"), row.model_dump())
    return {"target": desk.target(row), "was": row.model_dump(), "after": after}


def _dismiss(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    row = desk.row(asked.get("row"))
    reason = _text(asked.get("reason"), "a reason")
    return {"target": desk.target(row), "was": row.model_dump(), "after": {"reason": reason}}


def _add(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    blank = {"source": 0, "part": None, "side": None, "severity": "minor", "tentative": False, "extent": None}
    fields = asked.get("fields")
    source = fields.get("source", 0) if isinstance(fields, dict) else 0
    if type(source) is not int or not 0 <= source <= len(desk.now.report.added):
        raise InputError("There is no such film in this walk-round.")
    after = blank | {"source": source} | _fields(desk, fields, blank | {"source": source})
    for name, what in (("defect", "what is wrong"), ("quote", "words"), ("start", "a time"), ("end", "an end")):
        if after.get(name) is None:
            raise InputError(f"A new line needs {what}.")
    return {"after": after}


def _split(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    row = desk.row(asked.get("row"))
    parts = asked.get("rows")
    if not isinstance(parts, list) or not 2 <= len(parts) <= 10:
        raise InputError("Splitting a line needs two new lines or more.")
    after = [_fields(desk, fields, row.model_dump()) for fields in parts]
    return {"target": desk.target(row), "was": row.model_dump(), "after": after}


def _join(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    first, second = desk.row(asked.get("row")), desk.row(asked.get("other"))
    if first.id == second.id or first.source != second.source:
        raise InputError("Two lines of the same film can be joined; choose another one.")
    return {
        "target": {"first": desk.target(first), "second": desk.target(second)},
        "was": {"first": first.model_dump(), "second": second.model_dump()},
        "after": {"reason": _text(asked.get("reason", "says again what another line says"), "a reason")},
    }


def _picture(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    row = desk.row(asked.get("row"))
    for still in row.other_stills:
        if still.file == asked.get("still"):
            after = {"still": still.file, "still_at": still.time}
            return {"target": desk.target(row), "was": row.model_dump(), "after": after}
    raise InputError("There is no such picture of this line.")


def _not_fitted(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    check = desk.check(asked)
    if check.state == "finding":
        raise InputError("A fault of that part was spoken of, so it is fitted; settle the fault first.")
    why = _text(asked.get("why", "marked by the person who looked the report over"), "a reason")
    was = {"review": check.review, "state": check.state, "not_fitted": check.not_fitted}
    return {"target": {"part": check.part, "side": check.side}, "was": was, "after": {"why": why}}


def _correct(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    source, start, heard = asked.get("source", 0), asked.get("start"), asked.get("heard")
    put = asked.get("put")
    if not isinstance(put, str) or len(put) > LONGEST:
        raise InputError("Write the words as they were spoken, or nothing where nothing was said.")
    report = desk.now.report
    transcripts = [report.transcript, *report.added_transcripts]
    if type(source) is not int or not 0 <= source < len(transcripts) or not isinstance(heard, str) or not heard.split():
        raise InputError("Those words are no longer there; look at the transcript again.")
    for segment in transcripts[source].segments:
        for at, word in enumerate(segment.words):
            there = [w.text for w in segment.words[at : at + len(heard.split())]]
            if word.start == start and there == heard.split():
                target = {"source": source, "start": word.start}
                return {"target": target, "was": " ".join(there), "after": " ".join(put.split())}
    raise InputError("Those words are no longer there; look at the transcript again.")


def _undo(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    holding, _ = effective(desk.log.entries)
    can = [entry for entry in holding if entry.action not in ("sign", "teach")]
    if "entry" in asked:
        can = [entry for entry in can if entry.id == asked["entry"]]
    if not can:
        raise InputError("There is nothing to undo.")
    return {"target": {"entry": can[-1].id}}


def _redo(desk: Desk, asked: dict[str, Any]) -> dict[str, Any]:
    _, undone = effective(desk.log.entries)
    if not undone:
        raise InputError("There is nothing to do again.")
    return {"target": {"entry": undone[-1].id}}


#: What can be asked for that changes rows or words.
ACTS: dict[str, Callable[[Desk, dict[str, Any]], dict[str, Any]]] = {
    "confirm": _confirm, "change": _change, "dismiss": _dismiss, "add": _add, "split": _split, "join": _join,
    "picture": _picture, "not-fitted": _not_fitted, "correct": _correct, "undo": _undo, "redo": _redo,
}  # fmt: skip


def _text(value: object, what: str) -> str:
    if not isinstance(value, str) or not value.strip():
        raise InputError(f"Write {what}.")
    if len(value) > LONGEST:
        raise InputError(f"That is too long: at most {LONGEST} characters.")
    return value.strip()


def _fields(desk: Desk, asked: object, row: Mapping[str, Any]) -> dict[str, Any]:
    """The fields that were sent and differ from the row, each checked."""
    if not isinstance(asked, dict) or not set(asked) <= {*FIELDS, "source"}:
        raise InputError("Those are not the fields of a line.")
    fields = {name: value for name, value in asked.items() if name != "source" and value != row.get(name)}
    for name, value in fields.items():
        _field(desk, name, value)
    whole = {**row, **fields}
    part = desk.lexicon.parts.get(whole["part"]) if whole.get("part") else None
    if whole.get("side") is not None and part is not None and not part.sided:
        if "side" in fields:
            raise InputError(f"{part.name}: there is only one, so it has no side.")
        fields["side"] = None
    for name in ("start", "end"):
        if name in fields:
            fields[name] = rounded(float(fields[name]))
    if whole.get("start") is not None and whole.get("end") is not None:
        _times(desk, whole)
    return fields


def _times(desk: Desk, row: Mapping[str, Any]) -> None:
    medias = [desk.now.report.media, *desk.now.report.added]
    duration = medias[row["source"]].duration
    if not row["start"] < row["end"]:
        raise InputError("A line must end after it begins.")
    if duration is not None and row["start"] > duration:
        raise InputError("That time is after the end of the film.")


def _field(desk: Desk, name: str, value: object) -> None:
    if name == "part" and value is not None and str(value) not in desk.lexicon.parts:
        raise InputError("That is not a part of the list; choose one of it.")
    if name == "defect" and str(value) not in desk.lexicon.defects:
        raise InputError("That is not a kind of fault of the list; choose one of it.")
    if name == "side" and value is not None and value not in SIDES:
        raise InputError("A side is left, right or both.")
    if name == "severity" and value not in SEVERITIES:
        raise InputError("Choose minor, moderate or serious.")
    if name == "quote":
        _text(value, "the words")
    if name == "extent" and value is not None:
        _text(value, "the size")
    if name == "tentative" and not isinstance(value, bool):
        raise InputError("Choose whether the narrator is unsure.")
    if name in ("start", "end") and (
        isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < 1e6
    ):
        raise InputError("A time is a number of seconds from the start of the film.")
