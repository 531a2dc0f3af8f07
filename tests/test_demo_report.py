"""The main job on the demo film: real recognition, and what comes of it against the key in script.toml.

The times in sentences.json are the speech synthesiser's own; nothing of the recogniser is in them.
"""

import errno
import json
import shutil
import tomllib
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from click.testing import CliRunner

from walkround import demo
from walkround.cli import main
from walkround.errors import OutputError
from walkround.report.record import ChecklistRow, Finding, Report, Spoken, read_report
from walkround.speech.transcribe import SpeechOptions

DEMO = Path(__file__).resolve().parents[1] / "demo_media"
SCRIPT: dict[str, Any] = tomllib.loads((DEMO / "script.toml").read_text(encoding="utf-8"))
KEY: dict[str, Any] = SCRIPT["expected"]
FILM = DEMO / SCRIPT["film"]["file"]
AT: dict[str, dict[str, Any]] = {
    s["id"]: s for s in json.loads((DEMO / "sentences.json").read_text(encoding="utf-8"))["sentences"]
}
TOLERANCE = 1.5  #: seconds between a row's start and that of the sentence it comes from
Row = dict[str, Any]


def named(rows: list[Row]) -> Any:
    """Rows of the key as cases of a test."""
    return pytest.mark.parametrize("key", rows, ids=[f"{r['sentence']}-{r['part'][0]}" for r in rows])


@dataclass(frozen=True)
class Run:
    """A run of the command line over the demo film."""

    out: Path
    printed: str
    report: Report


def run(model: str, out: Path, *arguments: str) -> Run:
    result = CliRunner().invoke(main, [*arguments, "--out", str(out), "--model", model])
    assert result.exit_code == 0, (result.output, result.exception)
    report = read_report(out / "report.json")
    assert report.transcript.source == f"faster-whisper {model}"
    return Run(out, result.stdout, report)


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Run:
    """`walkround demo` with the small model."""
    return run("tiny.en", tmp_path_factory.mktemp("demo") / "a demo", "demo", "--json")


