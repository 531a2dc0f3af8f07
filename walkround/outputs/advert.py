"""The text of an advert: the bike's figures, every disclosed mark in the narrator's words, and nothing else."""

from walkround.outputs.description import mark_words, part_words, words_of
from walkround.outputs.films import bike_title, films_of, one_line
from walkround.report.record import Finding, Repaired, Report, Withdrawn
from walkround.report.wording import number
from walkround.timecode import clock


def advert(report: Report) -> str:
    """Plain text that says nothing the narrator did not: facts, quotes and times of the record only."""
    lines = [bike_title(report)]
    if "mileage" in report.bike:
        fact = report.bike["mileage"]
        unit = f" {report.bike['mileage_unit'].value}" if "mileage_unit" in report.bike else ""
        lines.append(one_line(f"Mileage{'' if fact.given else ', as said'}: {number(fact.value)}{unit}"))
    lines += ["", *_marks(report)]
    for title, rows in (
        ("Work promised", report.promises),
        ("Comes with the bike", report.included),
        ("Does not come with the bike", report.excluded),
    ):
        if rows:
            lines += ["", f"{title}:"]
            lines += [f"- “{one_line(row.quote)}” ({_at(report, row.source, row.start)})" for row in rows]
    lines += ["", "These are the narrator's words, with the time in the film. This is not a roadworthiness inspection;"]
    lines += ["have tyres, brakes and steering checked by a qualified mechanic."]
    return "\n".join(lines) + "\n"


def _marks(report: Report) -> list[str]:
    """Every fault that was spoken of, under what became of it; what a person set aside is not among them."""
    lists: list[tuple[str, list[str]]] = [
        ("Marks and faults spoken of in the film:", _faults(report, report.findings)),
        ("Spoken of as a fault, the part not certain:", _faults(report, report.unplaced)),
        ("Said to have been put right:", [_said(report, row) for row in report.repaired]),
        ("Named as a fault and then taken back:", [_taken_back(report, row) for row in report.withdrawn]),
    ]
    lines: list[str] = []
    for title, rows in lists:
        if rows:
            lines += [*([""] if lines else []), title, *rows]
    if not lines and not report.dismissed:
        return ["No mark or fault was found in the narrator's words. That does not mean there is none."]
    return lines or ["No mark or fault is listed: those that were read were set aside by a person. See the report."]


def _faults(report: Report, rows: list[Finding]) -> list[str]:
    ordered = sorted(rows, key=lambda row: (row.source, row.start, row.id))
    return [f"- {mark_words(report, row)}: {words_of(row)} ({_at(report, row.source, row.start)})" for row in ordered]


def _said(report: Report, row: Repaired | Withdrawn) -> str:
    words = [part_words(report, row.part, row.side)] if row.part else []
    words += [report.names.defect(row.defect)] if row.defect else []
    name = f"{one_line(': '.join(words))}: " if words else ""
    return f"- {name}“{one_line(row.quote)}” ({_at(report, row.source, row.start)})"


def _taken_back(report: Report, row: Withdrawn) -> str:
    when = _at(report, row.taken_back_source, row.taken_back_at)
    return f"{_said(report, row)}, taken back with “{one_line(row.taken_back_by)}” ({when})"


def _at(report: Report, source: int, start: float) -> str:
    several = sum(1 for _ in films_of(report)) > 1
    return f"film {source + 1}, {clock(start)}" if several else clock(start)
