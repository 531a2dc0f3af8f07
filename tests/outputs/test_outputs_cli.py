"""The commands: what they write and print, and how they end."""

import hashlib
import json
import shutil
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from drawn_stills import with_stills

from walkround.cli import main
from walkround.demo import demo_film
from walkround.outputs.embed import read_chapters
from walkround.outputs.writing import write_files
from walkround.report.record import Report


@pytest.fixture
def folder(demo: Report, tmp_path: Path) -> Path:
    """A walk-round's folder with its film beside it."""
    out = tmp_path / "round"
    out.mkdir()
    with_stills(demo, out)
    shutil.copyfile(demo_film(), out / "walk.mp4")
    film = {"media": demo.media.model_dump(), "path": "walk.mp4", "transcript": demo.transcript.model_dump()}
    (out / "heard.json").write_text(json.dumps({"schema_version": "1.0", "films": [film]}), encoding="utf-8")
    return out


def run(*words: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(main, list(words))
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.stdout, done.stderr


def test_chapters_writes_all_forms_and_a_film(folder: Path) -> None:
    code, out, _ = run("chapters", str(folder), "--marks", "--embed")
    assert code == 0
    made = folder / "publish"
    assert {p.name for p in made.iterdir()} == {
        "chapters.txt", "chapters.vtt", "chapters.ffmetadata", "marks.txt", "walk-chapters.mp4",
        "made-by-walkround.json",
    }  # fmt: skip
    listed = (made / "chapters.txt").read_text(encoding="utf-8")
    assert out == listed + "\n" + (made / "marks.txt").read_text(encoding="utf-8")
    titles = [line.partition(" ")[2] for line in listed.splitlines()]
    assert [title for _, _, title in read_chapters(made / "walk-chapters.mp4")] == titles


def test_the_lists_of_several_films_are_told_apart(folder: Path, demo: Report) -> None:
    second = demo.media.model_copy(update={"file": "more.mp4"})
    both = demo.model_copy(update={"added": [second], "added_transcripts": [demo.transcript]})
    (folder / "report.json").write_text(both.to_json(), encoding="utf-8")
    code, out, _ = run("chapters", str(folder), "--marks")
    assert code == 0
    heads = [line for line in out.splitlines() if line.startswith("Film ")]
    assert heads == [f"Film 1, {demo.media.file}:", "Film 2, more.mp4:"]


@pytest.mark.parametrize(
    ("words", "files"),
    [
        (["captions"], {"captions.vtt", "captions.srt"}),
        (["print", "--paper", "letter", "--url", "https://a.example/b"], {"report-letter.pdf"}),
        (["share", "--single-file", "--video-url", "https://a.example/w.mp4"], {"report.html"}),
        (["share"], {"index.html", "stills", "walk.mp4"}),
        (["table"], {"findings.csv"}),
        (["advert"], {"advert.txt"}),
    ],
)
def test_each_command_writes_its_files(folder: Path, tmp_path: Path, words: list[str], files: set[str]) -> None:
    out = tmp_path / "else where"
    code, _, err = run(words[0], str(folder), *words[1:], "--out", str(out))
    assert code == 0, err
    assert {p.name for p in out.iterdir()} == files | {"made-by-walkround.json"}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["print", "--url", "javascript:alert(1)"], "no web address"),
        (["share", "--video-url", "nothing"], "no web address"),
    ],
)
def test_addresses_are_checked_before_anything_is_made(folder: Path, words: list[str], says: str) -> None:
    code, _, err = run(words[0], str(folder), *words[1:])
    assert (code, err.count("\n"), says in err) == (2, 1, True)
    assert not (folder / "publish").exists()


@pytest.mark.parametrize("command", ["chapters", "captions", "print", "share", "table", "advert"])
def test_what_is_no_walk_round_is_told_in_one_sentence(tmp_path: Path, command: str) -> None:
    (tmp_path / "bad").mkdir()
    (tmp_path / "bad" / "report.json").write_text('{"tool": 3}')
    for given, says in (("bad", "no record"), ("empty", "holds no report.json"), ("none.mp4", "does not exist")):
        if given == "empty":
            (tmp_path / given).mkdir()
        code, _, err = run(command, str(tmp_path / given))
        told = [line for line in err.splitlines() if line.startswith("walkround:")]
        assert code == 2
        assert len(told) == 1
        assert says in told[0]