@pytest.fixture(scope="module", params=["tiny.en", "base"])
def heard(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Report:
    """The record of the demo film, once for each model: made by `demo`, and by `report` with the film."""
    if request.param == "tiny.en":
        made: Run = request.getfixturevalue("shown")
    else:
        made = run(request.param, tmp_path_factory.mktemp("report") / "out", "report", str(FILM))
    return made.report


def meets(side: str | None, other: str | None) -> bool:
    """Whether two sides have something in common; no side is any side."""
    return side is None or other is None or "both" in (side, other) or side == other


def is_of(row: Finding, key: Row) -> bool:
    """Whether a finding is the one of a row of the key, wherever in the film it stands."""
    sided = "side" not in key or row.side == key["side"]
    return row.part in key["part"] and row.defect in key["defect"] and sided


def sentence_of(row: Spoken) -> str:
    """The sentence of the script that the row begins in, or nearest to."""
    return min(AT, key=lambda i: max(AT[i]["start"] - row.start, row.start - AT[i]["end"], 0.0))


def rows_of(report: Report, key: Row) -> list[ChecklistRow]:
    return [r for r in report.checklist if r.part in key["part"] and meets(r.side, key.get("side"))]


@named(KEY["finding"])
def test_every_finding_is_there_at_its_time(heard: Report, key: Row) -> None:
    start = AT[key["sentence"]]["start"]
    found = [row for row in heard.findings if is_of(row, key)]
    assert any(abs(row.start - start) <= TOLERANCE for row in found), [r.start - start for r in found]


@named(KEY["finding"])
def test_no_part_with_a_finding_is_clear_on_that_side(heard: Report, key: Row) -> None:
    states = [row.state for row in rows_of(heard, key)]
    assert "clear" not in states
    assert "finding" in states


def test_nothing_is_found_that_was_not_said(heard: Report) -> None:
    assert [row for row in heard.findings if not any(is_of(row, key) for key in KEY["finding"])] == []
    assert heard.unplaced == []
    assert len(heard.findings) == len(KEY["finding"])


@named(KEY["clear"])
def test_what_was_said_to_be_in_order_is_clear(heard: Report, key: Row) -> None:
    states = {r.part: set() for r in rows_of(heard, key)}
    for row in rows_of(heard, key):
        states[row.part].add(row.state)
    assert {"clear"} in states.values()


@named(KEY["measurement"])
def test_every_measurement_is_read(heard: Report, key: Row) -> None:
    found = [
        (row.quantity, row.value, row.unit, sentence_of(row)) for row in heard.measurements if row.part in key["part"]
    ]
    assert found == [(key["quantity"], key["value"], key["unit"], key["sentence"])]


def test_the_facts_of_the_bike(heard: Report) -> None:
    assert {name: heard.bike[name].value for name in KEY["bike"]} == KEY["bike"]
    year = AT["year"]
    for name in KEY["bike"]:
        fact = heard.bike[name]
        assert not fact.given
        assert fact.quote
        assert year["start"] - TOLERANCE <= (fact.start or 0.0) <= year["end"]


def test_what_was_not_mentioned_is_said_to_be_so(heard: Report) -> None:
    states = {part: {r.state for r in heard.checklist if r.part == part} for part in KEY["not_mentioned"]}
    assert states == {part: {"not-mentioned"} for part in KEY["not_mentioned"]}


def test_what_was_named_only_is_neither_clear_nor_a_finding(heard: Report) -> None:
    states = {part: {r.state for r in heard.checklist if r.part == part} for part in KEY["named_only"]}
    assert states == {part: {"named"} for part in KEY["named_only"]}


def test_what_was_put_right_is_told_apart(heard: Report) -> None:
    assert [row.part for row in heard.repaired] == KEY["repaired"]


@pytest.mark.parametrize("table", ["promises", "guesses", "included", "excluded"])
def test_promises_guesses_and_extras_come_from_their_sentences_alone(heard: Report, table: str) -> None:
    assert {sentence_of(row) for row in getattr(heard, table)} == set(KEY[table])


def test_the_rack_is_included_and_the_top_box_is_not(heard: Report) -> None:
    assert "luggage-rack" in [row.part for row in heard.included]
    assert [row.part for row in heard.excluded] == ["top-box"]


def test_words_keep_their_probability(heard: Report) -> None:
    words = [word for segment in heard.transcript.segments for word in segment.words]
    assert heard.transcript.timing == "recognised"
    assert len(words) > 300
    assert all(word.probability is not None and 0 < word.probability <= 1 for word in words)


# walkround demo


class Videos(HTMLParser):
    """The addresses of the videos of a page."""

    def __init__(self, page: Path) -> None:
        super().__init__()
        self.sources: list[str] = []
        self.feed(page.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "video":
            self.sources.append(dict(attrs)["src"] or "")


def test_the_demo_makes_a_folder_that_plays_anywhere(shown: Run, tmp_path: Path) -> None:
    """The film lies beside the page, so the folder can be moved."""
    moved = Path(shutil.copytree(shown.out, tmp_path / "moved"))
    (source,) = Videos(moved / "report.html").sources
    linked = moved / unquote(source)
    assert linked.read_bytes() == FILM.read_bytes()
    assert linked.parent == moved
    assert json.loads(shown.printed)["record"] == str(shown.out / "report.json")
    assert json.loads(shown.printed)["findings"] == len(shown.report.findings)
    assert sorted(p.name for p in moved.iterdir()) == sorted(
        [
            FILM.name,
            "clips",
            "heard.json",
            "made-by-walkround.json",
            "pictures.json",
            "report.html",
            "report.json",
            "stills",
        ]
    )
    for row in shown.report.findings:
        assert (moved / (row.still or "")).is_file()
        assert (moved / (row.clip or "")).is_file()


def test_a_demo_folder_with_edits_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "report.json").write_text("mine")
    result = CliRunner().invoke(main, ["demo", "--out", str(tmp_path)])
    assert result.exit_code == 2
    assert str(tmp_path / "report.json") in result.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["report.json"]


def test_a_disk_that_is_full_leaves_no_half_film(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(shutil, "copyfileobj", full)
    with pytest.raises(OutputError, match="No space left"):
        demo.run_demo(tmp_path / "out", None, SpeechOptions(), hotwords=False)
    assert list((tmp_path / "out").iterdir()) == []


def test_without_its_film_the_demo_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(demo, "demo_folder", lambda: tmp_path)
    result = CliRunner().invoke(main, ["demo", "--out", str(tmp_path / "out")])
    assert result.exit_code == 2
    assert result.stderr.startswith(f"walkround: {tmp_path}: holds no demo film")
