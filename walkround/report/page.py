"""The report page: one HTML text made from the record alone.

The same record gives the same bytes. Nothing is read from a clock or the network, and nothing is written.
Everything that was spoken, every file name and every name from the lexicon goes through Jinja's escaping;
links to the video and the pictures are percent-encoded segment by segment (RFC 3986).
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from walkround.report.diagram import diagram
from walkround.report.record import Fact, Finding, Media, Report
from walkround.report.rendering import asset, environment
from walkround.report.timeline import timelines
from walkround.report.wording import (
    SIDES,
    TITLE_FACTS,
    Names,
    facts_to_show,
    number,
    path_href,
    plain_id,
    seconds,
    sentence,
    title_of,
    worst_first,
)

_FACT_NAMES: Final = {
    "plate_age": "Plate age", "mileage": "Mileage", "year": "Year", "vin": "Frame number (VIN)",
    "owners": "Owners, as said", "test_expiry": "Test certificate runs to", "test_months": "Test certificate, months",
    "country": "Country whose limits apply, as given", "name": "Bike, as said",
}  # fmt: skip
#: What was said of the tyres, shown with their measurements and not at the head of the page.
_TYRE_FACTS: Final = {
    "front_tyre_make": "Front tyre, make and model", "rear_tyre_make": "Rear tyre, make and model",
    "tyre_pair": "Front and rear",
}  # fmt: skip


@dataclass(frozen=True)
class Line:
    """A finding as the page shows it.

    ``key`` is its id on the page; ``anchor`` the id that a link with ``#t=...`` leads to, set on the first
    line of each moment only; ``rank`` its place in the list, from 1.
    """

    row: Finding
    key: str
    anchor: str | None
    rank: int


def _lines(report: Report) -> tuple[list[Line], list[Line]]:
    """Findings with the most serious first (then as filmed), and unplaced rows as filmed."""
    findings = worst_first(report.findings)
    unplaced = sorted(report.unplaced, key=lambda f: f.start)
    anchored: set[str] = set()
    lines: list[list[Line]] = []
    for kind, rows in (("finding", findings), ("unplaced", unplaced)):
        shown = []
        for rank, row in enumerate(rows, start=1):
            anchor = (f"film={row.source + 1}&" if row.source else "") + f"t={seconds(row.start)}"
            shown.append(Line(row, f"{kind}-{rank}", None if anchor in anchored else anchor, rank))
            anchored.add(anchor)
        lines.append(shown)
    return lines[0], lines[1]


def _cautions(parts: Iterable[tuple[str | None, str | None]], safety: Collection[str], names: Names) -> list[str]:
    """Those of the (part, side) on which a rider's safety hangs, in plain words, each once."""
    sides: dict[str, set[str | None]] = {}
    for part, side in parts:
        if part in safety:
            sides.setdefault(part or "", set()).add(side if side != "both" else None)
    said = []
    for part, known in sides.items():
        one = next(iter(known))
        said.append(f"{SIDES[one]} {names.part(part).lower()}" if one and len(known) == 1 else names.part(part))
    return [sentence(name) for name in said]


def _facts(bike: Mapping[str, Fact]) -> list[tuple[str, str, Fact]]:
    """(name, value, fact) for the head of the page: the three that matter first, unit beside mileage."""
    order = [k for k in ("year", "plate_age", "mileage") if k in bike]
    order += [
        k for k in bike if k not in order and k not in _TYRE_FACTS and k.removesuffix("_unit") not in {*bike} - {k}
    ]
    # What a person entered and the title already says is not said twice.
    order = [k for k in order if not (k in TITLE_FACTS and bike[k].given)]
    shown = []
    for key in order:
        fact = bike[key]
        grouped = f"{key}_unit" in bike or key == "mileage"
        value = ("about " if fact.approximate else "") + number(fact.value, grouped=grouped)
        value += f" to {number(fact.upper, grouped=grouped)}" if fact.upper is not None else ""
        if f"{key}_unit" in bike:
            value += f" {bike[f'{key}_unit'].value}"
        shown.append((_FACT_NAMES.get(key) or sentence(plain_id(key)), value, fact))
    return shown


