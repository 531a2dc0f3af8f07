"""The checklist laid beside a record: kind of bike, what is not fitted, what is missing. Listens to nothing."""

from walkround.checklist.fitted import Fitting, Words, fitting
from walkround.checklist.gaps import find_gaps
from walkround.checklist.items import Checklist, checklist_of, kinds_given
from walkround.narration.lexicon import Lexicon
from walkround.report import record as r
from walkround.report.heard import Heard, rounded, transcript_of


def cover(report: r.Report, lexicon: Lexicon, heard: Heard) -> r.Report:
    """The record with ``bike["kind"]``, ``not_fitted`` of the checklist's rows, and ``gaps``.

    To be called last, since it looks at the rows as a person settled them. Calling it again gives the same.
    """
    checklist = checklist_of(lexicon, heard.checklist)
    said = (report.transcript, *report.added_transcripts)  # with the words that a person put right
    words = Words(lexicon, [transcript_of(transcript) for transcript in said])
    fitted = fitting(checklist, words, heard.not_fitted, _kinds(heard, checklist))
    covered = report.model_copy(update={"bike": _bike(report, fitted), "checklist": _rows(report, fitted)})
    gaps = find_gaps(lexicon, checklist, covered, fitted, words)
    return covered.model_copy(update={"gaps": gaps})


def _kinds(heard: Heard, checklist: Checklist) -> tuple[str, ...] | None:
    fact = heard.given.get("kind")
    return kinds_given(str(fact.value), checklist) if fact else None


def _bike(report: r.Report, fitted: Fitting) -> dict[str, r.Fact]:
    said = fitted.kind_heard
    if said is None:
        return report.bike
    kind = r.Fact(value=", ".join(fitted.kinds), quote=said.quote, start=rounded(said.start), source=said.source)
    return report.bike | {"kind": kind}


def _rows(report: r.Report, fitted: Fitting) -> list[r.ChecklistRow]:
    """A part that was spoken of, on whichever side, is not called not fitted, unless by the words that say so."""
    spoken = {row.part for row in report.checklist if _spoken_of(row, fitted)}
    return [
        row.model_copy(update={"not_fitted": row.not_fitted or fitted.not_fitted.get(row.part)})
        if row.part not in spoken
        else row
        for row in report.checklist
    ]


def _spoken_of(row: r.ChecklistRow, fitted: Fitting) -> bool:
    heard = fitted.by_narration.get(row.part)
    if heard is None or row.state != "named":
        return row.state != "not-mentioned"
    return any(e.source != heard.source or not e.start <= heard.start <= e.end for e in row.evidence)
