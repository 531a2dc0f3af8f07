"""The command line: a fault that a person can cause ends in one sentence, and nothing is half-written."""

import json
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from media.making import make_media_file, steady, tone

from walkround.cli import main

TALK = """\
[0:00] This one is a 2019 with 8,000 miles on it.
[0:04] The left mirror has a scratch on the back.
[0:08] The fuel tank is perfect, no marks on it.
"""
#: A line of progress where the output is no terminal: a stage, or a share of one.
PROGRESS = re.compile(r"[A-Z][^:]* \.\.\.|  \d+%")
Spoil = Callable[[bytes], bytes]


@pytest.fixture(scope="session")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three seconds of picture and a tone: enough to be a video, nothing to recognise."""
    folder = tmp_path_factory.mktemp("film")
    return make_media_file(folder / "walk.mp4", pictures=steady(3), sound=[(0.0, tone(3))])


@pytest.fixture
def talk(tmp_path: Path) -> Path:
    path = tmp_path / "talk.txt"
    path.write_text(TALK, encoding="utf-8")
    return path


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "out"


def report(*arguments: object) -> Result:
    return CliRunner().invoke(main, ["report", *map(str, arguments)])


def files(folder: Path) -> dict[str, bytes]:
    """Everything in a folder, hidden files too."""
    return {p.name: p.read_bytes() for p in folder.rglob("*")} if folder.is_dir() else {}


def sentence(result: Result) -> str:
    """The one sentence of a refusal; all else on standard error is progress."""
    assert result.exit_code == 2, (result.output, result.exception)
    assert result.stdout == ""
    *before, last = result.stderr.splitlines()
    assert last.startswith("walkround: ")
    assert last.endswith(".")
    assert all(PROGRESS.fullmatch(line) for line in before), before
    return last.removeprefix("walkround: ")


def refused(out: Path, *arguments: object) -> str:
    """The sentence of a run that must fail and leave the folder as it was."""
    before = files(out)
    told = sentence(report(*arguments, "--out", out))
    assert files(out) == before
    return told


# Videos


def test_no_such_file(tmp_path: Path, out: Path) -> None:
    assert str(tmp_path / "gone.mp4") in refused(out, tmp_path / "gone.mp4")


def test_a_folder_is_no_video(tmp_path: Path, out: Path) -> None:
    folder = tmp_path / "folder.mp4"
    folder.mkdir()
    told = refused(out, folder)
    assert str(folder) in told
    assert "folder" in told


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda film: b"Just some notes about the bike.\n" * 50, "text"),
        (lambda film: b"", "empty"),
        (lambda film: film[: len(film) // 2], "cut off"),
        (lambda film: film[:-5], "cut off"),
        (lambda film: film[:20], "cut off"),
        (lambda film: bytes(range(256)) * 100, "not a recording"),
    ],
    ids=["text", "zero-length", "half", "five-bytes-short", "head-only", "noise"],
)
def test_a_file_that_is_no_whole_video(film: Path, tmp_path: Path, out: Path, spoil: Spoil, says: str) -> None:
    path = tmp_path / "spoilt.mp4"
    path.write_bytes(spoil(film.read_bytes()))
    told = refused(out, path)
    assert str(path) in told
    assert says in told


def test_a_truncated_video_is_refused_beside_a_transcript_too(
    film: Path, talk: Path, tmp_path: Path, out: Path
) -> None:
    path = tmp_path / "cut.mp4"
    path.write_bytes(film.read_bytes()[:-5])
    assert str(path) in refused(out, path, "--transcript", talk)


def test_a_video_without_sound(tmp_path: Path, out: Path) -> None:
    path = make_media_file(tmp_path / "mute.mp4", pictures=steady(2))
    told = refused(out, path)
    assert str(path) in told
    assert "no sound" in told
    assert "--transcript" in told


def test_a_video_without_sound_serves_beside_a_transcript(tmp_path: Path, talk: Path, out: Path) -> None:
    path = make_media_file(tmp_path / "mute.mp4", pictures=steady(2))
    assert report(path, "--transcript", talk, "--out", out).exit_code == 0


def test_silence_throughout_gives_a_report_with_a_warning_and_no_words(tmp_path: Path, out: Path) -> None:
    path = make_media_file(tmp_path / "silent.mp4", pictures=steady(3), sound=[(0.0, tone(3) * 0)])
    result = report(path, "--out", out, "--model", "tiny.en")
    assert result.exit_code == 0
    record = json.loads((out / "report.json").read_text(encoding="utf-8"))
    assert record["transcript"]["segments"] == []
    assert {row["state"] for row in record["checklist"]} == {"not-mentioned"}
    assert len(record["checklist"]) > 70
    assert any("silent" in warning for warning in record["warnings"])
    assert "Warning: " in result.stdout
    assert not any(record[k] for k in ("findings", "unplaced", "measurements", "promises", "guesses", "bike"))


def test_neither_video_nor_transcript(out: Path) -> None:
    assert "--transcript" in refused(out)


def test_a_name_with_a_line_break_stays_on_one_line(tmp_path: Path, out: Path) -> None:
    assert r"two\nlines.mp4" in refused(out, tmp_path / "two\nlines.mp4")


# Speech weights


@pytest.mark.parametrize("model", ["enormous", "../base", "tiny.en/"])
def test_an_unknown_model(film: Path, out: Path, model: str) -> None:
    told = refused(out, film, "--model", model)
    assert repr(model) in told
    assert "base" in told


def test_a_model_folder_without_the_model(film: Path, tmp_path: Path, out: Path) -> None:
    folder = tmp_path / "weights"
    folder.mkdir()
    for name in ("config.json", "tokenizer.json", "vocabulary.txt"):
        (folder / name).write_text("{}")
    told = refused(out, film, "--model", folder)
    assert str(folder) in told
    assert "model.bin" in told


def test_a_compute_type_that_does_not_exist(film: Path, out: Path) -> None:
    assert "int3" in refused(out, film, "--model", "tiny.en", "--compute-type", "int3")


# Transcripts


@pytest.mark.parametrize(
    ("name", "text", "line"),
    [
        ("a.srt", "1\n00:00:01,000 --> 00:00:02,000\nThe tank\n\n2\n00:00:xx --> 00:00:04,000\nis fine\n", 6),
        ("b.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\nThe tank\n\n00:03,000 --> 00:04,000\nis fine\n", 6),
        ("c.json", '{"segments": [\n{"start": 0, "end": 1, "text": "The tank"},\n', 3),
        ("d.txt", "[0:01] The tank\n[0:05] is fine\n[0:99] and clean\n", 3),
        ("e.txt", "[0:09] The tank\n[0:05] is fine\n", 2),
    ],
)
def test_a_malformed_transcript(tmp_path: Path, out: Path, name: str, text: str, line: int) -> None:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    told = refused(out, "--transcript", path)
    assert str(path) in told
    assert re.search(rf"\bline {line}\b", told)


@pytest.mark.parametrize(
    "data",
    [b"", b" \n\n", b"caf\xe9 racer\n", b"\x89PNG\0\0\0", b'{"segments": 3}', b'{"segments": []}', b"{}"],
)
def test_a_file_that_is_no_transcript(tmp_path: Path, out: Path, data: bytes) -> None:
    path = tmp_path / "words.txt"
    path.write_bytes(data)
    assert str(path) in refused(out, "--transcript", path)


@pytest.mark.parametrize("number", ["1" + "0" * 400, "1" + "0" * 5000, "1e999", "-1", "NaN", '"2"', "true"])
def test_numbers_that_are_no_times(tmp_path: Path, out: Path, number: str) -> None:
    path = tmp_path / "words.json"
    path.write_text(f'{{"segments": [{{"start": 0, "end": {number}, "text": "The tank is fine."}}]}}')
    assert str(path) in refused(out, "--transcript", path)


def test_half_a_character_in_json_is_told_or_read(tmp_path: Path, out: Path) -> None:
    """A lone surrogate is legal in the JSON grammar (RFC 8259, section 8.2) and in no UTF-8 file."""
    path = tmp_path / "words.json"
    path.write_text(r'{"segments": [{"start": 0, "end": 2, "text": "The tank \ud83d has a dent."}]}')
    result = report("--transcript", path, "--out", out)
    if result.exit_code == 0:
        assert "dent" in json.loads((out / "report.json").read_text(encoding="utf-8"))["findings"][0]["defect"]
    else:
        assert str(path) in sentence(result)


# The dealer's own words


def test_a_lexicon_folder_that_is_not_there(talk: Path, tmp_path: Path, out: Path) -> None:
    folder = tmp_path / "nowhere"
    assert str(folder) in refused(out, "--transcript", talk, "--lexicon", folder)


@pytest.mark.parametrize(
    ("name", "text", "line", "says"),
    [
        ("parts.toml", '[windscreen]\nforms = ["flapper"]\nweak = \n', 3, "TOML"),
        ("parts.toml", '\n[flux-capacitor]\nforms = ["fluxer"]\n', 2, "flux-capacitor"),
        ("parts.toml", '[windscreen]\ngroup = "nowhere"\n', 2, "nowhere"),
        ("parts.toml", '[windscreen]\nforms = [3]\n', 2, "windscreen"),
        ("parts.toml", '[windscreen]\nhead_forms = [3]\n', 2, "windscreen"),
        ("parts.toml", '[windscreen]\nweak = "abc"\n', 2, "weak"),
        ("parts.toml", "\n\n[windscreen]\nforms = ['headlight']\n", 4, "headlight"),
        ("defects.toml", '[scratch]\nforms = ["dent"]\n', 2, "dent"),
        ("defects.toml", '[scratch]\nseverity = "awful"\n', 2, "awful"),
        ("defects.toml", '[[scratch.becomes]]\ndefect = "dent"\n', 1, "parts"),
        ("phrases.toml", '[denial]\nbefor = ["hardly a"]\n', 2, "befor"),
    ],
)  # fmt: skip
def test_a_lexicon_with_a_fault(
    talk: Path, tmp_path: Path, out: Path, name: str, text: str, line: int, says: str
) -> None:
    """The dealer is shown the dealer's file, not ours: that is the one to mend."""
    folder = tmp_path / "words"
    folder.mkdir()
    (folder / name).write_text(text, encoding="utf-8")
    told = refused(out, "--transcript", talk, "--lexicon", folder)
    assert str(folder / name) in told
    assert re.search(rf"\bline {line}\b", told)
    assert says in told


