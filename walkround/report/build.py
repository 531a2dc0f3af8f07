"""Putting the record together from the stages: media, transcript, reading, checklist."""

from collections.abc import Sequence
from typing import Any, TypeVar

from pydantic import BaseModel

from walkround import __version__
from walkround.checklist.contradictions import Contradiction, contradictions
from walkround.checklist.coverage import Item, checklist
from walkround.checklist.items import checklist_of
from walkround.narration.lexicon import GROUP_NAMES, Lexicon
from walkround.narration.model import DefectRow, FactRow, Reading, Row
from walkround.report import record as r
from walkround.report.chapters import chapters
from walkround.report.heard import Heard, rounded
from walkround.report.places import places_of

M = TypeVar("M", bound=BaseModel)


def build_report(
    lexicon: Lexicon, heard: Heard, reading: Reading, warnings: list[str], respelled: Sequence[r.Respelled] = ()
) -> r.Report:
    """The record of one walk-round. Pure: the same input gives the same record."""
    first, *added = heard.films
    report = r.Report(
        tool=r.Tool(version=__version__, lexicon_sha256=lexicon.sha256),
        media=first.media,
        added=[film.media for film in added],
        bike={k: _fact(f) for k, f in reading.facts.items()} | heard.given,
        transcript=first.transcript,
        added_transcripts=[film.transcript for film in added],
        findings=[_finding(row, f"f{row.number or n}") for n, row in enumerate(reading.findings, 1)],
        unplaced=[_finding(row, f"u{n}") for n, row in enumerate(reading.unplaced, 1)],
        checklist=[checklist_row(item) for item in checklist(lexicon, reading)],
        measurements=[
            _made(r.Measurement,
                _spoken(m), part=m.part, side=m.side, quantity=m.quantity, value=m.value, unit=m.unit,
                approximate=m.approximate, upper=m.upper, review=m.review,
            )
            for m in reading.measurements
        ],
        promises=[_made(r.Promise, _spoken(p), part=p.part) for p in reading.promises],
        guesses=[_made(r.Guess, _spoken(g), part=g.part) for g in reading.guesses],
        included=[_made(r.Extra, _spoken(e), part=e.part) for e in reading.included],
        excluded=[_made(r.Extra, _spoken(e), part=e.part) for e in reading.excluded],
        repaired=[_made(r.Repaired, _spoken(d), part=d.part, side=d.side, defect=d.defect) for d in reading.repaired],
        withdrawn=[
            _made(r.Withdrawn,
                _spoken(w), part=w.part, side=w.side, defect=w.defect, taken_back_by=w.taken_back_by,
                taken_back_at=rounded(w.taken_back_at), taken_back_source=w.taken_back_source,
            )
            for w in reading.withdrawn
        ],
        questions=[_question(c) for c in contradictions(lexicon, checklist_of(lexicon, heard.checklist), reading)],
        respelled=list(respelled),
        names=names_of(lexicon),
        warnings=[*warnings, *(warning for film in heard.films for warning in film.warnings)],
    )  # fmt: skip
    report.chapters = chapters(lexicon, reading, report)
    return report


def names_of(lexicon: Lexicon) -> r.Names:
    """What parts, defects, groups and places are called, for the record."""
    return r.Names(
        parts={part.id: part.name for part in lexicon.parts.values()},
        defects={defect.id: defect.name for defect in lexicon.defects.values()},
        groups=dict(GROUP_NAMES),
        places={place.id: place.name for place in places_of(lexicon)},
        short=dict(lexicon.trees["sides.toml"]["chapter_short"]),
        safety=[part.id for part in lexicon.parts.values() if part.safety],
    )


def checklist_row(item: Item) -> r.ChecklistRow:
    """A row of the checklist as the record holds it."""
    return _made(r.ChecklistRow,
        part=item.part, side=item.side, group=item.group, state=item.state, review=item.review,
        evidence=[_made(r.Spoken, _spoken(row)) for row in item.evidence],
    )  # fmt: skip


def _made(model: type[M], *parts: dict[str, Any], **fields: Any) -> M:
    """A row of the record, checked by its model."""
    merged: dict[str, Any] = {}
    for part in parts:
        merged |= part
    return model.model_validate(merged | fields)


def _spoken(row: Row) -> dict[str, str | float | int]:
    return {"quote": row.quote, "start": rounded(row.start), "end": rounded(row.end), "source": row.source}


def _question(found: Contradiction) -> r.Question:
    evidence = [_made(r.Spoken, _spoken(row)) for row in found.rows]
    return r.Question(about=found.about, text=found.text, evidence=evidence)


def _fact(row: FactRow) -> r.Fact:
    return r.Fact(
        value=row.value, quote=row.quote, start=rounded(row.start), source=row.source, upper=row.upper,
        approximate=row.approximate, review=row.review,
    )  # fmt: skip


def _finding(row: DefectRow, row_id: str) -> r.Finding:
    return _made(r.Finding,
        _spoken(row), id=row_id, part=row.part, side=row.side, defect=row.defect, severity=row.severity,
        severity_said=row.severity_said, tentative=row.tentative, extent=row.extent, cause_guess=row.cause_guess,
        heard_as=row.heard_as, part_quote=row.part_quote, confidence=row.confidence, review=row.review,
        trace=[r.Reason(step=s.step, words=s.words, entry=s.entry) for s in row.trace],
    )  # fmt: skip
