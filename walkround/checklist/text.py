"""The gaps and the film plan as plain text that fits a phone's terminal."""

import shutil
import textwrap
from collections.abc import Iterable
from typing import Any

from walkround.checklist.gaps import MENTION, SIDE, VIEW, WHICH_SIDE
from walkround.checklist.items import VERDICT
from walkround.checklist.plan import Stop
from walkround.errors import shown
from walkround.report.record import Gap, Report
from walkround.timecode import clock

#: Lines are never shorter than this, however narrow the terminal, and not longer than a line can be read.
NARROWEST, WIDEST = 28, 88
FIGURE = "figure"
TITLES = {
    MENTION: "Not spoken of",
    SIDE: "The other side is missing",
    VERDICT: "Named, but not its state",
    FIGURE: "A figure is missing",
    VIEW: "Said, but not clearly shown",
    WHICH_SIDE: "Said without its side",
}
CAUTION = "A list for a film, not a roadworthiness inspection: have tyres, brakes and steering checked by a mechanic."
#: How what is not essential is listed.
SHORT = {MENTION: "not spoken of", SIDE: "other side", VERDICT: "say the state", FIGURE: "figure"}


def gaps_text(report: Report, names: dict[str, str], again: str | None) -> str:
    """What to film again: essentials by what they lack, then the rest in short. ``again`` is what to do with a clip."""
    lines: list[str] = []
    essential = [gap for gap in report.gaps if gap.essential]
    if essential:
        lines += _wrapped(f"{_things(len(essential))} to film again before the bike goes:")
    else:
        lines += _wrapped("Nothing essential is missing.")
    shown_whole = [*essential, *(g for g in report.gaps if not g.essential and section(g) in (VIEW, WHICH_SIDE))]
    for key, title in TITLES.items():
        rows = [gap for gap in shown_whole if section(gap) == key]
        if rows:
            lines += ["", title]
            for gap in rows:
                lines += _wrapped(f"{gap.say.removesuffix('.')}{_when(gap)}.", "- ", "  ")
    rest = [gap for gap in report.gaps if gap not in shown_whole]
    if rest:
        lines += ["", "Also, if there is time"]
        for key, lead in SHORT.items():
            some = [_small(gap.name) for gap in rest if section(gap) == key]
            if some:
                lines += _wrapped(f"{lead}: {'; '.join(some)}.", "- ", "  ")
    lines += _asked(report)
    lines += _fitted(report, names)
    if essential and again:
        lines += ["", *_wrapped(again)]
    lines += ["", *_wrapped(CAUTION)]
    return "\n".join(lines)


def section(gap: Gap) -> str:
    """Under which title a gap stands."""
    first = gap.lacks[0]
    return first if first in TITLES else FIGURE


def gaps_json(report: Report) -> dict[str, Any]:
    """For programs: the gaps, the questions, what is not fitted, and whether something essential is missing."""
    kind = report.bike.get("kind")
    return {
        "essential_missing": sum(gap.essential for gap in report.gaps),
        "kind": kind.value if kind else None,
        "gaps": [gap.model_dump() for gap in report.gaps],
        "questions": [question.model_dump() for question in report.questions],
        "not_fitted": {row.part: row.not_fitted for row in report.checklist if row.not_fitted},
    }


def plan_text(title: str, stops: Iterable[Stop]) -> str:
    """The film plan: where one stands, and what to show and say there. A star marks what is essential."""
    lines = [*_wrapped(title), *_wrapped("* = the film is not complete without it"), *_wrapped(CAUTION)]
    for stop in stops:
        lines += ["", stop.title.upper()]
        for line in stop.lines:
            mark = "*" if line.essential else "-"
            fitted = " (if fitted)" if line.if_fitted else ""
            lines += _wrapped(f"{line.name}{fitted}: {line.say}.", f"{mark} ", "  ")
    return "\n".join(lines)


def _asked(report: Report) -> list[str]:
    lines: list[str] = []
    for question in report.questions:
        lines += _wrapped(f"{question.about}: {question.text}", "- ", "  ")
        for said in question.evidence:
            film = f"film {said.source + 1}, " if said.source else ""
            lines += _wrapped(f"{film}{clock(said.start)} “{shown(said.quote)}”", "    ", "    ")
    return ["", "Said two ways", *lines] if lines else []


def _fitted(report: Report, names: dict[str, str]) -> list[str]:
    reasons: dict[str, list[str]] = {}
    for row in report.checklist:
        if row.not_fitted and names.get(row.part, row.part) not in reasons.get(row.not_fitted, []):
            reasons.setdefault(row.not_fitted, []).append(names.get(row.part, row.part))
    lines: list[str] = []
    for reason, parts in reasons.items():
        lines += _wrapped(f"{', '.join(_small(part) for part in parts)}: {shown(reason)}.", "- ", "  ")
    return ["", "Not asked for, not fitted", *lines] if lines else []


def _when(gap: Gap) -> str:
    if gap.start is None:
        return ""
    film = f"film {gap.source + 1}, " if gap.source else ""
    return f" (named at {film}{clock(gap.start)})"


def _things(number: int) -> str:
    return "1 thing" if number == 1 else f"{number} things"


def _small(name: str) -> str:
    return name[:1].lower() + name[1:]


def _wrapped(text: str, first: str = "", then: str = "") -> list[str]:
    width = min(WIDEST, max(NARROWEST, shutil.get_terminal_size((80, 24)).columns - 1))
    return textwrap.wrap(text, width, initial_indent=first, subsequent_indent=then, break_on_hyphens=False) or [""]
