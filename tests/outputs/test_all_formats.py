"""Every output at once: times against the record, hostile words, the same bytes each time."""

import csv
import io
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

from page_sample import Seen
from pypdf import PdfReader

from walkround.outputs.advert import advert
from walkround.outputs.captions import cues_of
from walkround.outputs.description import chapter_list, joined_chapters, marks_list
from walkround.outputs.ffmetadata import ffmetadata, read_ffmetadata
from walkround.outputs.films import films_of, one_line
from walkround.outputs.material import Material
from walkround.outputs.printing import print_html, write_pdf
from walkround.outputs.sharing import shared_page, single_file
from walkround.outputs.tables import findings_csv
from walkround.outputs.timedtext import chapter_cues, read_subrip, read_webvtt, subrip, webvtt
from walkround.report.record import Chapter, Report, Spoken
from walkround.report.titles import retitle
from walkround.timecode import clock, parse_clock

ROOT = Path(__file__).resolve().parents[2]
_CLOCK = re.compile(r"(?<![\d:])(?:\d+:)?\d{1,2}:\d{2}(?![\d:])")


def spoken(report: Report) -> Iterator[Spoken]:
    """Every row of the record that has words and a time."""
    yield from (*report.findings, *report.unplaced, *report.measurements, *report.promises, *report.guesses)
    yield from (*report.included, *report.excluded, *report.repaired, *report.withdrawn)
    for check in report.checklist:
        yield from check.evidence


def known(report: Report) -> set[float]:
    """Every time of the record."""
    times = {0.0, report.media.duration or 0.0, *(c.start for c in report.chapters)}
    times |= {time for row in spoken(report) for time in (row.start, row.end)}
    times |= {row.taken_back_at for row in report.withdrawn}
    times |= {fact.start for fact in report.bike.values() if fact.start is not None}
    for segment in report.transcript.segments:
        times |= {segment.start, segment.end, *(t for word in segment.words for t in (word.start, word.end))}
    return times


def texts(report: Report, folder: Path) -> dict[str, str]:
    """Every output of the record as text."""
    (film,) = films_of(report)
    entries = [(e.start, e.title) for e in joined_chapters(report, film)]
    return {
        "chapters.txt": chapter_list(report, film),
        "marks.txt": marks_list(report, film),
        "chapters.vtt": webvtt(chapter_cues(film, entries)),
        "chapters.ffmetadata": ffmetadata(film, entries),
        "captions.vtt": webvtt(cues_of(report, film)),
        "captions.srt": subrip(cues_of(report, film)),
        "findings.csv": findings_csv(report),
        "advert.txt": advert(report),
        "page.html": shared_page(report, "walk.mp4", None),
        "online.html": shared_page(report, None, "https://host.example/watch?v=a"),
        "single.html": single_file(Material(report, folder, ()), "walk.mp4", None),
        "print.html": print_html(report, folder, "a4", None, "https://films.example/walk.mp4"),
    }


def test_every_time_in_every_output_is_one_of_the_record(demo: Report, tmp_path: Path) -> None:
    times = known(demo)
    whole = {int(time) for time in times}
    made = texts(demo, tmp_path)
    seen = dict.fromkeys(made, 0)

    def exact(name: str, value: float) -> None:
        seen[name] += 1
        assert any(abs(value - time) < 0.0011 for time in times), (name, value)

    def rounded_down(name: str, text: str) -> None:
        seen[name] += 1
        assert parse_clock(text) in whole, (name, text)

    rows = {row.quote: {clock(r.start) for r in spoken(demo) if r.quote == row.quote} for row in spoken(demo)}
    for name in ("chapters.txt", "marks.txt", "advert.txt"):
        for line in made[name].splitlines():
            for text in _CLOCK.findall(line):
                rounded_down(name, text)
            quote = re.search(r"“(.*)”", line)
            if quote:
                assert set(_CLOCK.findall(line.replace(quote[0], ""))) <= rows[quote[1]], line
    for cue in read_webvtt(made["chapters.vtt"]):
        exact("chapters.vtt", cue.start)
        exact("chapters.vtt", cue.end)
    for start, end, _ in read_ffmetadata(made["chapters.ffmetadata"]):
        exact("chapters.ffmetadata", start / 1000)
        exact("chapters.ffmetadata", end / 1000)
    for name, read in (("captions.vtt", read_webvtt), ("captions.srt", read_subrip)):
        for cue in read(made[name]):
            exact(name, cue.start)  # an end may linger to be read; test_captions holds it to its limits
    for row in csv.DictReader(io.StringIO(made["findings.csv"], newline="")):
        finding = next(f for f in (*demo.findings, *demo.unplaced) if f.id == row["id"])
        assert (float(row["start"]), float(row["end"]), row["time"]) == (
            finding.start, finding.end, clock(finding.start),
        )  # fmt: skip
        seen["findings.csv"] += 1
    for name in ("page.html", "single.html"):
        for link in Seen(made[name]).all("a", class_="jump"):
            exact(name, float(link["data-start"] or "nan"))
            exact(name, float((link["href"] or "").partition("#t=")[2]))
    for link in Seen(made["online.html"]).all("a", class_="jump"):
        seen["online.html"] += 1
        assert int((link["href"] or "").partition("&t=")[2]) in whole
    for link in Seen(made["print.html"]).all("a"):
        exact("print.html", float((link["href"] or "").partition("#t=")[2]))
    assert all(count > 5 for count in seen.values()), seen
    for page in PdfReader(io.BytesIO(write_pdf(made["print.html"]))).pages:
        for text in re.findall(r"At\s+((?:\d+:)?\d+:\d{2})\s+in the film", page.extract_text()):
            assert parse_clock(text) in whole


