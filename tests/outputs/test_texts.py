"""The table, the advert's text and the list of marks: nothing lost, nothing added."""

import csv
import io
import re

from telling import told

from walkround.narration.reader import Reader
from walkround.outputs.advert import advert
from walkround.outputs.description import FEWEST, chapter_list, joined_chapters, marks_list
from walkround.outputs.films import films_of, one_line
from walkround.outputs.tables import COLUMNS, findings_csv
from walkround.report.record import Chapter, Fact, Report
from walkround.timecode import clock


def table(report: Report) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(findings_csv(report), newline="")))


def test_the_table_has_every_finding(demo: Report) -> None:
    rows = table(demo)
    assert [row["id"] for row in rows] == [
        f.id for f in sorted((*demo.findings, *demo.unplaced), key=lambda f: f.start)
    ]
    for row, finding in zip(rows, sorted((*demo.findings, *demo.unplaced), key=lambda f: f.start), strict=True):
        assert set(row) == set(COLUMNS)
        assert float(row["start"]) == finding.start
        assert row["time"] == clock(finding.start)
        assert row["quote"] == finding.quote
        assert row["severity"] == finding.severity


def test_the_table_is_as_rfc_4180_has_it(hostile: Report) -> None:
    """RFC 4180: CRLF, as many fields in each line, quotes doubled. A cell never begins as a formula."""
    text = findings_csv(hostile)
    assert text.replace("\r\n", "").count("\n") == 0
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert {len(row) for row in rows} == {len(COLUMNS)}
    assert not any(cell.startswith(("=", "+", "-", "@")) for row in rows for cell in row)
    quotes = {row[COLUMNS.index("quote")].removeprefix("'") for row in rows[1:]}
    assert quotes == {one_line(row.quote) for row in (*hostile.findings, *hostile.unplaced)}


def test_the_advert_says_nothing_that_was_not_said(demo: Report) -> None:
    """Every quoted text stands in the transcript; every other line is a heading, a part with its defect, or ours."""
    text = advert(demo)
    said = " ".join(" ".join(word.text for word in s.words) for s in demo.transcript.segments)
    quotes = re.findall(r"“([^”]*)”", text)
    assert len(quotes) > 20
    assert all(quote in said for quote in quotes)
    for word in ("minor", "moderate", "serious", "excellent", "mint"):
        assert word not in text.lower()
    for row in (*demo.findings, *demo.unplaced):
        assert f"“{row.quote}” ({clock(row.start)})" in text
    assert "This is not a roadworthiness inspection" in text


def test_an_advert_without_marks_does_not_say_that_there_are_none(reader: Reader) -> None:
    text = advert(told(reader, [(0.0, 5.0, "The fuel tank is perfect, no marks on it.")]))
    assert "That does not mean there is none." in text
    assert text.startswith("Motorcycle\n")


def test_what_a_person_gave_is_not_said_to_have_been_said(demo: Report) -> None:
    other = demo.model_copy(deep=True)
    other.bike = {"make": Fact(value="Coldbrook", given=True), "mileage": Fact(value=12450, given=True)}
    assert advert(other).startswith("Coldbrook\nMileage: 12,450\n")
    assert "Mileage, as said: 12,450 miles" in advert(demo)


def test_one_line_a_mark(demo: Report) -> None:
    (film,) = films_of(demo)
    lines = marks_list(demo, film).splitlines()
    rows = sorted((*demo.findings, *demo.unplaced), key=lambda f: (f.start, f.id))
    assert len(lines) == len(rows)
    for line, row in zip(lines, rows, strict=True):
        assert line.startswith(f"{clock(row.start)} ")
        assert f"“{row.quote}”" in line
        assert demo.names.defect(row.defect) in line


def test_short_chapters_are_joined_and_their_faults_kept(demo: Report) -> None:
    """A record whose chapters somebody changed: joined by the rules, and no time is moved."""
    other = demo.model_copy(deep=True)
    fault = other.findings[0]
    other.chapters = [
        Chapter(start=3.0, title="Start", group="front"),
        Chapter(start=fault.start - 15, title="One", group="front"),
        Chapter(start=fault.start - 1, title="Clean sounding", group="front"),
        Chapter(start=60.0, title="Two", group="rear"),
        Chapter(start=100.0, title="Three", group="rear"),
        Chapter(start=155.0, title="Too near the end", group="running"),
    ]
    (film,) = films_of(other)
    entries = joined_chapters(other, film)
    starts = {0.0, *(c.start for c in other.chapters)}
    assert {e.start for e in entries} <= starts
    assert [e.start for e in entries] == sorted({e.start for e in entries})
    inside = next(e for e in reversed(entries) if e.start <= fault.start)
    assert other.names.defect(fault.defect) in inside.title or "mark" in inside.title
    assert chapter_list(other, film).count("\n") == len(entries) >= FEWEST


def test_a_film_too_short_has_no_list(reader: Reader) -> None:
    report = told(reader, [(0.0, 4.0, "The left mirror has a scratch."), (4.0, 8.0, "The seat is torn.")], duration=9.0)
    (film,) = films_of(report)
    assert chapter_list(report, film) == ""
    assert [c.start for c in report.chapters] == [0.0]
    assert ":" in report.chapters[0].title


def test_each_film_has_its_own_lists(reader: Reader) -> None:
    one = [(0.0, 5.0, "The left mirror has a scratch.")]
    two = [(2.0, 6.0, "The chain is rusty."), (7.0, 9.0, "The rear tyre is worn.")]
    report = told(reader, one, two, duration=60.0)
    first, second = films_of(report)
    assert (first.suffix, second.suffix) == ("", "-2")
    assert {c.source for c in report.chapters} == {0, 1}
    assert [c.start for c in report.chapters] == [0.0, 0.0]
    assert len(marks_list(report, first).splitlines()) == 1
    assert [line[:4] for line in marks_list(report, second).splitlines()] == ["0:02", "0:07"]
    assert "(film 2, 0:02)" in advert(report)
    assert {row["film"] for row in table(report)} == {"walk-1.mp4", "walk-2.mp4"}


def test_one_line_is_one_line() -> None:
    assert one_line("a\n b\u2028c\x00\x1b[31m\td") == "a b c [31m d"
    assert one_line("👩‍🔧 \u05e0\u05d6\u05e7") == "👩‍🔧 \u05e0\u05d6\u05e7"