def test_a_lexicon_of_ones_own_is_heard(tmp_path: Path, out: Path) -> None:
    folder = tmp_path / "words"
    folder.mkdir()
    (folder / "parts.toml").write_text('[windscreen]\nforms = ["flapdoodle"]\n', encoding="utf-8")
    talk = tmp_path / "talk.txt"
    talk.write_text("[0:02] The flapdoodle has a scratch.\n", encoding="utf-8")
    assert report("--transcript", talk, "--lexicon", folder, "--out", out).exit_code == 0
    assert [f["part"] for f in json.loads((out / "report.json").read_bytes())["findings"]] == ["windscreen"]


# The folder for the report


@pytest.mark.parametrize("below", ["", "deeper", "deeper/still"])
def test_a_folder_below_a_file(talk: Path, tmp_path: Path, below: str) -> None:
    file = tmp_path / "file"
    file.write_text("mine")
    told = sentence(report("--transcript", talk, "--out", file / below))
    assert str(file / below) in told
    assert file.read_text() == "mine"


@pytest.mark.parametrize("name", ["report.json", "report.html", "edits.jsonl"])
def test_work_by_hand_is_never_written_over(talk: Path, out: Path, name: str) -> None:
    assert report("--transcript", talk, "--out", out).exit_code == 0
    with (out / name).open("a") as file:
        file.write("mine\n")
    mine = (out / name).read_bytes()
    told = refused(out, "--transcript", talk)
    assert str(out / name) in told
    assert "--replace-edits" in told

    assert report("--transcript", talk, "--out", out, "--replace-edits").exit_code == 0
    assert (out / f"{name}.before").read_bytes() == mine
    assert report("--transcript", talk, "--out", out).exit_code == 0, "the folder is ours again"


