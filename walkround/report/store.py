"""The folder of a walk-round: written beside and renamed, never half-written, never over somebody's edits."""

import hashlib
import json
import os
import tempfile
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from walkround.errors import OutputError, shown

#: What we wrote last, by name and SHA-256: a file that differs was changed by hand.
STAMP = "made-by-walkround.json"
#: Files that a run writes over.
OURS = ("heard.json", "report.json", "report.html")
#: Where a person's changes are kept, one line a change. Nothing here writes over it.
EDITS = "edits.jsonl"


@dataclass(frozen=True)
class Folder:
    """A report folder at ``path``; it need not exist yet."""

    path: Path

    def check(self, *, replace_edits: bool = False, options: Collection[str] = ("--out", "--replace-edits")) -> None:
        """Make the folder and make sure that it can be written and holds nothing changed by hand that would be lost.

        Raises OutputError, which advises the ``options`` that the command has. With ``replace_edits`` edits are no
        obstacle; ``write`` then keeps them.
        """
        try:
            self.path.mkdir(parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(dir=self.path):
                pass
        except OSError as error:
            advice = "choose another folder with --out" if "--out" in options else "make it writable"
            raise OutputError(f"{shown(self.path)}: cannot be written ({error.strerror}); {advice}.") from None
        edited = self.edited()
        if edited and not replace_edits:
            raise OutputError(
                f"{shown(self.path / edited[0])}: was changed by hand since it was made; {_mend(edited[0], options)}."
            )

    def edited(self) -> list[str]:
        """Files of ours that somebody changed since we wrote them."""
        made = self._stamp()
        found = []
        for name in OURS:
            path = self.path / name
            if path.is_file() and _sha256(path.read_bytes()) not in made.get(name, []):
                found.append(name)
        return found

    @property
    def reviewed(self) -> bool:
        """Whether a person has worked on the report here. Making it anew keeps that work."""
        return (self.path / EDITS).is_file()

    def set_review_aside(self) -> None:
        """Keep a person's work beside, under another name, where it is of another film. Raises OutputError."""
        try:
            if self.reviewed:
                (self.path / EDITS).replace(self._kept(EDITS))
        except OSError as error:
            raise OutputError(f"{shown(self.path / EDITS)}: cannot be moved ({error.strerror}).") from None

    def write(self, files: dict[str, str]) -> None:
        """Write all files beside, then rename each: a reader never sees half a file.

        Files that somebody changed are kept beside as ``NAME.before``. Raises OutputError when the disk does not
        take the new ones; those from before are then still whole.
        """
        before, edited = self._stamp(), self.edited()
        # The stamp goes first and knows the new file and the one that lies there: a run cut short, or several in
        # a row, is not taken for somebody's edits.
        made = {
            name: list(dict.fromkeys([_sha256(text.encode()), *self._lying(name, before.get(name, []))]))
            for name, text in files.items()
        }
        texts = {STAMP: json.dumps(made, indent=1) + "\n", **files}
        beside: list[tuple[str, str]] = []
        try:
            for name, text in texts.items():
                handle, temporary = tempfile.mkstemp(dir=self.path, prefix=f".{name}.")
                beside.append((temporary, name))
                with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                    file.write(text)
                Path(temporary).chmod(0o644)
            for name in edited:
                (self.path / name).replace(self._kept(name))
            for temporary, name in beside:
                Path(temporary).replace(self.path / name)
        except OSError as error:
            raise OutputError(
                f"{shown(self.path)}: cannot be written ({error.strerror}); free some space or choose "
                "another folder with --out."
            ) from None
        finally:
            for temporary, _ in beside:
                Path(temporary).unlink(missing_ok=True)

    def _lying(self, name: str, known: list[str]) -> list[str]:
        """The hash of the file that lies there, if it is known to be ours."""
        path = self.path / name
        lying = _sha256(path.read_bytes()) if path.is_file() else ""
        return [lying] if lying in known else []

    def _kept(self, name: str) -> Path:
        number, path = 1, self.path / f"{name}.before"
        while path.exists():
            number += 1
            path = self.path / f"{name}.before-{number}"
        return path

    def _stamp(self) -> dict[str, list[str]]:
        try:
            made = json.loads((self.path / STAMP).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        if not isinstance(made, dict):
            return {}
        return {str(name): hashes for name, hashes in made.items() if isinstance(hashes, list)}


def _mend(name: str, options: Collection[str]) -> str:
    """What to do about a file that was changed by hand, with the options that the command has."""
    ways = ["choose another folder with --out"] if "--out" in options else []
    if "--replace-edits" in options:
        ways.append("add --replace-edits to write over it (the changed file is kept beside it)")
    if not ways:
        ways = ["put it back as it was"]
        ways.append(
            "make the report again" if name == OURS[0] else "delete it, and it is made again from what was heard"
        )
    return ", or ".join(ways)


def write_file(path: Path, text: str, advice: str = "choose another file") -> None:
    """Write one file beside, on the disk before it is renamed. Raises OutputError, which ends in the advice."""
    beside: Path | None = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(
            "w", dir=path.parent, prefix=f".{path.name}.", encoding="utf-8", newline="\n", delete=False
        ) as file:
            beside = Path(file.name)
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(0o644)
        beside.replace(path)
    except OSError as error:
        raise OutputError(f"{shown(path)}: cannot be written ({error.strerror}); {advice}.") from None
    finally:
        if beside:
            beside.unlink(missing_ok=True)


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
