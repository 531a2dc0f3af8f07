"""Laying a person's edits over the checklist and the questions. Pure, as the rows are (``apply``)."""

from dataclasses import replace

from walkround.checklist.coverage import checklist
from walkround.narration.lexicon import Lexicon
from walkround.narration.model import DefectRow, Reading
from walkround.report import record as r
from walkround.report.build import checklist_row
from walkround.review.log import Entry
from walkround.review.targets import key_of_question

FITTED = "marked as not fitted, but a fault of it was spoken of"


def checklist_with(
    report: r.Report, findings: list[r.Finding], settled: list[tuple[int, str, float]], lexicon: Lexicon, read: Reading
) -> list[r.ChecklistRow]:
    """The checklist by the same rules as from the reading, with the findings as they are now."""
    doubted = [
        row for row in read.doubted
        if not any((row.source, row.quote) == s[:2] and abs(row.start - s[2]) < 0.01 for s in settled)
    ]  # fmt: skip
    rows = [
        DefectRow(f.quote, f.start, f.end, f.part, f.side, f.source, defect=f.defect, tentative=f.tentative)
        for f in findings
    ]
    made = [checklist_row(item) for item in checklist(lexicon, replace(read, findings=rows, doubted=doubted))]
    before = {(row.part, row.side): row for row in report.checklist}
    return [_carried(row, before.get((row.part, row.side))) for row in made]


def _carried(row: r.ChecklistRow, old: r.ChecklistRow | None) -> r.ChecklistRow:
    """A row made anew keeps what other stages had put into it.

    What only a person's own edit makes odd (a fault put on a part that was praised) is no new question to them.
    """
    if old is None:
        return row.model_copy(update={"review": None})
    keep = {k: getattr(old, k) for k in ("not_fitted", "still", "still_at", "not_shown")}
    return row.model_copy(update=keep | {"review": row.review if old.review else None})


def answered(question: r.Question, answers: list[Entry]) -> r.Question:
    """The question, settled where a person looked at it."""
    for edit in answers:
        if edit.target and edit.target["question"] == key_of_question(question):
            settled = r.Settled(how="confirmed", who=edit.who, at=edit.time)
            return question.model_copy(update={"settled": settled})
    return question


def checks_settled(report: r.Report, checks: list[Entry]) -> r.Report:
    """The record with what a person said of items of its checklist."""
    rows = list(report.checklist)
    for edit in checks:
        target = edit.target or {}
        exact = any((row.part, row.side) == (target.get("part"), target.get("side")) for row in rows)
        for at, row in enumerate(rows):
            if row.part == target.get("part") and (
                row.side == target.get("side") or (not exact and _reaches(edit, row))
            ):
                rows[at] = _check_settled(row, edit)
    return report.model_copy(update={"checklist": rows})


def _reaches(edit: Entry, row: r.ChecklistRow) -> bool:
    """Whether "not fitted", said of both sides, holds of a row that now stands for one: not where it was spoken of."""
    both = edit.action == "not-fitted" and (edit.target or {}).get("side") == "both"
    return both and row.state in ("finding", "not-mentioned")


def _check_settled(row: r.ChecklistRow, edit: Entry) -> r.ChecklistRow:
    settled = r.Settled(how="confirmed", who=edit.who, at=edit.time)
    if edit.action == "not-fitted":
        if row.state == "finding":
            return row.model_copy(update={"review": FITTED})
        return row.model_copy(update={"not_fitted": str(edit.after["why"]), "review": None, "settled": settled})
    if row.review != edit.before["review"]:  # another reason than the one that was settled
        return row
    return row.model_copy(update={"review": None, "settled": settled})
