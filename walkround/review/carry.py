"""Pictures on rows that a person changed: kept from the record before, and the ones that a person chose."""

from collections.abc import Mapping

from walkround.report import record as r

#: What pictures put into a row.
_ROW = ("still", "still_at", "other_stills", "clip", "not_shown")
_CHECK = ("still", "still_at", "not_shown")


def carried(report: r.Report, before: r.Report | None) -> r.Report:
    """The record with the pictures that the same rows had in one from before. Pure."""
    if before is None:
        return report
    rows = {_place(row): row for row in (*before.findings, *before.unplaced)}
    near = {(row.source, row.start, row.end): row for row in rows.values()}
    checks = {(check.part, check.side): check for check in before.checklist}

    def row_with(row: r.Finding) -> r.Finding:
        old = rows.get(_place(row)) or near.get((row.source, row.start, row.end))
        return row.model_copy(update={name: getattr(old, name) for name in _ROW}) if old else row

    def check_with(check: r.ChecklistRow) -> r.ChecklistRow:
        old = checks.get((check.part, check.side))
        same = old is not None and old.state == check.state
        return check.model_copy(update={name: getattr(old, name) for name in _CHECK}) if same else check

    return report.model_copy(
        update={
            "findings": [row_with(row) for row in report.findings],
            "unplaced": [row_with(row) for row in report.unplaced],
            "checklist": [check_with(check) for check in report.checklist],
            "poor_views": before.poor_views,
            "pictures": before.pictures,
            "warnings": [*report.warnings, *(w for w in before.warnings if w not in report.warnings)],
        }
    )


def with_chosen(report: r.Report, chosen: Mapping[str, r.Still]) -> r.Report:
    """The record with the pictures that a person chose, by row id; the one before becomes another choice. Pure."""
    if not chosen:
        return report

    def row_with(row: r.Finding) -> r.Finding:
        still = chosen.get(row.id)
        if still is None:
            return row
        # The same picture may lie under another name since: that of the covered one.
        now = [*row.other_stills, *([r.Still(file=row.still, time=row.still_at or 0.0)] if row.still else [])]
        still = next((each for each in now if each.time == still.time), still)
        if still.file == row.still:
            return row
        others = [other for other in row.other_stills if other.file != still.file]
        if row.still is not None and row.still_at is not None:
            others.insert(0, r.Still(file=row.still, time=row.still_at))
        update = {"still": still.file, "still_at": still.time, "other_stills": others, "not_shown": None}
        return row.model_copy(update=update)

    rows = {name: [row_with(row) for row in getattr(report, name)] for name in ("findings", "unplaced")}
    return report.model_copy(update=rows)


def _place(row: r.Finding) -> tuple[int, float, float, str | None, str | None, str]:
    return row.source, row.start, row.end, row.part, row.side, row.defect
