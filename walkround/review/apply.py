"""Laying a person's edits over the machine's reading. Pure: the same record and edits give the same record.

No edit loses a row: one that is set aside stays in ``dismissed`` with its reason, and one that a new reading no
longer has is kept as the person left it, marked for a look.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from walkround.narration.lexicon import Lexicon
from walkround.narration.model import Reading
from walkround.report import record as r
from walkround.review.checks import answered, checklist_with, checks_settled
from walkround.review.log import Entry
from walkround.review.targets import Line, Target, find, lines_of, target_from

GONE = "the words are now read differently and no longer give this line; a person had settled it"
#: Fields of a row that a person may set.
FIELDS = ("part", "side", "defect", "severity", "quote", "start", "end", "tentative", "extent")


@dataclass
class _Work:
    lines: list[Line]
    claimed: list[Target]
    changes: list[tuple[Target, dict[str, Any]]]
    dismissed: list[r.Dismissed] = field(default_factory=list)
    settled_doubts: list[tuple[int, str, float]] = field(default_factory=list)


@dataclass(frozen=True)
class Applied:
    """The record with the edits in it; by the row's id in it, what each row is known by and the picture chosen."""

    report: r.Report
    targets: dict[str, Target]
    pictures: dict[str, r.Still]


def apply(report: r.Report, edits: Iterable[Entry], lexicon: Lexicon, reading: Reading) -> r.Report:
    """The record with the edits in it. ``reading`` is what the record was built from: the checklist needs it."""
    return applied(report, edits, lexicon, reading).report


def applied(report: r.Report, edits: Iterable[Entry], lexicon: Lexicon, reading: Reading) -> Applied:
    """The same, with what each row is known by."""
    edits = list(edits)
    lines = lines_of(report)
    of_rows = [e for e in edits if e.action in _DOING and not _of_checklist(e) and not _of_question(e)]
    checks = [e for e in edits if _of_checklist(e)]
    answers = [e for e in edits if _of_question(e)]
    claimed = [target_from(t) for e in of_rows for t in _targets(e)]
    work = _Work(lines, claimed, [(target_from(e.target), e.after) for e in of_rows if e.action == "change"])
    for edit in of_rows:
        _DOING[edit.action](work, edit)
    placed = _in_order([line for line in work.lines if line.placed], "f")
    loose = _in_order([line for line in work.lines if not line.placed], "u")
    changed: dict[str, Any] = {
        "findings": [line.row for line in placed],
        "unplaced": [line.row for line in loose],
        "dismissed": _ordered(work.dismissed, "d"),
    }
    if of_rows:
        changed["checklist"] = checklist_with(report, changed["findings"], _no_doubt_left(work), lexicon, reading)
    changed["questions"] = [answered(question, answers) for question in report.questions]
    report = report.model_copy(update=changed)
    targets = {line.row.id: line.target.model_copy(update={"gone": line.gone}) for line in (*placed, *loose)}
    pictures = {line.row.id: line.picture for line in (*placed, *loose) if line.picture}
    return Applied(checks_settled(report, checks) if checks else report, targets, pictures)


def _in_order(lines: list[Line], letter: str) -> list[Line]:
    """The lines in order of the films, their rows numbered afresh."""
    ordered = sorted(lines, key=lambda line: (line.row.source, line.row.start))
    for n, line in enumerate(ordered, 1):
        line.row = line.row.model_copy(update={"id": f"{letter}{n}"})
    return ordered


def _targets(edit: Entry) -> list[dict[str, Any]]:
    target = edit.target or {}
    if edit.action == "add":
        return []
    return [target["first"], target["second"]] if edit.action == "join" else [target]


def _of_checklist(edit: Entry) -> bool:
    return edit.action == "not-fitted" or bool(edit.target and edit.target.get("check"))


def _of_question(edit: Entry) -> bool:
    return bool(edit.target and "question" in edit.target)


# --- rows -----------------------------------------------------------------------------------------
def _confirm(work: _Work, edit: Entry) -> None:
    line = _line(work, edit)
    # Its words still speak of a fault of some part: what they made doubtful stays so until they are placed.
    line.row = _settled(line, edit, "confirmed", line.row)


def _change(work: _Work, edit: Entry) -> None:
    line = _line(work, edit)
    row = line.row.model_copy(update={k: v for k, v in edit.after.items() if k in FIELDS})
    placing = not line.placed and row.part is not None
    line.row = _settled(line, edit, "placed" if placing else "changed", row)
    if placing:
        _settle_doubt(work, line)
    line.placed = row.part is not None


def _dismiss(work: _Work, edit: Entry) -> None:
    line = find(work.lines, target_from(edit.target), work.claimed, surely=True)
    row = line.row if line else _seen(edit.before)
    if line:
        _settle_doubt(work, line)
        work.lines.remove(line)
    _set_aside(work, edit, row, str(edit.after["reason"]))


def _add(work: _Work, edit: Entry) -> None:
    row = _made(edit.after, how="added", edit=edit)
    work.lines.append(Line(row, Target(entry=edit.id), row.part is not None))