def test_a_report_that_we_did_not_make_is_not_written_over(talk: Path, out: Path) -> None:
    out.mkdir()
    (out / "report.json").write_text("{}")
    assert str(out / "report.json") in refused(out, "--transcript", talk)


def test_a_run_that_fails_leaves_work_by_hand_in_its_place(talk: Path, tmp_path: Path, out: Path) -> None:
    """--replace-edits allows a new report in the place of the old one, not none."""
    assert report("--transcript", talk, "--out", out).exit_code == 0
    (out / "report.json").write_text("mine")
    refused(out, tmp_path / "gone.mp4", "--replace-edits")


def test_a_second_run_needs_no_leave(talk: Path, out: Path) -> None:
    assert report("--transcript", talk, "--out", out).exit_code == 0
    first = files(out)
    assert report("--transcript", talk, "--out", out).exit_code == 0
    assert files(out) == first


# What is printed


def test_json_output(film: Path, talk: Path, out: Path) -> None:
    result = report(film, "--transcript", talk, "--out", out, "--json")
    told = json.loads(result.stdout)
    record = json.loads(Path(told["record"]).read_bytes())
    assert Path(told["record"]) == out / "report.json"
    assert Path(told["page"]).is_file()
    assert told["findings"] == len(record["findings"]) == 1
    assert told["said_to_be_in_order"] == sum(row["state"] == "clear" for row in record["checklist"]) == 1
    assert "right mirror" in told["not_mentioned"]
    assert not {"mirror", "left mirror", "fuel-tank"} & set(told["not_mentioned"])
    assert told["warnings"] == record["warnings"]


