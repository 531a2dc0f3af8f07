"""Findings as a table for a spreadsheet (CSV, RFC 4180)."""

import csv
import io

from walkround.outputs.films import one_line
from walkround.report.record import Report
from walkround.timecode import clock

COLUMNS = (
    "id", "film", "time", "start", "end", "part", "side", "defect", "severity", "narrator_unsure", "extent",
    "cause_guessed", "quote", "needs_a_look", "still",
)  # fmt: skip
#: A cell that begins with one of these is read as a formula by spreadsheets.
_FORMULA = tuple("=+-@\t\r")


def findings_csv(report: Report) -> str:
    """All findings and all unplaced rows, in the order of the films. Lines end in CRLF, as RFC 4180 has it."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(COLUMNS)
    rows = sorted((*report.findings, *report.unplaced), key=lambda row: (row.source, row.start, row.id))
    for row in rows:
        film = (report.media, *report.added)[row.source].file
        cells = (
            row.id, film or "", clock(row.start), f"{row.start:.3f}", f"{row.end:.3f}",
            report.names.part(row.part) if row.part else "", row.side or "", report.names.defect(row.defect),
            row.how_bad or "", "yes" if row.tentative else "no", row.extent or "", row.cause_guess or "", row.quote,
            row.review or "", row.still or "",
        )  # fmt: skip
        table.writerow([_cell(cell) for cell in cells])
    return out.getvalue()


def _cell(text: str) -> str:
    """One line; an apostrophe before what a spreadsheet would run as a formula (OWASP, "CSV Injection")."""
    line = one_line(text)
    return f"'{line}" if line.startswith(_FORMULA) else line