def _split(work: _Work, edit: Entry) -> None:
    line = _line(work, edit)
    at = work.lines.index(line)
    work.lines.remove(line)
    for n, fields in enumerate(edit.after):
        row = line.row.model_copy(update={k: v for k, v in fields.items() if k in FIELDS})
        part = Line(row, Target(entry=edit.id, n=n), row.part is not None, line.gone)
        part.row = _settled(line, edit, "split", row)
        work.lines.insert(at + n, part)
    if all(fields.get("part", line.row.part) for fields in edit.after):
        _settle_doubt(work, line)


def _join(work: _Work, edit: Entry) -> None:
    """The second row says again what the first says: it is kept with that reason, the first one is widened."""
    target = edit.target or {}
    first = _line(work, edit, target["first"], edit.before["first"])
    second = find(work.lines, target_from(target["second"]), work.claimed, surely=True)
    row = second.row if second else _seen(edit.before["second"])
    if second and second is not first:
        work.lines.remove(second)
        if first.placed:
            _settle_doubt(work, second)
    start, end = min(first.row.start, row.start), max(first.row.end, row.end)
    first.row = _settled(first, edit, "joined", first.row.model_copy(update={"start": start, "end": end}))
    _set_aside(work, edit, row, str(edit.after["reason"]))


def _picture(work: _Work, edit: Entry) -> None:
    line = find(work.lines, target_from(edit.target), work.claimed)
    if line:
        line.picture = r.Still(file=edit.after["still"], time=edit.after["still_at"])


_DOING: dict[str, Callable[[_Work, Entry], None]] = {
    "confirm": _confirm, "change": _change, "dismiss": _dismiss, "add": _add, "split": _split, "join": _join,
    "picture": _picture,
}  # fmt: skip


def _line(work: _Work, edit: Entry, target: dict[str, Any] | None = None, before: Any = None) -> Line:
    """The line that an edit means; where the reading no longer has it, the row as the person saw it."""
    wanted = target_from(target or edit.target)
    line = find(work.lines, wanted, work.claimed) or _as_changed(work, wanted)
    if line is None:
        row = _seen(before or edit.before)
        line = Line(row, wanted.model_copy(update={"gone": False}), row.part is not None, gone=True)
        work.lines.append(line)
    if wanted.gone:
        line.gone = False  # a person saw that it was gone, and settles it
    return line


def _as_changed(work: _Work, target: Target) -> Line | None:
    """A row that is now read as a person had changed it to: no second one is made of it."""
    for wanted, fields in reversed(work.changes):
        if not wanted.same(target):
            continue
        known = target.model_dump() | {k: fields[k] for k in ("part", "side", "defect") if k in fields}
        line = find(work.lines, Target.model_validate(known), work.claimed)
        if line:
            line.target = target.model_copy(update={"gone": False})
            return line
    return None


def _seen(before: dict[str, Any]) -> r.Finding:
    """The row as the person saw it; fields that the record no longer has are left out."""
    return r.Finding.model_validate({k: v for k, v in before.items() if k in r.Finding.model_fields})


def _settled(line: Line, edit: Entry, how: Any, row: r.Finding) -> r.Finding:
    """The row with who settled it and what it was before; one that vanished is marked for a look instead."""
    old = line.row.settled.was if line.row.settled else {}
    was = {k: getattr(line.row, k) for k in FIELDS if getattr(line.row, k) != getattr(row, k)} | old
    was = {k: v for k, v in was.items() if v != getattr(row, k)}
    if line.row.settled and line.row.settled.how == "added":
        how, was = "added", {}
    elif how == "confirmed" and line.row.settled:
        how = line.row.settled.how
    settled = r.Settled(how=how, who=edit.who, at=edit.time, was=was)
    return row.model_copy(update={"settled": settled, "review": GONE if line.gone else None})


def _made(fields: dict[str, Any], *, how: Any, edit: Entry) -> r.Finding:
    allowed = {k: v for k, v in fields.items() if k in FIELDS or k == "source"}
    settled = r.Settled(how=how, who=edit.who, at=edit.time)
    return r.Finding.model_validate({"id": "", "confidence": 1.0, "settled": settled, **allowed})


def _set_aside(work: _Work, edit: Entry, row: r.Finding, reason: str) -> None:
    settled = r.Settled(how="dismissed", who=edit.who, at=edit.time, was=row.settled.was if row.settled else {})
    kept = row.model_dump(exclude={"settled", "review"})
    work.dismissed.append(r.Dismissed.model_validate({**kept, "settled": settled, "reason": reason}))


def _ordered(rows: list[r.Dismissed], letter: str) -> list[r.Dismissed]:
    """In order of the films, numbered afresh."""
    ordered = sorted(rows, key=lambda row: (row.source, row.start))
    return [row.model_copy(update={"id": f"{letter}{n}"}) for n, row in enumerate(ordered, 1)]


# --- checklist ------------------------------------------------------------------------------------
def _settle_doubt(work: _Work, line: Line) -> None:
    if not line.placed and line.target.entry is None:
        work.settled_doubts.append(_words_of(line))


def _words_of(line: Line) -> tuple[int, str, float]:
    return line.target.source, line.target.quote, line.target.start


def _no_doubt_left(work: _Work) -> list[tuple[int, str, float]]:
    """The words of which every line has been placed or set aside."""
    open_still = {_words_of(line) for line in work.lines if not line.placed and line.target.entry is None}
    return [words for words in work.settled_doubts if words not in open_still]
