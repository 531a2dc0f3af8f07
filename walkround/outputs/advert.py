"""The text of an advert: the bike's figures, every disclosed mark in the narrator's words, and nothing else."""

from walkround.outputs.description import mark_words
from walkround.outputs.films import bike_title, films_of, one_line
from walkround.report.page import number
from walkround.report.record import Report
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
        ("Said to have been put right", report.repaired),
    ):
        if rows:
            lines += ["", f"{title}:"]
            lines += [f"- “{one_line(row.quote)}” ({_at(report, row.source, row.start)})" for row in rows]
    lines += ["", "These are the narrator's words, with the time in the film. This is not a roadworthiness inspection;"]
    lines += ["have tyres, brakes and steering checked by a qualified mechanic."]
    return "\n".join(lines) + "\n"


def _marks(report: Report) -> list[str]:
    rows = sorted((*report.findings, *report.unplaced), key=lambda row: (row.source, row.start, row.id))
    if not rows:
        return ["No mark or fault was found in the narrator's words. That does not mean there is none."]
    lines = ["Marks and faults spoken of in the film:"]
    for row in rows:
        lines.append(f"- {mark_words(report, row)}: “{one_line(row.quote)}” ({_at(report, row.source, row.start)})")
    return lines


def _at(report: Report, source: int, start: float) -> str:
    several = sum(1 for _ in films_of(report)) > 1
    return f"film {source + 1}, {clock(start)}" if several else clock(start)
