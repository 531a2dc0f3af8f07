"""Putting the record together from the stages: media, transcript, reading, checklist."""

from typing import Any, TypeVar

from pydantic import BaseModel

from walkround import __version__
from walkround.checklist.coverage import checklist
from walkround.media.probe import MediaInfo
from walkround.narration.lexicon import Lexicon
from walkround.narration.model import DefectRow, Reading, Row
from walkround.report import record as r
from walkround.report.chapters import chapters
from walkround.speech.transcript import Transcript

M = TypeVar("M", bound=BaseModel)


def build_report(
    lexicon: Lexicon, transcript: Transcript, reading: Reading, media: MediaInfo | None, warnings: list[str]
) -> r.Report:
    """The record of one walk-round. Pure: the same input gives the same record."""
    duration = media.duration if media else (transcript.segments[-1].end if transcript.segments else 0.0)
    return r.Report(
        tool=r.Tool(version=__version__, lexicon_sha256=lexicon.sha256),
        media=_media(media),
        bike={k: r.Fact(value=f.value, quote=f.quote, start=_t(f.start)) for k, f in reading.facts.items()},
        transcript=_transcript(transcript),
        findings=[_finding(row, f"f{n}") for n, row in enumerate(reading.findings, 1)],
        unplaced=[_finding(row, f"u{n}") for n, row in enumerate(reading.unplaced, 1)],
        checklist=[
            _made(r.ChecklistRow,
                part=item.part, side=item.side, group=item.group, state=item.state, review=item.review,
                evidence=[_made(r.Spoken, _spoken(row)) for row in item.evidence],
            )
            for item in checklist(lexicon, reading)
        ],
        measurements=[
            _made(r.Measurement,
                _spoken(m), part=m.part, side=m.side, quantity=m.quantity, value=m.value, unit=m.unit,
                approximate=m.approximate,
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
                taken_back_at=_t(w.taken_back_at),
            )
            for w in reading.withdrawn
        ],
        chapters=chapters(lexicon, reading, duration),
        warnings=[*warnings, *transcript.warnings],
    )  # fmt: skip


def _made(model: type[M], *parts: dict[str, Any], **fields: Any) -> M:
    """A row of the record, checked by its model."""
    merged: dict[str, Any] = {}
    for part in parts:
        merged |= part
    return model.model_validate(merged | fields)


def plain(name: str) -> str:
    """A file name as text that any program can read: bytes that are not UTF-8 become a replacement mark."""
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _t(seconds: float) -> float:
    return round(seconds, 3)


def _spoken(row: Row) -> dict[str, str | float]:
    return {"quote": row.quote, "start": _t(row.start), "end": _t(row.end)}


def _media(media: MediaInfo | None) -> r.Media:
    if media is None:
        return r.Media()
    return r.Media(
        file=plain(media.path.name), sha256=media.sha256, duration=_t(media.duration), width=media.width,
        height=media.height, rotation=media.rotation, recorded_at=media.recorded_at,
    )  # fmt: skip


def _transcript(transcript: Transcript) -> r.TranscriptRow:
    return r.TranscriptRow(
        source=transcript.source,
        language=transcript.language,
        timing=transcript.timing,
        segments=[
            r.SegmentRow(
                start=_t(s.start), end=_t(s.end), text=s.text,
                words=[
                    r.WordRow(
                        text=w.text, start=_t(w.start), end=_t(w.end),
                        probability=None if w.probability is None else round(w.probability, 3),
                    )
                    for w in s.words
                ],
            )
            for s in transcript.segments
        ],
    )  # fmt: skip


def _finding(row: DefectRow, row_id: str) -> r.Finding:
    return _made(r.Finding,
        _spoken(row), id=row_id, part=row.part, side=row.side, defect=row.defect, severity=row.severity,
        tentative=row.tentative, extent=row.extent, cause_guess=row.cause_guess, heard_as=row.heard_as,
        part_quote=row.part_quote, confidence=row.confidence, review=row.review,
        trace=[r.Reason(step=s.step, words=s.words, entry=s.entry) for s in row.trace],
    )  # fmt: skip