def _frame(media: Media) -> tuple[int, int] | None:
    """Width and height in pixels as the film is shown: a quarter turn swaps those of the stored picture."""
    if not media.width or not media.height:
        return None
    turned = (media.rotation or 0) % 180 == 90
    return (media.height, media.width) if turned else (media.width, media.height)


def render_page(
    report: Report,
    *,
    part_names: Mapping[str, str],
    group_names: Mapping[str, str],
    defect_names: Mapping[str, str],
    safety_parts: Collection[str],
    video_href: str | None,
    online: str | None = None,
    online_plays: bool = False,
    moment_url: Callable[[str, float], str] | None = None,
    added_hrefs: Sequence[str | None] = (),
    terms: Sequence[tuple[str, str]] = (),
    places: Mapping[str, Any] | None = None,
) -> str:
    """The report as one HTML page, with its style and script inside it.

    ``video_href`` is the path from the page to the video, not yet percent-encoded; None means that there is
    no video to play and the page says so. ``added_hrefs`` are those of the further films. ``safety_parts`` are the
    ids of parts on which a rider's safety hangs:
    the page cautions where a fault of one was spoken of, or nothing was said of one. The three name tables map
    ids of the lexicon to plain words; an id without a name is shown as its own words. ``online`` is the address of
    the uploaded film, already checked, where there is no film beside the page, and ``online_plays`` says that
    it is the film itself, which the page then plays; ``moment_url`` gives the address of a moment of it. ``terms``
    are the terms of the glossary with a plain sentence each; ``places`` says where parts are on the drawing
    (lexicon/places.toml).
    """
    names = Names(part_names, group_names, defect_names)
    known = facts_to_show(report)
    findings, unplaced = _lines(report)
    hrefs = [path_href(href) if href is not None else None for href in (video_href, *added_hrefs)]
    hrefs += [None] * (1 + len(report.added) - len(hrefs))
    if online_plays:
        hrefs[0] = online
    style, style_source = asset("styles.css.j2")
    script, script_source = asset("script.js.j2")
    groups: dict[str, list[object]] = {}
    for check in report.checklist:
        groups.setdefault(check.group, []).append(check)
    worst = findings[0].row.severity if findings else "minor"
    # Faults said to have been put right, and those taken back, count: work on a brake wants a look too.
    touched: list[tuple[str | None, str | None]] = [(finding.part, finding.side) for finding in report.findings]
    touched += [(row.part, row.side) for row in report.repaired]
    touched += [(row.part, row.side) for row in report.withdrawn]
    touched += [(check.part, check.side) for check in report.checklist if check.state == "finding"]
    unmentioned = [check for check in report.checklist if check.state == "not-mentioned" and not check.not_fitted]
    return (
        environment()
        .get_template("report.html.j2")
        .render(
            report=report,
            names=names,
            title=title_of(report),
            facts=_facts(known),
            tyres=[(name, known[key]) for key, name in _TYRE_FACTS.items() if key in known],
            findings=findings,
            unplaced=unplaced,
            part_choices=sorted(
                {(line.row.part, names.part(line.row.part)) for line in findings if line.row.part},
                key=lambda choice: (choice[1].casefold(), choice[0]),
            ),
            worst=[line for line in findings if line.row.severity == worst] if worst != "minor" else [],
            needing=sum(line.row.review is not None for line in findings)
            + sum(line.row.review is not None or line.row.settled is None for line in unplaced),
            checks_needing=sum(check.review is not None for check in report.checklist),
            unmentioned=unmentioned,
            cautions=_cautions(touched, safety_parts, names),
            silent_cautions=_cautions(((check.part, check.side) for check in unmentioned), safety_parts, names),
            groups=groups,
            video=next((href for href in hrefs if href is not None), None),
            playing=next((n for n, href in enumerate(hrefs) if href is not None), 0),
            videos=hrefs,
            online=online,
            moment_url=moment_url,
            frames=[_frame(media) for media in (report.media, *report.added)],
            terms=terms,
            at_limit=[row for row in report.measurements if row.severity == "serious"],
            with_stills=any(line.row.still for line in [*findings, *unplaced]),
            timelines=timelines(report, findings),
            diagram=diagram(findings, places or {}),
            style=style,
            script=script,
            style_source=style_source,
            script_source=script_source,
        )
    )
