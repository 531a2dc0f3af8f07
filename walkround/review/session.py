"""A review under way: the folder, the record as it is now, and the person's next change to it."""

import contextlib
import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

from walkround.errors import InputError, WalkroundError, shown
from walkround.narration.lexicon import Lexicon, load_lexicon
from walkround.narration.model import Reading
from walkround.narration.reader import Reader
from walkround.pipeline import Quiet, completed, dressed, read_again, write
from walkround.report import record as r
from walkround.report.heard import Heard, read_heard
from walkround.report.store import Folder
from walkround.review.acts import ACTS, Desk
from walkround.review.apply import Applied, applied
from walkround.review.carry import carried
from walkround.review.log import (
    NOTHING,
    ChangedElsewhereError,
    Entry,
    Log,
    effective,
    new_entry,
    read_log,
    read_whole_log,
)
from walkround.review.signing import sealed, signature
from walkround.review.teach import OWN, Trial, differences, lesson_from, trial, write_lesson
from walkround.review.view import names_of


class StaleError(WalkroundError):
    """The change was made on an older state than there is: in another tab, or by another program."""


#: The record is written when nothing was changed for so long (seconds).
PAUSE = 0.7
STALE = "The report was changed in another window since this one was loaded; nothing was written over."


class Session:
    """One folder under review. Its methods may be called from several threads."""

    def __init__(self, path: Path, who: str, reader: Reader | None = None) -> None:
        """Raises InputError and its kin where the folder is no walk-round or its log is damaged.

        A ``reader`` over the same lexicon may be given.
        """
        self.path, self.who = path, who
        self.lock = threading.RLock()
        self.heard: Heard = read_heard(path)
        self.log: Log = read_whole_log(path)
        self.lexicon: Lexicon = load_lexicon(path / self.heard.lexicon if self.heard.lexicon else None)
        given = reader is not None and reader.lexicon.sha256 == self.lexicon.sha256
        self.reader = reader if reader and given else Reader(self.lexicon)
        self.trial: Trial | None = None  #: the word that was tried last
        self.base, self.reading = self._read(self.log.entries)
        self.saved: r.Report | None = _stored(path)  #: as written last: the pictures are taken from it
        self.now: Applied = self._apply(self.log.entries)
        self._written = threading.Lock()
        self._due = threading.Event()
        self._ended = False
        self._writer = threading.Thread(target=self._keep_writing, daemon=True)
        Folder(path).check(options=())

    @property
    def revision(self) -> int:
        """How many edits there are: a change is made on one revision, and refused on another."""
        return len(self.log.entries)

    @property
    def report(self) -> r.Report:
        """The record as it is now, with the pictures known so far, and the signature."""
        saved = self.saved
        if saved is not None and saved.review is not None and saved.review.log == self.log.head:
            return self.now.report.model_copy(update={"review": saved.review, "signed": saved.signed})
        return sealed(self.now.report, self.log, record=False)

    def act(self, action: str, asked: dict[str, Any], revision: int) -> bool:
        """Make a change: on the disk when this returns. True where the transcript or the reading is another now.

        Raises StaleError where it was made on another revision, InputError where it cannot be done.
        """
        with self.lock:
            if revision != self.revision:
                raise StaleError(STALE)
            if action == "sign":
                entry = signature(self._dressed(), self.log, str(asked.get("who", "")))
            elif action in ACTS:
                desk = Desk(self.now, self.lexicon, self.log)
                entry = new_entry(self.log.entries[-1:], self.who, action, **ACTS[action](desk, asked))  # type: ignore[arg-type]
            else:
                raise InputError("There is no such change.")
            return self._take(entry)

    # --- the lexicon ------------------------------------------------------------------------------
    @property
    def own_lexicon(self) -> Path:
        """The folder of the dealer's own words: the one that was given, else one in the walk-round's folder."""
        return self.path / (self.heard.lexicon or OWN)

    def try_word(self, asked: dict[str, Any]) -> dict[str, Any]:
        """What a word would change if it were taught. Nothing is kept. Raises InputError and LexiconError."""
        with self.lock:
            self.trial = trial(self.own_lexicon, lesson_from(asked, self.lexicon))
            report, reading = self._read(self.log.entries, self.trial.reader)
            then = applied(report, effective(self.log.entries)[0], self.trial.lexicon, reading)
            changes = differences(self.now.report, then.report, names_of(self.trial.lexicon))
            return {**changes, "where": shown(self.own_lexicon / self.trial.lesson.file)}

    def teach(self, asked: dict[str, Any], revision: int) -> None:
        """Put a word that was tried into the dealer's lexicon, and read again with it.

        Raises StaleError, InputError, LexiconError, OutputError.
        """
        with self.lock:
            if revision != self.revision:
                raise StaleError(STALE)
            lesson = lesson_from(asked, self.lexicon)
            if self.trial is None or self.trial.lesson != lesson:
                raise InputError("Look first at what the word would change.")
            write_lesson(self.own_lexicon, lesson)
            if self.heard.lexicon is None:
                self.heard = self.heard.model_copy(update={"lexicon": OWN})
            # As it now lies there, so that the record names the lexicon that a later reading will find.
            self.lexicon = load_lexicon(self.own_lexicon)
            self.reader = Reader(self.lexicon)
            self.trial = None
            self.base, self.reading = self._read(self.log.entries)
            self.now = self._apply(self.log.entries)
            self.save()  # what was heard names the lexicon before the log speaks of it
            target = {"kind": lesson.kind, "id": lesson.id}
            self._take(new_entry(self.log.entries[-1:], self.who, "teach", target=target, after=lesson.form))

    def _take(self, entry: Entry) -> bool:
        """Lay the entry over first, so that nothing reaches the log that could not be laid over again."""
        entries = [*self.log.entries, entry]
        anew = _changes_words(entry, self.log.entries)
        base, reading = self._read(entries) if anew else (self.base, self.reading)
        before = self.base, self.reading
        self.base, self.reading = base, reading
        try:
            now = self._apply(entries)
            self.log.append(entry)
        except ChangedElsewhereError:
            self.reload()
            raise StaleError(STALE) from None
        except BaseException:
            self.base, self.reading = before
            raise
        self.now = now
        self._due.set()
        return anew

    def reload(self) -> None:
        """Read the log and the words again: another program wrote to them."""
        self.log = read_log(self.path)
        self.base, self.reading = self._read(self.log.entries)
        self.now = self._apply(self.log.entries)
        self._due.set()

    def _read(self, entries: list[Entry], reader: Reader | None = None) -> tuple[r.Report, Reading]:
        reader = reader or self.reader
        return read_again(self.heard, Log(self.log.path, entries), reader.lexicon, reader)

    def _apply(self, entries: list[Entry]) -> Applied:
        now = applied(self.base, effective(entries)[0], self.lexicon, self.reading)
        return replace(now, report=completed(carried(now.report, self.saved), now, self.heard, self.lexicon))

    def _dressed(self) -> r.Report:
        """The record as a new reading of the folder would write it: with pictures for rows that are new."""
        now = applied(self.base, effective(self.log.entries)[0], self.lexicon, self.reading)
        return dressed(now, self.heard, self.lexicon, Folder(self.path), Quiet())

    # --- the folder -------------------------------------------------------------------------------
    def start_writing(self) -> None:
        """Write the record and the page from now on, a moment after each change, and once at the start."""
        self._due.set()
        self._writer.start()

    def stop_writing(self) -> None:
        """Write what is due and end. Raises OutputError."""
        self._ended = True
        self._due.set()
        if self._writer.is_alive():
            self._writer.join()
        if self._unsaved():
            self.save()

    def _unsaved(self) -> bool:
        saved = self.saved.review if self.saved else None
        return self.log.head != (saved.log if saved else NOTHING)

    def save(self) -> None:
        """Write the record and the page as they are now. Raises OutputError."""
        with self._written:
            with self.lock:
                report, heard, reading = sealed(self._dressed(), self.log), self.heard, self.reading
            write(Folder(self.path), heard, report, reading, self.lexicon)
            with self.lock:
                self.saved = report
                self.now = self._apply(self.log.entries)

    def _keep_writing(self) -> None:
        """Write when the person pauses: the log has every change already, so nothing hangs on it."""
        while True:
            self._due.wait()
            while not self._ended:
                self._due.clear()
                if not self._due.wait(PAUSE):
                    break
            if self._ended:
                return
            # What the disk does not take now is tried again with the next change.
            with contextlib.suppress(WalkroundError):
                self.save()


def _stored(path: Path) -> r.Report | None:
    """The record that lies in the folder, where it can be read."""
    try:
        return r.read_report(path / "report.json")
    except (OSError, ValueError):
        return None


def _changes_words(entry: Entry, before: list[Entry]) -> bool:
    if entry.action in ("undo", "redo"):
        wanted = (entry.target or {}).get("entry")
        return any(e.id == wanted and e.action == "correct" for e in before)
    return entry.action == "correct"
