"""Checking a walk-round's folder: is everything as it was made and signed, and if not, what was changed."""

import json
from dataclasses import dataclass, field
from pathlib import Path

from pydantic import ValidationError

from walkround import __version__
from walkround.errors import InputError, WalkroundError, shown
from walkround.media.probe import sha256_of
from walkround.narration.lexicon import Lexicon, load_lexicon
from walkround.narration.reader import Reader
from walkround.outputs.material import PUBLISH
from walkround.outputs.writing import record_hash, records_of
from walkround.pictures.hashes import named_pictures
from walkround.pipeline import completed, read_again
from walkround.report.heard import Film, Heard, how_to_remake, read_heard
from walkround.report.record import Report, read_report
from walkround.report.store import EDITS, Folder
from walkround.review.apply import applied
from walkround.review.carry import carried
from walkround.review.log import DamagedLogError, Log, effective, read_log
from walkround.review.signing import content_hash, films_of, sealed


@dataclass
class Checked:
    """What was found: ``changed`` are faults, ``fine`` what holds, ``notes`` what could not be told."""

    changed: list[str] = field(default_factory=list)
    fine: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def verify(path: Path, reader: Reader | None = None) -> Checked:
    """Check the films, the record, the edit log and the signature. Raises InputError where it cannot be done.

    A ``reader`` may be given: it takes a second to make, and is used where its lexicon is that of the folder.
    """
    found = Checked()
    report = _record(path)
    heard = read_heard(path)
    for name in Folder(path).edited():
        found.changed.append(f"{name}: is not the file that walkround wrote last.")
    for film in heard.films:
        _film(path, film, found)
    if [film.media.sha256 for film in heard.films] != films_of(report):
        found.changed.append("report.json: names other films than heard.json.")
    _pictures(path, report, found)
    _published(path / PUBLISH, report, found)
    log = _log(path, found)
    if log is not None:
        _edits(report, log, found)
        _rebuilt(path, heard, report, log, found, reader)
        _signature(report, log, found)
    return found


def _record(path: Path) -> Report:
    record = path / "report.json"
    try:
        return read_report(record)
    except FileNotFoundError:
        raise InputError(
            f"{shown(path)}: is not the folder of a walk-round (no report.json in it); give the folder that "
            "walkround report wrote."
        ) from None
    except OSError as error:
        raise InputError(f"{shown(record)}: cannot be read ({error.strerror}).") from None
    except (ValidationError, ValueError):
        raise InputError(
            f"{shown(record)}: is not a record that this walkround can read: it was damaged, or another version "
            f"wrote it; {how_to_remake(path)}."
        ) from None


def _film(path: Path, film: Film, found: Checked) -> None:
    if film.path is None or film.media.sha256 is None:
        found.notes.append("The words came from a transcript: there is no film to check.")
        return
    place = path / film.path
    name = shown(place)
    if not place.is_file():
        found.changed.append(f"{name}: the film is not there.")
    elif sha256_of(place) != film.media.sha256:
        found.changed.append(f"{name}: the film is not the one that the report was made from.")
    else:
        found.fine.append(f"{shown(place.name)}: is the film that the report was made from.")


def _pictures(path: Path, report: Report, found: Checked) -> None:
    named = named_pictures(report)
    if named and not report.pictures:
        found.notes.append(
            "The stills and clips were not checked: the record is from before they were hashed; make it again."
        )
        return
    as_made = 0
    for name in sorted({*named, *report.pictures}):
        place = path / name
        if not place.is_file():
            found.changed.append(f"{shown(name)}: the picture is not there.")
        elif sha256_of(place) != report.pictures.get(name):
            found.changed.append(f"{shown(name)}: is not the picture that the record was made with.")
        else:
            as_made += 1
    if as_made:
        found.fine.append(f"stills and clips: {as_made} are those that the record was made with.")


