"""What the review page shows, as plain data: made from the record alone, in the words that people read."""

import hashlib
from datetime import UTC, datetime
from typing import Any

from walkround.narration.lexicon import GROUP_NAMES, Lexicon
from walkround.report import record as r
from walkround.report.wording import Names, sentence, title_of
from walkround.review.apply import Applied
from walkround.review.log import FIXED, Entry, Log, effective
from walkround.review.signing import days_asked, open_rows
from walkround.review.targets import key_of_question

#: Parts offered for a line without one: named within so many seconds of it, and so many at most.
WITHIN, AT_MOST = 60.0, 6
_DONE = {
    "confirm": "confirming a line", "change": "changing a line", "dismiss": "setting a line aside",
    "add": "adding a line", "split": "splitting a line", "join": "joining two lines", "picture": "choosing a picture",
    "not-fitted": "marking a part as not fitted", "correct": "putting words right",
}  # fmt: skip


def names_of(lexicon: Lexicon) -> Names:
    """What parts, groups and faults are called."""
    return Names(
        {part.id: part.name for part in lexicon.parts.values()},
        GROUP_NAMES,
        {defect.id: defect.name for defect in lexicon.defects.values()},
    )


def choices(lexicon: Lexicon) -> dict[str, Any]:
    """What can be chosen on the page; the same while the lexicon is."""
    parts = sorted(lexicon.parts.values(), key=lambda part: part.name.casefold())
    defects = sorted(lexicon.defects.values(), key=lambda defect: defect.name.casefold())
    return {
        "parts": [{"id": part.id, "name": sentence(part.name), "sided": part.sided} for part in parts],
        "defects": [{"id": defect.id, "name": sentence(defect.name)} for defect in defects if not defect.generic],
    }


def state(report: r.Report, now: Applied, log: Log, lexicon: Lexicon) -> dict[str, Any]:
    """Everything on the page but the words of the transcript."""
    names = names_of(lexicon)
    holding, undone = effective(log.entries)
    takings = {e.id: e for e in holding if e.action in ("dismiss", "join")}
    rows = [_line(row, now, names, placed=True) for row in report.findings]
    rows += [_line(row, now, names, placed=False) | _offers(row, report, names) for row in report.unplaced]
    last = [e for e in holding if e.action not in FIXED]
    return {
        "revision": len(log.entries),
        "title": title_of(report),
        "rows": rows,
        "aside": [_aside(row, names, takings) for row in report.dismissed],
        "checks": [
            *(_question(question) for question in report.questions if question.between_films),
            *(_check(row, names) for row in report.checklist),
        ],
        "promised": [row.model_dump(include={"quote", "start", "source"}) for row in report.promises],
        "open": open_rows(report),
        "signed": _signed(report.signed) if report.signed else None,
        "sign_asks": [question.text for question in days_asked(report, datetime.now(UTC).date())],
        "undo": _DONE.get(last[-1].action) if last else None,
        "redo": _DONE.get(undone[-1].action) if undone else None,
    }


def _signed(signed: r.Signed) -> dict[str, Any]:
    row = signed.model_dump(include={"who", "at", "withdrawn"})
    return row | {"asked": [question.text for question in signed.asked]}


def films(report: r.Report, playable: list[bool]) -> list[dict[str, Any]]:
    """The films, in order."""
    medias = [report.media, *report.added]
    return [
        {"name": media.file, "duration": media.duration, "plays": plays}
        for media, plays in zip(medias, playable, strict=True)
    ]


def words(report: r.Report) -> list[list[dict[str, Any]]]:
    """The transcript of each film: segments of words with the times they begin."""
    return [
        [
            {
                "start": s.start,
                "end": s.end,
                "words": [{"t": w.text, "s": w.start, "p": w.probability} for w in s.words],
            }
            for s in transcript.segments
        ]
        for transcript in (report.transcript, *report.added_transcripts)
    ]


