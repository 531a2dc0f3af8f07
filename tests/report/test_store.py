"""The folder of a report: whole files or none, and never over somebody's work."""

import errno
import os
from pathlib import Path

import pytest

from walkround.errors import OutputError
from walkround.report import store
from walkround.report.store import EDITS, STAMP, Folder

OLD = {"report.json": '{"old": true}\n', "report.html": "<p>old</p>\n"}
NEW = {"report.json": '{"new": true}\n', "report.html": "<p>new „Ω“</p>\n"}


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    """A folder with a report that we made."""
    made = Folder(tmp_path / "report")
    made.check()
    made.write(OLD)
    return made


def texts(folder: Folder) -> dict[str, str]:
    return {p.name: p.read_text(encoding="utf-8") for p in folder.path.iterdir()}


def full(*_: object, **__: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


def test_what_is_written_can_be_read_by_others(folder: Folder) -> None:
    assert texts(folder).keys() == {*OLD, STAMP}
    assert {name: texts(folder)[name] for name in OLD} == OLD
    if os.name == "posix":
        assert {p.stat().st_mode & 0o777 for p in folder.path.iterdir()} == {0o644}


def test_line_ends_and_letters_stay_as_they_are(folder: Folder) -> None:
    folder.write({"report.html": "a\nb „Ω“\n"})
    assert (folder.path / "report.html").read_bytes() == "a\nb „Ω“\n".encode()


def test_a_missing_folder_is_made_with_its_parents(tmp_path: Path) -> None:
    Folder(tmp_path / "a" / "b" / "c").check()
    assert list((tmp_path / "a" / "b" / "c").iterdir()) == []


def test_our_own_report_may_be_made_again(folder: Folder) -> None:
    folder.check()
    folder.write(NEW)
    folder.check()
    assert {name: texts(folder)[name] for name in NEW} == NEW


def test_a_disk_that_is_full_leaves_the_old_files_whole(folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    before = texts(folder)
    monkeypatch.setattr(store.os, "fdopen", full)
    with pytest.raises(OutputError, match="No space left"):
        folder.write(NEW)
    monkeypatch.undo()
    assert texts(folder) == before


def test_a_rename_that_fails_leaves_the_old_files_whole(folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    before = texts(folder)
    monkeypatch.setattr(store.os, "replace", full)
    with pytest.raises(OutputError, match="No space left") as caught:
        folder.write(NEW)
    monkeypatch.undo()
    assert str(folder.path) in str(caught.value)
    assert texts(folder) == before
    folder.check()


def test_several_crashes_in_a_row_leave_files_that_are_still_ours(
    folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each run gets as far as the stamp, which must go on knowing the files that lie there."""
    whole = os.replace

    def only_the_stamp(source: str, target: str) -> None:
        if Path(target).name != STAMP:
            full()
        whole(source, target)

    monkeypatch.setattr(store.os, "replace", only_the_stamp)
    for n in range(3):
        with pytest.raises(OutputError):
            folder.write(dict.fromkeys(NEW, f"{n}"))
    monkeypatch.undo()
    folder.check()


@pytest.mark.parametrize("renames", [1, 2])
def test_a_crash_between_renames_leaves_whole_files_that_are_still_ours(
    folder: Folder, monkeypatch: pytest.MonkeyPatch, renames: int
) -> None:
    """Each file is the old one or the new one, nothing lies about, and the next run is not refused as if
    somebody had edited them."""
    whole, done = os.replace, []

    def some(source: str, target: str) -> None:
        if len(done) == renames:
            full()
        done.append(target)
        whole(source, target)

    monkeypatch.setattr(store.os, "replace", some)
    with pytest.raises(OutputError):
        folder.write(NEW)
    monkeypatch.undo()
    after = texts(folder)
    assert after.keys() == {*OLD, STAMP}
    assert all(after[name] in (OLD[name], NEW[name]) for name in OLD)
    folder.check()


def test_a_stop_by_the_keyboard_leaves_nothing_about(folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    before = texts(folder)

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(store.os, "chmod", stop)
    with pytest.raises(KeyboardInterrupt):
        folder.write(NEW)
    monkeypatch.undo()
    assert texts(folder) == before


@pytest.mark.parametrize("name", ["report.json", "report.html"])
def test_a_changed_file_is_refused_and_kept_beside_when_asked(folder: Folder, name: str) -> None:
    (folder.path / name).write_text("mine")
    before = texts(folder)
    with pytest.raises(OutputError, match="--replace-edits") as caught:
        folder.check()
    assert str(folder.path / name) in str(caught.value)
    assert texts(folder) == before
    folder.check(replace_edits=True)
    folder.write(NEW)
    assert texts(folder)[f"{name}.before"] == "mine"


def test_each_change_is_kept_when_it_happens_again(folder: Folder) -> None:
    for words in ("first", "second", "third"):
        (folder.path / "report.json").write_text(words)
        folder.check(replace_edits=True)
        folder.write(NEW)
    kept = {n: t for n, t in texts(folder).items() if n.startswith("report.json.before")}
    assert sorted(kept.values()) == ["first", "second", "third"]
    assert kept["report.json.before"] == "first"


def test_one_changed_letter_counts(folder: Folder) -> None:
    path = folder.path / "report.json"
    path.write_text(path.read_text().replace("true", "tru3"))
    assert folder.edited() == ["report.json"]


@pytest.mark.parametrize("stamp", [None, "", "[]", "3", "{", '{"report.json": 7}', b"\xff\xfe\x00"])
def test_without_a_good_stamp_nothing_is_ours(folder: Folder, stamp: str | bytes | None) -> None:
    path = folder.path / STAMP
    path.unlink()
    if stamp is not None:
        path.write_bytes(stamp if isinstance(stamp, bytes) else stamp.encode())
    assert folder.edited() == ["report.json", "report.html"]
    with pytest.raises(OutputError):
        folder.check()


def test_a_review_stays_when_the_report_is_made_again(folder: Folder) -> None:
    (folder.path / EDITS).write_text("{}\n")
    folder.check()
    folder.write(NEW)
    assert texts(folder)[EDITS] == "{}\n"
    assert folder.reviewed


def test_a_review_of_another_film_is_kept_beside(folder: Folder) -> None:
    for text in ("first", "second"):
        (folder.path / EDITS).write_text(text)
        folder.set_review_aside()
    folder.set_review_aside()
    assert not folder.reviewed
    assert (texts(folder)[f"{EDITS}.before"], texts(folder)[f"{EDITS}.before-2"]) == ("first", "second")


def test_a_file_that_was_taken_away_is_no_edit(folder: Folder) -> None:
    (folder.path / "report.html").unlink()
    folder.check()


def test_other_files_in_the_folder_are_left_alone(folder: Folder) -> None:
    (folder.path / "notes.txt").write_text("mine")
    folder.check(replace_edits=True)
    folder.write(NEW)
    assert texts(folder)["notes.txt"] == "mine"


def test_checking_leaves_no_trace(folder: Folder) -> None:
    before = texts(folder)
    folder.check()
    assert texts(folder) == before


@pytest.mark.parametrize(
    ("name", "options", "says"),
    [
        ("report.json", (), "put it back as it was, or delete it, and it is made again from what was heard."),
        ("heard.json", (), "put it back as it was, or make the report again."),
        (
            "report.json",
            ("--replace-edits",),
            "add --replace-edits to write over it (the changed file is kept beside it).",
        ),
        ("report.html", ("--out",), "choose another folder with --out."),
    ],
)
def test_only_options_that_the_command_has_are_advised(
    tmp_path: Path, name: str, options: tuple[str, ...], says: str
) -> None:
    folder = Folder(tmp_path)
    folder.write({"heard.json": "{}", "report.json": "{}", "report.html": ""})
    (tmp_path / name).write_text("by hand")
    with pytest.raises(OutputError) as caught:
        folder.check(options=options)
    assert str(caught.value).endswith(f"was changed by hand since it was made; {says}")
