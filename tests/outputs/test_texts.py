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
from walkround.report.record import Chapter, Dismissed, Fact, Report, Settled, Withdrawn
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
        assert row["severity"] == (finding.how_bad or "")


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


NONE = "No mark or fault was found"


def test_an_advert_says_that_there_is_none_only_where_nothing_was_spoken_of(reader: Reader) -> None:
    mended = told(reader, [(0.0, 5.0, "The left mirror had a scratch, but that's been sorted now.")])
    assert [row.part for row in mended.repaired] == ["mirror"]
    text = advert(mended)
    assert "Said to have been put right:\n- Left-hand mirror: scratch: “The left mirror had" in text
    loose = told(reader, [(0.0, 5.0, "There's a bit of a scratch just there.")])
    assert loose.unplaced
    other = advert(loose)
    assert "Spoken of as a fault, the part not certain:\n- A part not named: scratch (to be checked): “" in other
    taken = told(reader, [(0.0, 5.0, "The left mirror is perfect.")])
    back = Withdrawn(
        quote="a dent in the tank", start=1.0, end=2.0, part="fuel-tank", defect="dent",
        taken_back_by="no, a reflection", taken_back_at=3.0,
    )  # fmt: skip
    third = advert(taken.model_copy(update={"withdrawn": [back]}))
    assert "“a dent in the tank” (0:01), taken back with “no, a reflection” (0:03)" in third
    gone = Dismissed.model_validate({**loose.unplaced[0].model_dump(), "reason": "it was a glove"})
    fourth = advert(loose.model_copy(update={"unplaced": [], "dismissed": [gone]}))
    assert "set aside by a person" in fourth
    assert all(NONE not in one for one in (text, other, third, fourth))
    assert NONE in advert(taken)


def test_words_of_a_person_are_not_quoted_as_the_narrators(demo: Report) -> None:
    by_hand = demo.findings[0].model_copy(
        update={"quote": "the horn is cracked", "settled": Settled(how="added", who="A. Tester", at="2026-05-14")}
    )
    other = demo.model_copy(update={"findings": [by_hand, *demo.findings[1:]]})
    (film,) = films_of(other)
    for text in (advert(other), marks_list(other, film)):
        assert "the horn is cracked (added by A. Tester, not the narrator’s words)" in text
        assert "“the horn is cracked”" not in text


def test_what_needs_a_person_says_so(demo: Report) -> None:
    asked = demo.findings[0].model_copy(update={"review": "the recogniser was unsure", "quote": "a line of its own"})
    other = demo.model_copy(update={"findings": [asked, *demo.findings[1:]]})
    (film,) = films_of(other)
    for text in (advert(other), marks_list(other, film)):
        (line,) = [line for line in text.splitlines() if "“a line of its own”" in line]
        assert "to be checked)" in line


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
