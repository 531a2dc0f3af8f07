"""What the command line shows: progress on the way, a summary at the end."""

import sys
from types import TracebackType
from typing import Any

from rich.console import Console as RichConsole
from rich.progress import (
    BarColumn,
    Progress,
    SpinnerColumn,
    TaskID,
    TextColumn,
    TimeElapsedColumn,
    TimeRemainingColumn,
)

from walkround.errors import shown
from walkround.pipeline import Outcome
from walkround.report.heard import plain
from walkround.report.record import Finding, Report
from walkround.report.wording import Names, lowered, sentence
from walkround.timecode import clock
from walkround.trade.wording import at_limit, summary_lines

#: Where the output is not a terminal, a line each time this share of a stage is done.
PLAIN_STEP = 0.25


class Console:
    """Progress on standard error: bars with the time left on a terminal, plain lines elsewhere."""

    def __init__(self) -> None:
        self._rich = RichConsole(stderr=True)
        self._bars: Progress | None = None
        self._task: TaskID | None = None
        self._total: float | None = None
        self._told = 0.0

    def __enter__(self) -> "Console":
        if self._rich.is_terminal:
            self._bars = Progress(
                SpinnerColumn(),
                TextColumn("{task.description}"),
                BarColumn(),
                TimeElapsedColumn(),
                TextColumn("left"),
                TimeRemainingColumn(),
                console=self._rich,
                transient=True,
            )
            self._bars.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._bars:
            self._bars.stop()

    def stage(self, name: str, total: float | None = None) -> None:
        """A stage begins."""
        self._total, self._told = total, 0.0
        if self._bars:
            if self._task is not None:
                self._bars.update(self._task, completed=1, total=1)
            self._task = self._bars.add_task(name, total=total)
        else:
            print(f"{name} ...", file=sys.stderr, flush=True)

    def done(self, amount: float) -> None:
        """So much of the stage is done."""
        if self._bars and self._task is not None:
            self._bars.update(self._task, completed=amount)
        elif self._total and amount < self._total and amount / self._total - self._told >= PLAIN_STEP:
            self._told = amount / self._total
            print(f"  {self._told:.0%}", file=sys.stderr, flush=True)

    def say(self, text: str) -> None:
        """Something the person should know now."""
        self._rich.print(text, markup=False, highlight=False)


def summary(outcome: Outcome) -> dict[str, Any]:
    """What a program wants to know: paths and counts."""
    report = outcome.report
    states = [row.state for row in report.checklist]
    return {
        "record": plain(str(outcome.record_path)),
        "page": plain(str(outcome.page_path)),
        "findings": len(report.findings),
        "unplaced": len(report.unplaced),
        "to_review": len(_to_review(report)),
        "said_to_be_in_order": states.count("clear"),
        "not_mentioned": not_mentioned(report),
        "at_limit": len(at_limit(report)),
        "questions": [f"{question.about}: {question.text}" for question in report.questions],
        "warnings": report.warnings,
    }


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _to_review(report: Report) -> list[Finding]:
    return [row for row in (*report.findings, *report.unplaced) if row.review]


def not_mentioned(report: Report) -> list[str]:
    """Parts that were not mentioned, in checklist order; with the side where only that side is missing."""
    return list(dict.fromkeys(f"{side} {part}" if side else part for part, side in _unmentioned(report)))


def _unmentioned(report: Report) -> list[tuple[str, str | None]]:
    found = []
    spoken = {row.part for row in report.checklist if row.state != "not-mentioned"}
    for row in report.checklist:
        if row.state == "not-mentioned" and not row.not_fitted:
            side = row.side if row.part in spoken and row.side in ("left", "right") else None
            found.append((row.part, side))
    return list(dict.fromkeys(found))


def _line(row: Finding, report: Report) -> str:
    notes = ([row.how_bad] if row.how_bad else []) + ["not certain"] * row.tentative
    more = f" ({', '.join(notes)})" if notes else ""
    names = Names(report.names.parts, report.names.groups, report.names.defects)
    where = names.part(row.part, row.side) if row.part else "part not named"
    return f"  {clock(row.start):>7}  {shown(sentence(where))}: {shown(names.defect(row.defect))}{more}"


def _missing(report: Report) -> list[str]:
    """What was not mentioned, as people call it."""
    names = Names(report.names.parts, report.names.groups, report.names.defects)
    return [shown(lowered(names.part(part, side))) for part, side in _unmentioned(report)]


def summary_text(outcome: Outcome) -> str:
    """The summary for a person: every finding with its time, what needs a look, what was not mentioned."""
    report = outcome.report
    lines = [_line(row, report) for row in report.findings]
    if report.unplaced:
        lines += ["", "Spoken of as a fault, but of which part?"]
        lines += [f"  {clock(row.start):>7}  “{shown(row.quote)}”" for row in report.unplaced]
    lines += summary_lines(report)
    review = _to_review(report)
    missing = _missing(report)
    lines += [
        "",
        f"{_count(len(report.findings), 'mark or fault', 'marks and faults')} spoken of; "
        f"{_count(len(review), 'row needs', 'rows need')} a person's look.",
    ]
    if missing:
        lines.append(f"Not mentioned at all: {', '.join(missing)}.")
    lines += [f"Warning: {shown(warning)}" for warning in report.warnings]
    lines += ["", f"Page:   {shown(outcome.page_path)}", f"Record: {shown(outcome.record_path)}"]
    return "\n".join(lines)


def explain_text(outcome: Outcome) -> str:
    """Why each row was read so, and which defect words made no row."""
    lines = ["", "Why each row was read so:"]
    for row in (*outcome.report.findings, *outcome.report.unplaced):
        lines += [
            "",
            _line(row, outcome.report),
            f"           “{shown(row.quote)}”",
            f"           sure: {row.confidence:.2f}",
        ]
        lines += [f"           {step.step}: “{shown(step.words)}” -> {step.entry}" for step in row.trace]
        if row.review:
            lines.append(f"           look: {shown(row.review)}")
    lines += ["", "Defect words that made no row:"]
    lines += [f"  {clock(p.start):>7}  “{shown(p.quote)}”: {shown(p.reason)}" for p in outcome.reading.passed]
    return "\n".join(lines)