def _published(publish: Path, report: Report, found: Checked) -> None:
    """What was published of an earlier state of the record says what the record no longer says."""
    now = record_hash(report)
    old = sorted(n for n, record in records_of(publish).items() if record != now and (publish / n).is_file())
    if old:
        found.notes.append(
            f"{PUBLISH}: {', '.join(shown(name) for name in old)} {'were' if len(old) > 1 else 'was'} made before the "
            "last change of the record; make what you still need again."
        )


def _log(path: Path, found: Checked) -> Log | None:
    try:
        log = read_log(path)
    except DamagedLogError as error:
        found.changed.append(str(error))
        return None
    if log.torn:
        found.notes.append(f"{EDITS}: its last line was cut short and does not count; it was never acknowledged.")
    if log.entries:
        found.fine.append(f"{EDITS}: {len(log.entries)} edits, each following from the one before.")
    return log


def _edits(report: Report, log: Log, found: Checked) -> None:
    known = report.review
    if known is None:
        if log.entries:
            found.changed.append("report.json: was made without the edits in edits.jsonl.")
        return
    heads = [entry.hash for entry in log.entries]
    if known.edits > len(heads) or heads[known.edits - 1] != known.log:
        found.changed.append(f"{EDITS}: edits that the record was made with are missing or other ones.")
    elif known.edits < len(heads):
        found.changed.append(
            f"report.json: {len(heads) - known.edits} later edits in {EDITS} are not in it; "
            "open it once with walkround review."
        )


def _rebuilt(path: Path, heard: Heard, report: Report, log: Log, found: Checked, reader: Reader | None) -> None:
    try:
        lexicon: Lexicon = load_lexicon(path / heard.lexicon if heard.lexicon else None)
    except WalkroundError as error:
        found.notes.append(f"The record could not be made again to compare: {error}")
        return
    if (report.tool.version, report.tool.lexicon_sha256) != (__version__, lexicon.sha256):
        found.notes.append(
            f"The record was made by walkround {report.tool.version} with "
            f"{'this' if report.tool.lexicon_sha256 == lexicon.sha256 else 'another'} lexicon, so it was not made "
            "again to compare; its hashes were checked."
        )
        return
    if reader is not None and reader.lexicon.sha256 != lexicon.sha256:
        reader = None
    read, reading = read_again(heard, log, lexicon, reader)
    now = applied(read, effective(log.entries)[0], lexicon, reading)
    again = sealed(completed(carried(now.report, report), now, heard, lexicon), log)
    if again.to_json() == (path / "report.json").read_text(encoding="utf-8"):
        found.fine.append("report.json: made again from what was heard and the edits, it is the same.")
        return
    one, two = json.loads(report.to_json()), json.loads(again.to_json())
    other = [name for name in two if one.get(name) != two[name]]
    where = f" ({', '.join(other)})" if other else ""
    found.changed.append(f"report.json: is not what was heard and the edits give{where}.")


def _signature(report: Report, log: Log, found: Checked) -> None:
    signs = [entry for entry in log.entries if entry.action == "sign"]
    signed = report.signed
    if signed is None:
        if signs:
            found.changed.append("report.json: the signature was taken out of it.")
        else:
            found.notes.append("Nobody has signed this report off.")
        return
    matching = [e for e in signs if (e.who, e.time) == (signed.who, signed.at) and e.after["record"] == signed.record]
    if not matching:
        found.changed.append(f"report.json: its signature by {shown(signed.who)} is not in {EDITS}.")
    elif signed.withdrawn is not None:
        found.changed.append(f"The signature of {shown(signed.who)} no longer holds: {shown(signed.withdrawn)}.")
    elif matching[-1].id != len(log.entries):
        found.changed.append(f"{EDITS}: was added to after {shown(signed.who)} signed.")
    elif signed.record != content_hash(report):
        found.changed.append(f"report.json: is not the record that {shown(signed.who)} signed.")
    elif signed.films != films_of(report):
        found.changed.append(f"report.json: names other films than {shown(signed.who)} signed.")
    else:
        found.fine.append(
            f"Signed off by {shown(signed.who)}, {shown(signed.at)}: film, pictures, record and edits are those."
        )
