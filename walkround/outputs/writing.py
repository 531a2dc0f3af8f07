"""Writing what is published: beside, then renamed; a file that somebody changed is kept."""

import hashlib
import json
import os
import tempfile
from pathlib import Path

from walkround.errors import OutputError, shown
from walkround.report.record import Report

#: What we wrote last, by name and SHA-256, and under ``OF`` the hash of the record that each was made of.
STAMP = "made-by-walkround.json"
OF = "made of"


def make_folder(folder: Path) -> None:
    """Make the folder and see that it can be written. Raises OutputError."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise OutputError(
            f"{shown(folder)}: cannot be written ({error.strerror}); choose another folder with --out."
        ) from None


def record_hash(report: Report) -> str:
    """SHA-256 of a record as it is published: with its signature, without where the log of its edits stands."""
    return _sha256(report.model_copy(update={"review": None}).to_json().encode())


def write_files(folder: Path, files: dict[str, bytes], report: Report) -> list[Path]:
    """Write the files made of a record into the folder and return their paths.

    All are written beside first, so a full disk leaves the old ones whole. A file that was changed since we wrote
    it is kept as ``NAME.before``. Raises OutputError.
    """
    make_folder(folder)
    made = stamp_of(folder)
    beside: list[tuple[Path, str]] = []
    try:
        for name, data in files.items():
            handle, temporary = tempfile.mkstemp(dir=folder, prefix=f".{name}.")
            beside.append((Path(temporary), name))
            with os.fdopen(handle, "wb") as file:
                file.write(data)
            Path(temporary).chmod(0o644)
        for temporary_path, name in beside:
            path = folder / name
            if path.is_file() and made.get(name, "") != (old := _sha256(path.read_bytes())) != _sha256(files[name]):
                path.replace(_kept(folder, name, old))
            temporary_path.replace(path)
        made |= {name: _sha256(data) for name, data in files.items()}
        _write_stamp(folder, made, records_of(folder) | dict.fromkeys(files, record_hash(report)))
    except OSError as error:
        raise OutputError(
            f"{shown(folder)}: cannot be written ({error.strerror}); free some space or choose another folder."
        ) from None
    finally:
        for temporary_path, _ in beside:
            temporary_path.unlink(missing_ok=True)
    return [folder / name for name in files]


def _kept(folder: Path, name: str, sha256: str) -> Path:
    path = folder / f"{name}.before"
    return path if not path.exists() else folder / f"{name}.before-{sha256[:8]}"


def stamp_of(folder: Path) -> dict[str, str]:
    """The SHA-256 by name of what we wrote into a folder, as it was then."""
    return _texts(_stamp(folder))


def records_of(folder: Path) -> dict[str, str]:
    """The hash by name of the record that each file in a folder was made of, where it is known."""
    return _texts(_stamp(folder).get(OF))


def _stamp(folder: Path) -> dict[str, object]:
    try:
        made = json.loads((folder / STAMP).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return made if isinstance(made, dict) else {}


def _texts(table: object) -> dict[str, str]:
    if not isinstance(table, dict):
        return {}
    return {str(name): text for name, text in table.items() if isinstance(text, str)}


def _write_stamp(folder: Path, made: dict[str, str], records: dict[str, str]) -> None:
    handle, temporary = tempfile.mkstemp(dir=folder, prefix=f".{STAMP}.")
    with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
        file.write(json.dumps({**made, OF: records}, indent=1, sort_keys=True) + "\n")
    Path(temporary).chmod(0o644)
    Path(temporary).replace(folder / STAMP)


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
