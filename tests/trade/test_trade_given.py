"""What a person gives on the command line: kept with what was heard, so that the record can be built anew."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from walkround.cli import main
from walkround.pipeline import rebuild
from walkround.report.record import read_report


@pytest.fixture
def talk(tmp_path: Path) -> Path:
    path = tmp_path / "talk.txt"
    path.write_text("[0:01] The rear tyre has one point five mil.\n", encoding="utf-8")
    return path


def test_the_country_is_kept_and_used_again(talk: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    done = CliRunner().invoke(main, ["report", "--transcript", str(talk), "--out", str(out), "--country", "DE"])
    assert done.exit_code == 0, done.output
    assert "at or under a published limit" in done.output.lower()
    given = json.loads((out / "heard.json").read_text(encoding="utf-8"))["given"]
    assert (given["country"]["value"], given["country"]["given"]) == ("DE", True)
    first = read_report(out / "report.json")
    assert first.measurements[0].severity == "serious"
    assert rebuild(out).report == first


def test_nothing_given_is_great_britain(talk: Path, tmp_path: Path) -> None:
    done = CliRunner().invoke(
        main, ["report", "--transcript", str(talk), "--out", str(tmp_path / "out"), "--vin", "  "]
    )
    assert done.exit_code == 0, done.output
    report = read_report(tmp_path / "out" / "report.json")
    assert "Great Britain" in (report.measurements[0].checked_against or "")
    assert {"country", "vin"} & report.bike.keys() == set()


def test_an_unknown_country_is_a_question_and_no_crash(talk: Path, tmp_path: Path) -> None:
    done = CliRunner().invoke(
        main, ["report", "--transcript", str(talk), "--out", str(tmp_path / "out"), "--country", "Atlantis"]
    )
    assert done.exit_code == 0, done.output
    assert "no country that is known" in done.output


def test_a_dealer_may_lay_a_limit_over_ours(talk: Path, tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    (own / "limits.toml").write_text("[tread.GB]\nminimum = 2.0\nsource = 'the dealer'\n", encoding="utf-8")
    out = tmp_path / "out"
    done = CliRunner().invoke(
        main, ["report", "--transcript", str(talk), "--out", str(out), "--lexicon", str(own), "--json"]
    )
    assert done.exit_code == 0, done.output
    row = read_report(out / "report.json").measurements[0]
    assert row.severity == "serious"
    assert row.checked_against
    assert "the dealer" in row.checked_against