def test_the_summary_names_each_finding_with_its_time(talk: Path, out: Path) -> None:
    told = report("--transcript", talk, "--out", out).stdout
    assert re.search(r"^ +0:04 +Left-hand mirror: scratch$", told, re.MULTILINE)
    assert str(out / "report.html") in told
    assert "Why each row" not in told


def test_the_summary_uses_the_names_of_the_page(tmp_path: Path, out: Path) -> None:
    talk = tmp_path / "talk.txt"
    talk.write_text(
        "[0:01] The ABS sensor is loose. There's a tiny scratch on the left-hand bar end.", encoding="utf-8"
    )
    told = report("--transcript", talk, "--out", out).stdout
    names = json.loads((out / "report.json").read_text(encoding="utf-8"))["names"]["parts"]
    missing = re.search(r"^Not mentioned at all: (.*)\.$", told, re.MULTILINE)
    assert missing
    known = {name.lower() for name in names.values()}
    assert {
        name.lower().removeprefix("left-hand ").removeprefix("right-hand ") for name in missing[1].split(", ")
    } <= known
    assert "Left-hand bar end: scratch (minor)" in told


@pytest.mark.parametrize("words", [("report", "--out", ""), ("demo", "--out", ""), ("table", ""), ("review", "")])
def test_an_empty_path_is_refused(words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As an unset variable of a shell gives it: it would be the folder that one stands in."""
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(main, list(words))
    assert (done.exit_code, "the path is empty" in done.stderr) == (2, True)
    assert list(tmp_path.iterdir()) == []


def test_explain_prints_the_trace(talk: Path, out: Path) -> None:
    told = report("--transcript", talk, "--out", out, "--explain").stdout
    finding = json.loads((out / "report.json").read_bytes())["findings"][0]
    assert finding["trace"]
    explained = told.partition("Why each row was read so:")[2]
    assert f"“{finding['quote']}”" in explained
    for step in finding["trace"]:
        assert f"{step['step']}: “{step['words']}” -> {step['entry']}" in explained
    assert "no marks" not in explained.partition("Defect words that made no row:")[0]
    assert "marks" in explained.partition("Defect words that made no row:")[2]


def test_a_process_of_its_own_prints_plainly_and_ends_with_the_status(talk: Path, film: Path, out: Path) -> None:
    """Through pipes: no colours, no cursor moves, no carriage returns."""
    run = [sys.executable, "-m", "walkround", "report", str(film), "--out", str(out)]
    good = subprocess.run([*run, "--transcript", str(talk)], capture_output=True, check=False)
    assert good.returncode == 0
    assert good.stderr.count(b"...\n") >= 3
    bad = subprocess.run([*run, "--transcript", str(talk.with_name("gone"))], capture_output=True, check=False)
    assert bad.returncode == 2
    for text in (good.stdout, good.stderr, bad.stdout, bad.stderr):
        assert not re.search(rb"[\x1b\r]|Traceback", text)


def test_spoken_words_cannot_steer_the_terminal(tmp_path: Path, out: Path) -> None:
    """A transcript is somebody else's file; on a terminal its escape codes would be obeyed."""
    path = tmp_path / "talk.txt"
    path.write_text("[0:01] The left mirror has a \x1b]0;owned\x07scratch \x1b[2J on it.\n", encoding="utf-8")
    result = CliRunner().invoke(main, ["report", "--transcript", str(path), "--out", str(out), "--explain"], color=True)
    assert result.exit_code == 0
    assert "scratch" in result.stdout
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f]", result.stdout)