def test_embedding_without_the_film_says_so_and_keeps_the_lists(folder: Path) -> None:
    (folder / "walk.mp4").unlink()
    code, _, err = run("chapters", str(folder), "--embed")
    assert code == 2
    assert "its film is not there" in err
    assert (folder / "publish" / "chapters.txt").is_file()


def test_a_list_that_somebody_changed_is_kept(folder: Path) -> None:
    assert run("chapters", str(folder))[0] == 0
    path = folder / "publish" / "chapters.txt"
    made = path.read_bytes()
    path.write_text("0:00 Mine\n")
    assert run("chapters", str(folder))[0] == 0
    assert path.read_bytes() == made
    assert (path.parent / "chapters.txt.before").read_text() == "0:00 Mine\n"
    assert run("chapters", str(folder))[0] == 0
    assert len(list(path.parent.glob("chapters.txt.before*"))) == 1


def test_a_disk_that_fills_up_leaves_the_old_files(
    tmp_path: Path, demo: Report, monkeypatch: pytest.MonkeyPatch
) -> None:
    from walkround.errors import OutputError

    write_files(tmp_path, {"a.txt": b"old"}, demo)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("walkround.outputs.writing.os.fdopen", full)
    with pytest.raises(OutputError, match="No space left"):
        write_files(tmp_path, {"a.txt": b"new"}, demo)
    monkeypatch.undo()
    assert (tmp_path / "a.txt").read_bytes() == b"old"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.txt", "made-by-walkround.json"]


def test_a_record_from_before_names_were_kept_gets_ours(folder: Path) -> None:
    record = json.loads((folder / "report.json").read_text(encoding="utf-8"))
    for key in ("names", "respelled"):
        record.pop(key)
    record["schema_version"] = "1.0"
    (folder / "report.json").write_text(json.dumps(record), encoding="utf-8")
    code, out, _ = run("advert", str(folder))
    assert code == 0
    assert "Front mudguard: stone chip" in out


def test_a_film_makes_its_report_first_and_only_once(
    demo: Report, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The report of a film is made in NAME-report beside it; listening itself is tested elsewhere."""
    from hashlib import sha256

    from walkround.outputs import material

    film = tmp_path / "walk.mp4"
    film.write_bytes(b"a film")
    made: list[Path] = []

    def make(job, progress) -> None:  # type: ignore[no-untyped-def]
        made.append(job.out)
        job.out.mkdir()
        record = demo.model_copy(deep=True)
        record.media.sha256 = sha256(film.read_bytes()).hexdigest()
        (job.out / "report.json").write_text(record.to_json(), encoding="utf-8")

    monkeypatch.setattr(material, "make_report", make)
    assert run("chapters", str(film))[0] == 0
    assert run("captions", str(film))[0] == 0
    assert made == [tmp_path / "walk-report"]
    assert (tmp_path / "walk-report" / "publish" / "captions.srt").is_file()


def test_the_commands_load_without_the_pdf_library(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    code, _, err = run("print", str(folder))
    assert code == 2
    assert "pip install 'walkround[pdf]'" in err
    assert run("chapters", str(folder))[0] == 0


def test_a_record_that_was_changed_by_hand_or_after_signing_comes_with_a_warning(folder: Path) -> None:
    """One sentence, on the channel that is not the output; what the record says is published all the same."""
    assert "Warning" not in run("table", str(folder))[2]  # nothing is known of how it was made
    record = folder / "report.json"
    stamp = {"report.json": [hashlib.sha256(record.read_bytes()).hexdigest()]}
    (folder / "made-by-walkround.json").write_text(json.dumps(stamp), encoding="utf-8")
    assert "Warning" not in run("table", str(folder))[2]
    told = json.loads(record.read_text(encoding="utf-8"))
    told["findings"].pop()
    record.write_text(json.dumps(told), encoding="utf-8")
    code, _, err = run("table", str(folder))
    assert (code, err.count("Warning:")) == (0, 1)
    assert "was changed by hand since it was made" in " ".join(err.split())
    signed = {
        "who": "A. Tester",
        "at": "2026-05-14T09:12:00+00:00",
        "films": [None],
        "record": "0" * 64,
        "log": "0" * 64,
    }
    record.write_text(json.dumps(told | {"signed": signed}), encoding="utf-8")
    assert "was changed after A. Tester signed it" in " ".join(run("advert", str(folder))[2].split())
    record.write_text(json.dumps(told | {"signed": signed | {"withdrawn": "changed by B"}}), encoding="utf-8")
    assert "no longer holds: changed by B." in " ".join(run("share", str(folder), "--single-file")[2].split())
