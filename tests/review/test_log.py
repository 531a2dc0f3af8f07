"""The edit log: nothing acknowledged is lost, and any changed byte is found."""

import contextlib
import json
import multiprocessing
from multiprocessing.connection import Connection
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from walkround.errors import OutputError
from walkround.review.log import (
    NOTHING,
    ChangedElsewhereError,
    DamagedLogError,
    Entry,
    Log,
    effective,
    new_entry,
    read_log,
    read_whole_log,
)


def written(folder: Path, amount: int = 5) -> Log:
    log = read_log(folder)
    for n in range(amount):
        log.append(new_entry(log.entries, "Ö. Tester <b>", "dismiss", target={"n": n}, after={"reason": "é\n</x>"}))
    return log


def test_what_is_added_is_read_again(tmp_path: Path) -> None:
    log = written(tmp_path)
    again = read_log(tmp_path)
    assert again.entries == log.entries
    assert (again.head, again.size, again.torn) == (log.head, log.size, False)
    assert [e.id for e in again.entries] == [1, 2, 3, 4, 5]
    assert again.entries[0].previous == NOTHING


def test_a_folder_without_a_log_has_an_empty_one(tmp_path: Path) -> None:
    assert read_log(tmp_path).entries == []
    assert list(tmp_path.iterdir()) == []


def test_every_changed_byte_is_found(tmp_path: Path) -> None:
    """Each byte of the log, the last line's included, replaced by another."""
    log = written(tmp_path, 2)
    good = log.path.read_bytes()
    for at in range(len(good) - 1):
        log.path.write_bytes(good[:at] + bytes([good[at] ^ 1]) + good[at + 1 :])
        with pytest.raises(DamagedLogError, match=r"edits\.jsonl line \d"):
            read_log(tmp_path)


@pytest.mark.parametrize("keep", [[1], [0, 2], [1, 0, 2], [0, 0, 1, 2], [2]])
def test_lines_taken_out_added_or_moved_are_found(tmp_path: Path, keep: list[int]) -> None:
    lines = written(tmp_path, 3).path.read_bytes().splitlines(keepends=True)
    (tmp_path / "edits.jsonl").write_bytes(b"".join(lines[n] for n in keep))
    with pytest.raises(DamagedLogError, match="does not follow"):
        read_log(tmp_path)


def test_a_last_line_cut_short_anywhere_is_left_out_and_written_over(tmp_path: Path) -> None:
    log = written(tmp_path, 3)
    data = log.path.read_bytes()
    whole = len(data) - len(data.splitlines(keepends=True)[-1])
    for cut in range(whole + 1, len(data)):
        log.path.write_bytes(data[:cut])
        torn = read_log(tmp_path)
        assert (len(torn.entries), torn.torn) == (2, True)
    torn.append(new_entry(torn.entries, "me", "confirm"))
    assert [e.action for e in read_log(tmp_path).entries] == ["dismiss", "dismiss", "confirm"]


def test_two_writers_do_not_write_over_each_other(tmp_path: Path) -> None:
    one, two = written(tmp_path, 1), read_log(tmp_path)
    one.append(new_entry(one.entries, "one", "confirm"))
    with pytest.raises(ChangedElsewhereError):
        two.append(new_entry(two.entries, "two", "confirm"))
    assert [e.who for e in read_log(tmp_path).entries][1:] == ["one"]


def test_a_full_disk_leaves_the_log_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = written(tmp_path, 2)
    before = log.path.read_bytes()

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("walkround.review.log.os.fsync", full)
    with pytest.raises(OutputError, match="was not kept"):
        log.append(new_entry(log.entries, "me", "confirm"))
    monkeypatch.undo()
    assert log.path.read_bytes() == before
    log.append(new_entry(log.entries, "me", "confirm"))
    assert len(read_log(tmp_path).entries) == 3


# What holds after undoing and redoing


def acted(script: list[str]) -> list[Entry]:
    """A log of changes ("c"), undoings ("u") and redoings ("r") as the page would make them."""
    entries: list[Entry] = []
    for step in script:
        holding, undone = effective(entries)
        if step == "c":
            entries.append(new_entry(entries, "me", "confirm"))
        elif step == "u" and holding:
            entries.append(new_entry(entries, "me", "undo", target={"entry": holding[-1].id}))
        elif step == "r" and undone:
            entries.append(new_entry(entries, "me", "redo", target={"entry": undone[-1].id}))
    return entries


@given(st.lists(st.sampled_from("cur"), max_size=30))
@settings(deadline=None, max_examples=60)
def test_undo_and_redo_are_those_of_any_editor(script: list[str]) -> None:
    done: list[int] = []
    undone: list[int] = []
    number = 0
    for step in script:
        if step == "c":
            number += 1
            done.append(number)
            undone = []
        elif step == "u" and done:
            number += 1
            undone.append(done.pop())
        elif step == "r" and undone:
            number += 1
            done.append(undone.pop())
    holding, again = effective(acted(script))
    assert [e.id for e in holding] == done
    assert [e.id for e in again] == undone


def keep_writing(folder: Path, told: Connection) -> None:
    """Add edits until killed; each is told only when it is acknowledged."""
    log = read_log(folder)
    while True:
        log.append(new_entry(log.entries[-1:], "writer", "confirm", target={"filler": "x" * 400}))
        told.send(log.entries[-1].id)


def test_kill_9_at_fifty_moments_loses_nothing_acknowledged(tmp_path: Path) -> None:
    """A writer is killed after it acknowledged a number of edits, wherever it is then: fifty times over."""
    processes = multiprocessing.get_context("fork")
    acknowledged = 0
    for moment in range(50):
        hear, told = processes.Pipe(duplex=False)
        writer = processes.Process(target=keep_writing, args=(tmp_path, told))
        writer.start()
        told.close()
        for _ in range(1 + moment % 7):
            acknowledged = hear.recv()
        writer.kill()
        with contextlib.suppress(EOFError):
            while True:
                acknowledged = hear.recv()
        writer.join()
        log = read_log(tmp_path)
        assert len(log.entries) >= acknowledged
        assert [e.id for e in log.entries] == list(range(1, len(log.entries) + 1))


def test_a_log_that_holds_fewer_changes_than_the_report_was_made_with_is_told(tmp_path: Path) -> None:
    (tmp_path / "report.json").write_text(json.dumps({"review": {"edits": 2, "log": "x"}}))
    with pytest.raises(DamagedLogError, match=r"edits\.jsonl: holds 0 changes, but the report was made with 2"):
        read_whole_log(tmp_path)
    (tmp_path / "report.json").write_text(json.dumps({"review": None}))
    assert read_whole_log(tmp_path).entries == []
