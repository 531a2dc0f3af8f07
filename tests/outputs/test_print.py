"""The PDF, opened with a PDF library: its text, its paper, its fonts, its tags, its pictures."""

import base64
import io
import re
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
import zxingcpp
from drawn_stills import with_stills
from pypdf import PdfReader
from weasyprint.urls import FatalURLFetchingError

from walkround.errors import InputError, WalkroundError
from walkround.outputs.description import mark_words
from walkround.outputs.printing import PAPERS, print_html, qr_code, write_pdf
from walkround.report.record import Correction, Dismissed, Question, Report, Settled, Signed, Withdrawn
from walkround.timecode import clock

URL = "https://pebblegate.example/bikes/bramble-700"


@pytest.fixture(scope="module")
def printed(demo: Report, tmp_path_factory: pytest.TempPathFactory) -> tuple[Report, bytes]:
    folder = tmp_path_factory.mktemp("print")
    report = with_stills(demo, folder)
    return report, write_pdf(print_html(report, folder, "a4", URL, "https://films.example/walk.mp4"))


def words(text: str) -> str:
    """Text without spaces and soft line ends: a PDF breaks lines where it likes."""
    return re.sub(r"\s+", "", text)


def all_text(data: bytes) -> str:
    return words("".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages))


def test_every_finding_is_in_it_with_its_quote_and_time(printed: tuple[Report, bytes]) -> None:
    report, data = printed
    text = all_text(data)
    for row in (*report.findings, *report.unplaced):
        assert words(mark_words(report, row, severity=True)) in text
        assert words(row.quote) in text
        assert words(f"At {clock(row.start)} in the film") in text
    for rows in (report.promises, report.included, report.excluded, report.repaired):
        assert all(words(row.quote) in text for row in rows)
    assert words("It is not a roadworthiness inspection.") in text
    assert words(URL) in text


def test_what_a_person_did_and_what_is_asked_is_on_paper_too(demo: Report, tmp_path: Path) -> None:
    """Everything that the page tells of these: a reader of the paper knows no less."""
    by = {"who": "A. <b>Tester", "at": "2026-05-14T09:12:00+00:00"}
    first, second, third = demo.findings[:3]
    report = demo.model_copy(
        update={
            "findings": [
                first.model_copy(update={"quote": "the horn is cracked", "settled": Settled(how="added", **by)}),
                second.model_copy(update={"settled": Settled(how="changed", was={"severity": "serious"}, **by)}),
            ],
            "dismissed": [
                Dismissed.model_validate(
                    {**third.model_dump(), "reason": "only a shadow", "settled": Settled(how="dismissed", **by)}
                )
            ],
            "corrections": [Correction(start=1.0, heard="grabble", put="grab rail", **by)],
            "questions": [Question(about="fuel tank", text="Which holds?", settled=Settled(how="confirmed", **by))],
            "withdrawn": [
                Withdrawn(quote="a dent", start=1.0, end=2.0, part="fuel-tank", defect="dent",
                          taken_back_by="no, a reflection", taken_back_at=3.0),
            ],
            "signed": Signed(films=[None], record="r" * 64, log="e" * 64, **by),
        }
    )  # fmt: skip
    page = " ".join(print_html(report, tmp_path, "a4").split())
    for told in (
        'the horn is cracked</blockquote> <p class="quiet">Added by <bdi>A. &lt;b&gt;Tester</bdi>',
        "Changed by <bdi>A. &lt;b&gt;Tester</bdi>; read as serious.",
        "Set aside by <bdi>A. &lt;b&gt;Tester</bdi>: <bdi>only a shadow</bdi>",
        "grabble</q> became",
        "Which holds?</bdi> Looked at by <bdi>A. &lt;b&gt;Tester</bdi>.",
        'Taken back with <q dir="auto">no, a reflection</q> <span class="at">0:03</span>',
        "signed off by <strong><bdi>A. &lt;b&gt;Tester</bdi></strong>",
    ):
        assert told in page, told
    assert "“the horn is cracked”" not in page
    assert "Nobody has signed this report off yet" in print_html(demo, tmp_path, "a4")
    signed = Signed(films=[None], record="r" * 64, log="e" * 64, withdrawn="changed after it was signed", **by)
    assert "The signature no longer holds" in print_html(demo.model_copy(update={"signed": signed}), tmp_path, "a4")


def test_each_row_has_its_picture_and_there_is_a_code(printed: tuple[Report, bytes]) -> None:
    report, data = printed
    with pikepdf.open(io.BytesIO(data)) as pdf:
        rows = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
        told = sorted(str(o.Alt) for o in rows)
        pictures = [o for o in pdf.objects if isinstance(o, pikepdf.Stream) and o.get("/Subtype") == "/Image"]
    wanted = [f"Picture from the film: {mark_words(report, row, severity=True)}" for row in report.findings]
    assert told == sorted([*wanted, "QR code of the address of the online copy"])
    assert len(pictures) == len(report.findings)  # the code is drawn, not a picture
    assert words("The online copy") in words(PdfReader(io.BytesIO(data)).pages[0].extract_text())


