"""The edit log ``edits.jsonl``: one line a change, only ever added to, each tied to the line before by its hash.

An added line is on the disk before it is acknowledged. A last line that was cut short (the machine or the
program stopped while writing it) was never acknowledged and is left out; any other changed byte is a fault.
"""

import hashlib
import json
import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, BinaryIO, Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from walkround.errors import InputError, OutputError, shown
from walkround.report.store import EDITS

try:
    import fcntl
except ImportError:  # Windows: the length of the file still tells that another program wrote
    fcntl = None  # type: ignore[assignment]

#: What stands for the hash of the line before the first.
NOTHING = "0" * 64

Action = Literal[
    "confirm", "change", "dismiss", "add", "split", "join", "picture", "not-fitted", "correct", "teach",
    "undo", "redo", "sign",
]  # fmt: skip


class DamagedLogError(InputError):
    """A line of the log is not as it was written."""


class ChangedElsewhereError(OutputError):
    """Another program wrote to the log since it was read."""


class Entry(BaseModel):
    """One line of the log. ``previous`` is the hash of the line before; ``hash`` is over all other fields."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    id: int
    time: str
    who: str
    action: Action
    target: dict[str, Any] | None = None
    before: Any = None
    after: Any = None
    previous: str
    hash: str

    def line(self) -> bytes:
        """The line as it stands in the log."""
        return (_canonical(self.model_dump()) + "\n").encode()


def new_entry(
    before: Sequence[Entry],
    who: str,
    action: Action,
    *,
    target: dict[str, Any] | None = None,
    was: Any = None,
    after: Any = None,
    time: str | None = None,
) -> Entry:
    """The entry that follows those before it. ``time`` is ISO 8601, now where not given."""
    last = before[-1] if before else None
    fields = {
        "id": last.id + 1 if last else 1,
        "time": time or datetime.now(UTC).isoformat(timespec="seconds"),
        "who": who, "action": action, "target": target, "before": was, "after": after,
        "previous": last.hash if last else NOTHING,
    }  # fmt: skip
    return Entry.model_validate(fields | {"hash": _hash(fields)})


@dataclass
class Log:
    """The log of a walk-round's folder. ``size`` is the length in bytes of its whole lines."""

    path: Path
    entries: list[Entry] = field(default_factory=list)
    size: int = 0
    torn: bool = False  #: whether a last line was cut short when it was read

    @property
    def head(self) -> str:
        """The hash of the last line."""
        return self.entries[-1].hash if self.entries else NOTHING

    def append(self, entry: Entry) -> None:
        """Put an entry on the disk. Raises ChangedElsewhereError, and OutputError where the disk does not take it."""
        if entry.previous != self.head:
            raise ChangedElsewhereError(f"{shown(self.path)}: has another last line; read it again.")
        try:
            with _opened(self.path) as file:
                self._append(file, entry.line())
        except OSError as error:
            raise OutputError(
                f"{shown(self.path)}: cannot be written ({error.strerror}); the change was not kept, "
                "free some space and make it again."
            ) from None
        if not self.entries:
            _flush_folder(self.path.parent)
        self.entries.append(entry)

    def _append(self, file: BinaryIO, line: bytes) -> None:
        if fcntl:
            fcntl.flock(file, fcntl.LOCK_EX)
        length = file.seek(0, os.SEEK_END)
        if length != self.size:
            file.seek(self.size)
            if length < self.size or b"\n" in file.read():
                raise ChangedElsewhereError(f"{shown(self.path)}: was written by another program; read it again.")
        try:
            file.seek(self.size)
            file.truncate()  # a line that was cut short
            file.write(line)
            file.flush()
            os.fsync(file.fileno())
        except OSError:
            file.truncate(self.size)
            raise
        self.size += len(line)


def read_log(folder: Path) -> Log:
    """The log of a folder; empty where there is none. Raises DamagedLogError, naming the line, and InputError."""
    path = folder / EDITS
    log = Log(path)
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return log
    except OSError as error:
        raise InputError(f"{shown(path)}: cannot be read ({error.strerror}).") from None
    *lines, rest = data.split(b"\n")
    log.torn = bool(rest)
    for number, line in enumerate(lines, 1):
        log.entries.append(_checked(path, number, line, log.head))
    log.size = len(data) - len(rest)
    return log


def read_whole_log(folder: Path) -> Log:
    """The log of a folder that holds every change its record was made with. Raises like ``read_log``."""
    log = read_log(folder)
    try:
        made = json.loads((folder / "report.json").read_bytes()).get("review") or {}
    except (OSError, ValueError, AttributeError):
        made = {}
    with_edits = made.get("edits", 0) if isinstance(made, dict) else 0
    if isinstance(with_edits, int) and with_edits > len(log.entries):
        raise DamagedLogError(
            f"{shown(folder / EDITS)}: holds {len(log.entries)} changes, but the report was made with {with_edits}: "
            "the file or lines of it were removed; put it back, or make the report anew with --replace-edits."
        )
    return log


def _checked(path: Path, number: int, line: bytes, previous: str) -> Entry:
    try:
        entry = Entry.model_validate_json(line)
    except ValidationError:
        raise _damaged(path, number, "is not a line that walkround wrote") from None
    if entry.line() != line + b"\n" or entry.hash != _hash(entry.model_dump(exclude={"hash"})):
        raise _damaged(path, number, "was changed after it was written")
    if entry.previous != previous or entry.id != number:
        raise _damaged(path, number, "does not follow from the line before it: lines were removed, added or moved")
    return entry


def _damaged(path: Path, number: int, what: str) -> DamagedLogError:
    return DamagedLogError(
        f"{shown(path)} line {number}: {what}; put the file back from a copy, or move it away to start afresh."
    )


def effective(entries: Iterable[Entry]) -> tuple[list[Entry], list[Entry]]:
    """The changes that hold, oldest first, and those undone that can be redone, next one last.

    Signatures and words taught to the lexicon are not undone; they are in the first list.
    """
    holding: list[Entry] = []
    undone: list[Entry] = []
    for entry in entries:
        if entry.action in ("undo", "redo"):
            taken, given = (holding, undone) if entry.action == "undo" else (undone, holding)
            wanted = (entry.target or {}).get("entry")
            found = [e for e in taken if e.id == wanted]
            if found:
                taken.remove(found[0])
                given.append(found[0])
        else:
            holding.append(entry)
            if entry.action not in FIXED:
                undone.clear()
    return sorted(holding, key=lambda e: e.id), undone


#: Actions that undo passes over.
FIXED = ("sign", "teach")


def _canonical(fields: dict[str, Any]) -> str:
    return json.dumps(fields, sort_keys=True, separators=(",", ":"))


def _hash(fields: dict[str, Any]) -> str:
    return hashlib.sha256(_canonical(fields).encode()).hexdigest()


def _opened(path: Path) -> BinaryIO:
    """The file, open to read and write, made where it is missing."""
    return os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o644), "r+b")


def _flush_folder(folder: Path) -> None:
    """Make sure that the name of a new file is on the disk too, where the system can."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)
