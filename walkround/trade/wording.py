"""What the trade step found, in a few lines for a terminal."""

from walkround.errors import shown
from walkround.report.record import Measurement, Report
from walkround.timecode import clock


def amount(row: Measurement) -> str:
    """ "about 1 mm", "3 to 4 mm", "180/55 ZR17"."""
    value = row.value if isinstance(row.value, str) else f"{row.value:g}"
    upper = f" to {row.upper:g}" if row.upper is not None else ""
    return f"{'about ' if row.approximate else ''}{value}{upper}{f' {row.unit}' if row.unit else ''}"


def at_limit(report: Report) -> list[Measurement]:
    """Measurements at or under a published limit."""
    return [row for row in report.measurements if row.severity == "serious"]


def summary_lines(report: Report) -> list[str]:
    """Figures at or under a limit, then the questions; nothing where there are none."""
    lines: list[str] = []
    if at_limit(report):
        lines += ["", "At or under a published limit, as spoken; have them measured:"]
        for row in at_limit(report):
            part = (row.part or "").replace("-", " ")
            lines.append(f"  {clock(row.start):>7}  {part}: {row.quantity} {shown(amount(row))}")
    if report.questions:
        lines += ["", "Questions for a person:"]
        lines += [f"  {shown(question.about)}: {shown(question.text)}" for question in report.questions]
    return lines