def test_it_is_tagged_and_has_title_and_language(printed: tuple[Report, bytes]) -> None:
    """PDF/UA-1 (ISO 14289-1): marked, a structure tree, a language, the title shown; each picture has a text."""
    _, data = printed
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert bool(pdf.Root.MarkInfo.Marked)
        assert "/StructTreeRoot" in pdf.Root
        assert str(pdf.Root.Lang) == "en-GB"
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        assert str(pdf.docinfo["/Title"]) == "2018 Coldbrook Bramble 700: condition as spoken"
        with pdf.open_metadata() as meta:
            assert str(meta["pdfuaid:part"]) == "1"
        figures = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
        assert figures
        assert all(str(o.get("/Alt", "")) for o in figures)


def test_every_font_is_embedded(printed: tuple[Report, bytes]) -> None:
    _, data = printed
    with pikepdf.open(io.BytesIO(data)) as pdf:
        found = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/FontDescriptor"]
        assert found
        assert all({"/FontFile", "/FontFile2", "/FontFile3"} & set(o.keys()) for o in found)


@pytest.mark.parametrize(("paper", "points"), [("a4", (595.28, 841.89)), ("letter", (612.0, 792.0))])
def test_paper_and_page_numbers(demo: Report, tmp_path: Path, paper: str, points: tuple[float, float]) -> None:
    """A4 is 210 by 297 mm (ISO 216), Letter 8.5 by 11 inches (ANSI/ASME Y14.1); a point is 1/72 inch."""
    pages = PdfReader(io.BytesIO(write_pdf(print_html(demo, tmp_path, paper)))).pages
    assert len(pages) > 2
    for number, page in enumerate(pages, 1):
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(points, abs=0.1)
        assert words(f"Page {number} of {len(pages)}") in words(page.extract_text())


def test_the_same_record_gives_the_same_bytes(demo: Report, tmp_path: Path) -> None:
    assert write_pdf(print_html(demo, tmp_path, "a4", URL)) == write_pdf(print_html(demo, tmp_path, "a4", URL))


def test_hostile_words_are_text_in_it(hostile: Report, tmp_path: Path) -> None:
    page = print_html(hostile, tmp_path, "a4", 'https://x.example/?a="><script>')
    assert "<script" not in page
    # Read by PDFium: pypdf leaves the high byte of each letter of a font that holds an emoji.
    with pypdfium2.PdfDocument(write_pdf(page)) as document:
        text = words("".join(leaf.get_textpage().get_text_range() for leaf in document))
    for row in hostile.findings:
        plain = words(re.sub(r"[^\x00-\x7f]", "", row.quote))[:40]
        assert plain in text


def test_nothing_outside_is_ever_read(demo: Report, tmp_path: Path) -> None:
    """A record from elsewhere may name any path as a picture."""
    other = demo.model_copy(deep=True)
    for name in ("../../etc/passwd", "/etc/passwd"):
        other.findings[0].still = name
        with pytest.raises(InputError, match="outside the folder"):
            print_html(other, tmp_path, "a4")
    with pytest.raises(FatalURLFetchingError, match="Error fetching"):
        write_pdf('<html lang="en"><title>x</title><img src="file:///etc/passwd" alt="x">')


def test_the_code_on_the_printed_page_leads_to_the_address(printed: tuple[Report, bytes]) -> None:
    """Drawn by PDFium at 150 dots an inch and read by ZXing, a reader that knows nothing of ours."""
    _, data = printed
    page = pypdfium2.PdfDocument(data)[0].render(scale=150 / 72).to_pil()
    assert [code.text for code in zxingcpp.read_barcodes(page)] == [URL]


def test_an_address_too_long_for_a_code_is_told() -> None:
    with pytest.raises(InputError, match="too long"):
        qr_code("https://x.example/" + "a" * 4000)


def test_without_the_library_one_sentence_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(WalkroundError, match=r"pip install 'walkround\[pdf\]'"):
        write_pdf("<html></html>")


def test_pictures_are_inside_the_page(demo: Report, tmp_path: Path) -> None:
    report = with_stills(demo, tmp_path)
    page = print_html(report, tmp_path, "letter")
    found = re.findall(r'src="data:image/jpeg;base64,([^"]+)"', page)
    assert [base64.b64decode(x)[:3] for x in found] == [b"\xff\xd8\xff"] * len(report.findings)
    assert set(PAPERS) == {"a4", "letter"}