def test_hostile_words_come_through_every_format_as_text(hostile: Report, tmp_path: Path) -> None:
    other = hostile.model_copy(deep=True)
    bad = "<b>--> & \"'\u05e0\u05d6\u05e7 🏍️ =;#\\"
    other.names.places = dict.fromkeys(other.names.places, bad)
    other.chapters = [Chapter(start=s, title="Old", group="left-side") for s in (0.0, 26.0, 62.0)]
    retitle(other)
    titles = [chapter.title for chapter in other.chapters]
    assert all(title.startswith(bad) for title in titles)
    (film,) = films_of(other)
    made = texts(other, tmp_path)
    said = " ".join(one_line(w.text) for s in other.transcript.segments for w in s.words)
    assert "<script>alert(1)</script>" in said
    assert " ".join(c.text for c in read_webvtt(made["captions.vtt"])) == said
    assert " ".join(c.text for c in read_subrip(made["captions.srt"])) == said.replace("-->", "→")
    assert [c.text for c in read_webvtt(made["chapters.vtt"])] == titles
    assert [t for _, _, t in read_ffmetadata(made["chapters.ffmetadata"])] == titles
    assert [line.partition(" ")[2] for line in made["chapters.txt"].splitlines()] == titles
    quotes = [one_line(row.quote) for row in (*other.findings, *other.unplaced)]
    assert sum("<script>" in quote for quote in quotes) >= 2
    for quote in quotes:
        assert f"“{quote}”" in made["marks.txt"]
        assert f"“{quote}”" in made["advert.txt"]
    for name in ("page.html", "online.html", "single.html", "print.html"):
        page = Seen(made[name])
        shown = " ".join(page.text.split())
        for quote in quotes:
            assert quote in shown, (name, quote)
        assert made[name].count("<script") == (0 if name == "print.html" else 1)
        assert "<b>there" not in made[name]
    assert "{{ 7*7 }}" in made["page.html"]
    assert film.end == 90.0


def test_the_same_record_gives_the_same_bytes(demo: Report, tmp_path: Path) -> None:
    """In another process with another hash seed, time zone and locale; no clock is in any file."""
    (tmp_path / "report.json").write_text(demo.to_json(), encoding="utf-8")
    code = (
        "import sys, hashlib, json; sys.path[:0] = sys.argv[2:]\n"
        "from pathlib import Path\n"
        "from test_all_formats import texts\n"
        "from walkround.report.record import read_report\n"
        "made = texts(read_report(Path(sys.argv[1]) / 'report.json'), Path(sys.argv[1]))\n"
        "print(json.dumps({n: hashlib.sha256(t.encode()).hexdigest() for n, t in made.items()}))\n"
    )
    folders = [str(ROOT / "tests" / name) for name in ("outputs", "report")]
    here = json.dumps({n: sha256(t.encode()).hexdigest() for n, t in texts(demo, tmp_path).items()}) + "\n"
    there = [
        subprocess.run(
            [sys.executable, "-c", code, str(tmp_path), *folders], capture_output=True, check=True, cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": "4711", "TZ": "Asia/Tokyo", "LC_ALL": "C"},
        ).stdout.decode()
    ]  # fmt: skip
    assert there == [here]
