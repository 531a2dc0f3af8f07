"""The report on paper: a tagged PDF with page numbers, made by WeasyPrint from the record and its pictures."""

import io
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from walkround.errors import InputError, WalkroundError
from walkround.outputs.description import mark_words
from walkround.outputs.films import bike_title, films_of
from walkround.outputs.links import at_moment
from walkround.outputs.sharing import picture_uri
from walkround.report.record import Finding, Report
from walkround.report.wording import TITLE_FACTS, facts_to_show, listed, number, recorded, sentence, worst_first
from walkround.timecode import clock

#: Paper by name, for the style sheet (ISO 216; ANSI/ASME Y14.1 size A): millimetres.
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
_STATES = {
    "finding": "fault spoken of",
    "clear": "said to be in order",
    "named": "named, nothing said of its condition",
    "not-mentioned": "not mentioned",
}
_SIDES = {"left": "left-hand ", "right": "right-hand "}


def print_html(report: Report, folder: Path, paper: str, url: str | None = None, video_url: str | None = None) -> str:
    """The page that is printed: HTML with its style and its pictures in it, and nothing fetched from anywhere."""
    names = report.names

    def part(name: str | None, side: str | None = None) -> str:
        text = names.part(name) if name else "Part not known"
        text = f"{_SIDES[side]}{text[:1].lower()}{text[1:]}" if side in _SIDES else text
        return sentence(f"{text}, both sides" if side == "both" else text)

    def when(source: int, start: float) -> str:
        return f"{clock(start)} in film {source + 1}" if report.added else clock(start)

    def still(row: Finding) -> str | None:
        return picture_uri(folder, row.still) if row.still else None

    findings = worst_first(report.findings)
    groups: dict[str, list[object]] = {}
    for check in report.checklist:
        groups.setdefault(names.group(check.group), []).append(check)
    touched = dict.fromkeys(row.part for row in report.findings if row.part in names.safety)
    text: str = _template().render(
        report=report, title=bike_title(report), findings=findings,
        unplaced=sorted(report.unplaced, key=lambda row: (row.source, row.start)), groups=groups, part=part, when=when,
        still=still, mark=lambda row: mark_words(report, row, severity=True), films=list(films_of(report)),
        paper=PAPERS[paper], states=_STATES, url=url, qr=qr_code(url) if url else None,
        moment=(lambda start: at_moment(video_url, start)) if video_url else None, facts=_facts(report),
        cautions=listed(names.part(name).lower() for name in touched if name), recorded=recorded, names=names,
    )  # fmt: skip
    return text


def _facts(report: Report) -> list[tuple[str, str, str | None]]:
    """(name, value, quote) of what is known of the bike."""
    made = []
    for key, fact in facts_to_show(report).items():
        if key == "mileage_unit" or (key in TITLE_FACTS and fact.given):
            continue
        value = number(fact.value, grouped=key == "mileage")
        if key == "mileage" and "mileage_unit" in report.bike:
            value += f" {report.bike['mileage_unit'].value}"
        value += f" (needs a person’s look: {fact.review})" if fact.review else ""
        name = "Bike, as said" if key == "name" else sentence(key.replace("_", " "))
        made.append((name, value, fact.quote))
    return made


@cache
def _environment() -> Environment:
    env = Environment(
        loader=PackageLoader("walkround.outputs"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    env.filters |= {"clock": clock, "sentence": sentence, "number": number}
    return env


def _template() -> Any:
    return _environment().get_template("print.html.j2")


def qr_code(url: str) -> str:
    """A QR code of the address as an SVG data URI (ISO/IEC 18004, error correction M). Raises WalkroundError."""
    try:
        import segno
    except ImportError:
        raise _missing("segno is not installed") from None
    try:
        code = segno.make(url, error="m", micro=False)
    except ValueError:
        raise InputError("--url: is too long for a QR code; give a shorter address.") from None
    return str(code.svg_data_uri(scale=4, border=4))


def write_pdf(page: str) -> bytes:
    """The page as a PDF: tagged (PDF/UA-1, ISO 14289-1), its fonts embedded; the same bytes for the same page.

    Raises WalkroundError where WeasyPrint, or the Pango library that it needs, is not on this computer.
    """
    try:
        from weasyprint import HTML
        from weasyprint.urls import URLFetcher
    except ImportError:
        raise _missing("WeasyPrint is not installed") from None
    except OSError:
        raise WalkroundError(
            "The Pango library is not on this computer, so no PDF can be made; install it (on Debian and Ubuntu "
            "'apt install libpango-1.0-0 libpangoft2-1.0-0'), or print report.html from a browser."
        ) from None
    out = io.BytesIO()
    nothing_outside = URLFetcher(allowed_protocols=("data",), fail_on_errors=True)
    HTML(string=page, url_fetcher=nothing_outside).write_pdf(out, pdf_variant="pdf/ua-1", pdf_identifier=b"walkround")
    return out.getvalue()


def _missing(what: str) -> WalkroundError:
    return WalkroundError(f"{what}, so no PDF can be made; run pip install 'walkround[pdf]'.")
