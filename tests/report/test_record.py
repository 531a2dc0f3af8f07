"""The record, its JSON Schema in the package, and a record made from a real narration against it."""

import json
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import ValidationError

from walkround.narration.lexicon import load_lexicon
from walkround.pipeline import Job, make_report
from walkround.report.record import SCHEMA_VERSION, Measurement, Report, json_schema, read_report

ROOT = Path(__file__).resolve().parents[2]
SCHEMA = ROOT / "walkround" / "report" / "report.schema.json"
Change = Callable[[dict[str, Any]], object]


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The record of the demo's script, and of rows that it has none of."""
    folder = tmp_path_factory.mktemp("record")
    sentences = json.loads((ROOT / "demo_media" / "sentences.json").read_text(encoding="utf-8"))["sentences"]
    segments = [{key: s[key] for key in ("start", "end", "text")} for s in sentences]
    end = segments[-1]["end"]
    segments.append({"start": end, "end": end + 3, "text": "Oh, and there's a bit of a scratch on that as well."})
    (folder / "words.json").write_text(json.dumps({"segments": segments}), encoding="utf-8")
    return make_report(Job(None, folder / "out", folder / "words.json")).record_path


@pytest.fixture
def record(path: Path) -> dict[str, Any]:
    made: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return made


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def test_the_schema_in_the_package_is_that_of_the_code() -> None:
    made = json.dumps(json_schema(), ensure_ascii=False, indent=1) + "\n"
    assert SCHEMA.read_text(encoding="utf-8") == made, (
        "write json_schema() of walkround/report/record.py to report.schema.json again (indent=1), and raise "
        "SCHEMA_VERSION if old records no longer fit"
    )


def test_a_real_record_fits_the_schema(record: dict[str, Any], validator: Draft202012Validator) -> None:
    assert list(validator.iter_errors(record)) == []
    assert record["schema_version"] == SCHEMA_VERSION
    for table in ("findings", "checklist", "measurements", "promises", "guesses", "included", "excluded"):
        assert record[table], f"nothing in {table}, so its rows were not checked"
    assert record["repaired"]
    assert record["chapters"]
    assert record["bike"]


def finding(record: dict[str, Any]) -> dict[str, Any]:
    first: dict[str, Any] = record["findings"][0]
    return first


@pytest.mark.parametrize(
    "change",
    [
        lambda r: r.update(grade="none of ours"),
        lambda r: r.pop("transcript"),
        lambda r: r.pop("media"),
        lambda r: finding(r).pop("quote"),
        lambda r: finding(r).pop("start"),
        lambda r: finding(r).pop("part"),
        lambda r: finding(r).update(start=-1),
        lambda r: finding(r).update(start="0:22"),
        lambda r: finding(r).update(side="nearside"),
        lambda r: finding(r).update(severity="awful"),
        lambda r: finding(r).update(confidence=1.5),
        lambda r: finding(r).update(colour="none of ours"),
        lambda r: r["checklist"][0].update(state="good"),
        lambda r: r["checklist"][0].pop("group"),
        lambda r: r["transcript"].update(timing="wished"),
        lambda r: r["measurements"][0].pop("value"),
    ],
)
def test_a_record_with_a_fault_fits_neither_schema_nor_model(
    record: dict[str, Any], validator: Draft202012Validator, tmp_path: Path, change: Change
) -> None:
    change(record)
    assert list(validator.iter_errors(record))
    (tmp_path / "report.json").write_text(json.dumps(record), encoding="utf-8")
    with pytest.raises(ValidationError):
        read_report(tmp_path / "report.json")


def test_reading_and_writing_give_the_same_bytes(path: Path) -> None:
    assert read_report(path).to_json() == path.read_text(encoding="utf-8")


def test_the_text_of_a_record_is_strict_json(path: Path) -> None:
    """RFC 8259 has no NaN and no Infinity, and a name stands once in an object."""

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        assert len({key for key, _ in pairs}) == len(pairs)
        return dict(pairs)

    def never(text: str) -> None:
        raise AssertionError(text)

    data = path.read_bytes()
    assert json.loads(data.decode("utf-8"), parse_constant=never, object_pairs_hook=once)
    assert data.endswith(b"}\n")


def test_every_row_is_something_that_was_said_at_its_time(path: Path) -> None:
    """The words of each quote stand in the transcript within the times of the row; the times of a measurement
    are those of the number in its quote."""
    report = read_report(path)
    words = [word for segment in report.transcript.segments for word in segment.words]
    rows = [
        *report.findings, *report.unplaced, *report.measurements, *report.promises, *report.guesses,
        *report.included, *report.excluded, *report.repaired, *report.withdrawn,
        *(e for row in report.checklist for e in row.evidence),
    ]  # fmt: skip
    assert len(rows) > 60
    for row in rows:
        assert row.start < row.end
        heard = " ".join(w.text for w in words if w.end > row.start - 0.01 and w.start < row.end + 0.01)
        assert row.quote in heard or (isinstance(row, Measurement) and heard in row.quote), row


def test_findings_are_in_order_with_ids_of_their_own(path: Path) -> None:
    report = read_report(path)
    ids = [row.id for row in (*report.findings, *report.unplaced)]
    assert len(set(ids)) == len(ids)
    for rows in (report.findings, report.unplaced):
        assert [row.start for row in rows] == sorted(row.start for row in rows)


def test_ids_are_those_of_the_lexicon_and_every_part_has_its_row(path: Path) -> None:
    report, lexicon = read_report(path), load_lexicon()
    assert {row.part for row in report.checklist} == set(lexicon.parts)
    assert {row.defect for row in report.findings} <= set(lexicon.defects)
    assert {row.part for row in report.findings} <= set(lexicon.parts)
    assert all(row.group == lexicon.parts[row.part].group for row in report.checklist)
    assert all(lexicon.parts[row.part].sided for row in report.checklist if row.side)


def test_a_finding_is_a_finding_in_the_checklist(path: Path) -> None:
    report = read_report(path)
    marked = {row.part for row in report.checklist if row.state == "finding"}
    assert marked == {row.part for row in report.findings}


def test_chapters_begin_at_nought_and_last_long_enough_for_a_video_host(path: Path) -> None:
    """First at 0:00, at least three, each 10 s or more: what video hosts ask of chapters (from memory)."""
    starts = [chapter.start for chapter in read_report(path).chapters]
    assert starts[0] == 0
    assert len(starts) >= 3
    assert all(b - a >= 10 for a, b in pairwise(starts))


def test_an_empty_record_has_every_table(validator: Draft202012Validator) -> None:
    empty = Report.model_validate(
        {
            "tool": {"version": "0", "lexicon_sha256": "0" * 64},
            "media": {},
            "transcript": {"source": "none", "language": "en", "timing": "given", "segments": []},
        }
    )
    data = json.loads(empty.to_json())
    assert list(validator.iter_errors(data)) == []
    assert {"findings", "unplaced", "checklist", "warnings", "bike"} <= data.keys()