def key_of(now: Applied, row: r.Finding) -> str:
    """A name for the row that stays when others are added, moved or taken away."""
    target = now.targets[row.id].model_dump_json(exclude={"gone"})
    return hashlib.sha256(target.encode()).hexdigest()[:16]


def _line(row: r.Finding, now: Applied, names: Names, *, placed: bool) -> dict[str, Any]:
    what = sentence(f"{names.part(row.part, row.side)}: {names.defect(row.defect)}")
    fields = row.model_dump(
        include={
            "id", "source", "part", "side", "defect", "severity", "tentative", "quote", "start", "end", "extent",
            "review", "heard_as", "still", "other_stills",
        }
    )  # fmt: skip
    needs = row.review is not None or (not placed and row.settled is None)
    return fields | {
        "key": key_of(now, row),
        "name": what,
        "how_bad": row.how_bad,
        "open": needs,
        "settled": _settled(row.settled, names, row) if row.settled else None,
        "offers": [],
    }


def _settled(settled: r.Settled, names: Names, row: r.Finding) -> str:
    how = {
        "confirmed": "Confirmed", "changed": "Changed", "added": "Added by hand", "placed": "Given its part",
        "split": "Split from another line", "joined": "Joined with another line", "dismissed": "Set aside",
    }[settled.how]  # fmt: skip
    said = f"{how} by {settled.who}"
    was = settled.was
    if "part" in was or "side" in was:
        part, side = was.get("part", row.part), was.get("side", row.side)
        said += f"; read as {names.part(str(part) if part else None, str(side) if side else None).lower()}"
    if "defect" in was:
        said += f"; read as {names.defect(str(was['defect'])).lower()}"
    if "severity" in was:
        said += f"; read as {was['severity']}"
    return said + "."


def _offers(row: r.Finding, report: r.Report, names: Names) -> dict[str, Any]:
    """Parts that were named near the line, nearest first."""
    near: dict[tuple[str, str | None], float] = {}
    for check in report.checklist:
        for said in check.evidence:
            away = max(said.start - row.end, row.start - said.end, 0.0)
            if said.source == row.source and away <= WITHIN:
                place = check.part, check.side
                near[place] = min(near.get(place, away), away)
    best = sorted(near, key=lambda place: near[place])[:AT_MOST]
    return {"offers": [{"part": p, "side": s, "name": sentence(names.part(p, s))} for p, s in best]}


def _aside(row: r.Dismissed, names: Names, takings: dict[int, Entry]) -> dict[str, Any]:
    entry = None
    for taking in takings.values():
        before = taking.before["second"] if taking.action == "join" else taking.before
        if (before["quote"], before["start"], before["defect"]) == (row.quote, row.start, row.defect):
            entry = taking.id
    return {
        "name": sentence(f"{names.part(row.part, row.side)}: {names.defect(row.defect)}"),
        "quote": row.quote, "start": row.start, "end": row.end, "source": row.source, "reason": row.reason,
        "who": row.settled.who if row.settled else "", "entry": entry,
    }  # fmt: skip


def _question(row: r.Question) -> dict[str, Any]:
    """What films do not agree on, as a line that a person looks at."""
    key = key_of_question(row)
    return {
        "key": f"question/{key}", "question": key, "name": sentence(row.about), "review": row.text, "state": "asked",
        "said": [{"quote": e.quote, "start": e.start, "source": e.source} for e in row.evidence],
        "open": row.settled is None,
    }  # fmt: skip


def _check(row: r.ChecklistRow, names: Names) -> dict[str, Any]:
    return {
        "key": f"{row.part}/{row.side or ''}",
        "part": row.part, "side": row.side, "name": sentence(names.part(row.part, row.side)),
        "group": names.group(row.group), "state": row.state, "review": row.review, "not_fitted": row.not_fitted,
        "said": [{"quote": e.quote, "start": e.start, "source": e.source} for e in row.evidence[:3]],
        "open": row.review is not None,
    }  # fmt: skip
