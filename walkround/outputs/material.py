"""What a command is given: the folder of a walk-round, or a film whose report is made first."""

import hashlib
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from walkround.errors import InputError, shown
from walkround.narration.lexicon import Lexicon, load_lexicon
from walkround.pipeline import Job, Progress, make_report
from walkround.report.build import names_of
from walkround.report.heard import HEARD, how_to_remake, read_heard
from walkround.report.record import Report, read_report
from walkround.report.store import STAMP, Folder
from walkround.review.signing import content_hash

#: Where in a walk-round's folder the things to publish are put.
PUBLISH = "publish"


@dataclass(frozen=True)
class Material:
    """A record, the folder that its pictures are seen from, and its films where they are known."""

    report: Report
    folder: Path
    films: tuple[Path | None, ...]

    def film(self, source: int) -> Path:
        """A film of the record. Raises InputError where it is not known or not there."""
        path = self.films[source] if source < len(self.films) else None
        if path is None or not path.is_file():
            where = f" at {shown(path)}" if path else ""
            raise InputError(
                f"{shown(self.folder)}: its film is not there{where}; put it back, or make the report anew."
            )
        return path

    def lexicon(self) -> Lexicon:
        """The lexicon that the record was made with; ours where the dealer's own is not there (any more)."""
        own = read_heard(self.folder).lexicon if (self.folder / HEARD).is_file() else None
        return load_lexicon(self.folder / own if own and (self.folder / own).is_dir() else None)


def material(given: Path, out: Path | None, progress: Progress) -> Material:
    """What ``given`` holds: a folder with a record, the record itself, or a film.

    The report of a film is made in ``out``, else in ``NAME-report`` beside it; one that is there already and is of
    the same film is used as it is. Raises WalkroundError.
    """
    if given.is_dir() or given.suffix.lower() == ".json":
        return _read(given)
    folder = out or given.with_name(f"{given.stem}-report")
    if not _made_from(folder, given):
        make_report(Job(given, folder), progress)
    return _read(folder)


def _read(given: Path) -> Material:
    path = given / "report.json" if given.is_dir() else given
    try:
        report = read_report(path)
    except FileNotFoundError:
        raise InputError(
            f"{shown(given)}: holds no report.json; give the folder of a walk-round, or its film."
        ) from None
    except OSError as error:
        raise InputError(f"{shown(path)}: cannot be read ({error.strerror}).") from None
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(step) for step in first["loc"]) or "the whole file"
        raise InputError(
            f"{shown(path)}: is no record of a walk-round ({where}: {first['msg']}); "
            f"{how_to_remake(path.parent)}."
        ) from None
    if not report.names.parts:  # a record from before names were kept in it
        report.names = names_of(load_lexicon())
    return Material(report, path.parent, _films(path.parent))


def doubt_of(made: Material) -> str | None:
    """A warning where the record is not as it was made or signed: what is published then says what it now says."""
    signed = made.report.signed
    if signed and signed.withdrawn:
        return f"Warning: the signature of {shown(signed.who)} no longer holds: {shown(signed.withdrawn)}."
    record = shown(made.folder / "report.json")
    if signed and signed.record != content_hash(made.report):
        return f"Warning: {record} was changed after {shown(signed.who)} signed it; see walkround verify."
    if (made.folder / STAMP).is_file() and "report.json" in Folder(made.folder).edited():
        return f"Warning: {record} was changed by hand since it was made; what it now says is published."
    return None


def _films(folder: Path) -> tuple[Path | None, ...]:
    if not (folder / HEARD).is_file():
        return ()
    return tuple(folder / film.path if film.path else None for film in read_heard(folder).films)


def _made_from(folder: Path, film: Path) -> bool:
    """Whether the folder holds the report of this very film."""
    if not (folder / "report.json").is_file() or not film.is_file():
        return False
    try:
        known = _read(folder).report.media.sha256
        with film.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest() == known
    except (OSError, InputError):
        return False
