"""The one path from a video to a report: media, transcript, statements, record, page."""

import os
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Protocol

from walkround.checklist.cover import cover
from walkround.checklist.given import Given
from walkround.errors import InputError, MediaError, OutputError, WalkroundError, shown
from walkround.media.probe import MediaInfo, probe, sha256_of
from walkround.media.sound import read_sound
from walkround.narration.joining import joined
from walkround.narration.lexicon import GROUP_NAMES, Lexicon, load_lexicon
from walkround.narration.model import Reading
from walkround.narration.reader import Reader
from walkround.pictures.hashes import hashed_pictures
from walkround.pictures.step import with_pictures
from walkround.report.build import build_report
from walkround.report.heard import (
    HEARD,
    Film,
    Heard,
    how_to_remake,
    media_row,
    read_heard,
    transcript_of,
    transcript_row,
)
from walkround.report.page import render_page
from walkround.report.record import SCHEMA_VERSION, Fact, Report, read_report
from walkround.report.respelled import respelled
from walkround.report.store import EDITS, Folder
from walkround.report.titles import retitle
from walkround.review.apply import Applied, applied
from walkround.review.carry import with_chosen
from walkround.review.log import Log, effective, read_log, read_whole_log
from walkround.review.signing import sealed
from walkround.review.words import put_right
from walkround.speech.imported import read_transcript
from walkround.speech.transcribe import HOTWORDS_BY_DEFAULT, SpeechOptions, fit_hotwords, transcribe
from walkround.speech.transcript import Transcript
from walkround.speech.weights import find_weights
from walkround.trade.check import trade_checked
from walkround.trade.glossary import terms_of


class Progress(Protocol):
    """Where the pipeline tells how far it is."""

    def stage(self, name: str, total: float | None = None) -> None:
        """A stage begins; ``total`` is its size in seconds of recording where it is known."""

    def done(self, amount: float) -> None:
        """So much of the present stage is done."""

    def say(self, text: str) -> None:
        """Something that the person should know now."""


class Quiet:
    """A Progress that says nothing."""

    def stage(self, name: str, total: float | None = None) -> None:
        """Nothing."""

    def done(self, amount: float) -> None:
        """Nothing."""

    def say(self, text: str) -> None:
        """Nothing."""


@dataclass(frozen=True)
class Job:
    """What to make a report of, and how. ``video`` may be None where a transcript is given."""

    video: Path | None
    out: Path
    transcript: Path | None = None
    model: str | None = None
    lexicon: Path | None = None
    speech: SpeechOptions = field(default_factory=SpeechOptions)
    hotwords: bool = HOTWORDS_BY_DEFAULT
    replace_edits: bool = False
    given: Given = field(default_factory=Given)
    supplied: dict[str, str] = field(default_factory=dict)  #: what a person supplied: country, registration, vin
    pictures: bool = True


@dataclass(frozen=True)
class Outcome:
    """What was made: the record, the reading it came from, and where both pages lie."""

    report: Report
    reading: Reading
    record_path: Path
    page_path: Path


def make_report(job: Job, progress: Progress | None = None) -> Outcome:
    """Run the whole path and write the record and the page into ``job.out``.

    Raises WalkroundError for everything a person can mend; nothing is written then.
    """
    progress = progress or Quiet()
    if job.video is None and job.transcript is None:
        raise WalkroundError("Nothing to read: give a video, or a transcript with --transcript.")
    folder = Folder(job.out)
    new = not job.out.exists()
    try:
        return _made(job, folder, progress)
    except WalkroundError:
        if new and job.out.is_dir() and not any(job.out.iterdir()):
            job.out.rmdir()  # nothing came of it
        raise


def _made(job: Job, folder: Folder, progress: Progress) -> Outcome:
    folder.check(replace_edits=job.replace_edits)
    _keep_review(folder, job)
    if job.lexicon is None and folder.reviewed and not job.replace_edits and (own := read_heard(job.out).lexicon):
        job = replace(job, lexicon=job.out / own)  # words that were taught while this report was looked over
    lexicon = load_lexicon(job.lexicon)
    job.given.check(lexicon)
    film = hear(job, lexicon, progress)
    if job.replace_edits:
        folder.set_review_aside()
    heard = heard_again(job, film)
    heard.lexicon = _seen_from(job.lexicon, job.out) if job.lexicon else None
    heard.pictures = job.pictures
    heard = job.given.put_into(heard, lexicon)
    heard.given |= {key: Fact(value=value, given=True) for key, value in job.supplied.items()}
    return finish(folder, heard, lexicon, progress, afresh=job.replace_edits)


def heard_again(job: Job, film: Film) -> Heard:
    """What the folder knows of this film from before, with the film heard anew: what was given by hand and the
    further films stay. Raises OutputError where the folder belongs to another film and holds more than its words."""
    try:
        before = read_heard(job.out)
    except WalkroundError:
        return Heard(films=[film])
    if before.films and _same_film(before.films[0], film):
        return before.model_copy(update={"films": [film, *before.films[1:]]})
    if (len(before.films) > 1 or before.given or before.not_fitted) and not job.replace_edits:
        raise OutputError(
            f"{shown(job.out)}: holds the walk-round of another film, with things given by hand or added; choose "
            "another folder with --out, or add --replace-edits to write over it."
        )
    return Heard(films=[film])


def _same_film(one: Film, two: Film) -> bool:
    """By the file's hash; words without a film are known by themselves."""
    if one.media.sha256 is None or two.media.sha256 is None:
        return one.media.sha256 is two.media.sha256 and one.transcript.segments == two.transcript.segments
    return one.media.sha256 == two.media.sha256


def hear(job: Job, lexicon: Lexicon, progress: Progress) -> Film:
    """Look at the film and listen to it (or read its transcript)."""
    media = None
    if job.video is not None:
        progress.stage("Looking at the video")
        media = probe(job.video)
    if job.transcript is not None:
        progress.stage("Reading the transcript")
        transcript = read_transcript(job.transcript, media.duration if media else None)
    else:
        assert media is not None
        transcript = listen(media, job, lexicon, progress)
    return Film(
        media=media_row(media),
        path=_seen_from(job.video, job.out) if job.video else None,
        transcript=transcript_row(transcript),
        warnings=list(transcript.warnings),
    )


def finish(folder: Folder, heard: Heard, lexicon: Lexicon, progress: Progress, *, afresh: bool = False) -> Outcome:
    """From what was heard to the written folder: everything that needs no listening, so it takes a moment."""
    progress.stage("Reading the narration")
    log = read_log(folder.path) if afresh else read_whole_log(folder.path)
    read, reading = read_again(heard, log, lexicon)
    now = applied(read, effective(log.entries)[0], lexicon, reading)
    report = sealed(dressed(now, heard, lexicon, folder, progress), log)
    progress.stage("Writing the report")
    return write(folder, heard, report, reading, lexicon)


def read_again(heard: Heard, log: Log, lexicon: Lexicon, reader: Reader | None = None) -> tuple[Report, Reading]:
    """The record as it is read, with the words in it that a person put right; no row is edited yet."""
    corrected, corrections = put_right(heard, effective(log.entries)[0])
    report, reading = assemble(corrected, lexicon, reader)
    return report.model_copy(update={"corrections": corrections}), reading


def dressed(now: Applied, heard: Heard, lexicon: Lexicon, folder: Folder, progress: Progress) -> Report:
    """The edited record with everything that follows from the edits: its pictures first, which look at the film."""
    report = with_pictures(now.report, heard, folder.path, progress) if heard.pictures else now.report
    report = completed(report, now, heard, lexicon)
    return report.model_copy(update={"pictures": hashed_pictures(report, folder.path)})


def completed(report: Report, now: Applied, heard: Heard, lexicon: Lexicon) -> Report:
    """The edited record, its pictures in it, with what follows from both. Pure and quick.

    What is missing comes last: pictures and a person's edits change it.
    """
    report = with_chosen(report, now.pictures)
    report = report.model_copy(update={"chapters": [chapter.model_copy() for chapter in report.chapters]})
    retitle(report)
    return cover(report, lexicon, heard)


def write(folder: Folder, heard: Heard, report: Report, reading: Reading, lexicon: Lexicon) -> Outcome:
    """Write the folder of a walk-round. Raises OutputError."""
    page = page_of(report, lexicon, heard.films[0].path, [film.path for film in heard.films[1:]])
    folder.write({HEARD: heard.to_json(), "report.json": report.to_json(), "report.html": page})
    return Outcome(report, reading, folder.path / "report.json", folder.path / "report.html")


def assemble(heard: Heard, lexicon: Lexicon, reader: Reader | None = None) -> tuple[Report, Reading]:
    """The record of what was heard, and the reading that it was made from. Writes nothing.

    What is missing is not in it yet: that is looked for once, when edits and pictures are in (``completed``).
    A ``reader`` over the same lexicon may be given: it takes a second to make.
    """
    reader = reader or Reader(lexicon)
    docs = [reader.parse(transcript_of(film.transcript)) for film in heard.films]
    reading = joined([reader.read_doc(doc) for doc in docs], lexicon)
    spelled = [row for source, doc in enumerate(docs) for row in respelled(doc, lexicon, source)]
    report = trade_checked(build_report(lexicon, heard, reading, _warnings(heard, reading), spelled), lexicon)
    return report, reading


def rebuild(path: Path, progress: Progress | None = None) -> Outcome:
    """Build the record and the page of a walk-round's folder anew from what was heard. Raises WalkroundError."""
    heard = read_heard(path)
    lexicon = load_lexicon(path / heard.lexicon if heard.lexicon else None)
    return finish(Folder(path), heard, lexicon, progress or Quiet())


def gaps_of(path: Path, given: Given | None = None) -> Report:
    """The record of a walk-round's folder with its gaps, at once where nothing new is given.

    What is given (kind, not fitted, checklist) is kept in the folder, which is then written anew. Raises
    WalkroundError.
    """
    heard = read_heard(path)
    if given is None or not given.anything:
        record = path / "report.json"
        try:
            report = read_report(record)
        except FileNotFoundError:
            return rebuild(path).report
        except OSError as error:
            raise InputError(f"{shown(record)}: cannot be read ({error.strerror}); make it readable.") from None
        except ValueError:
            raise InputError(
                f"{shown(record)}: was damaged or changed; {how_to_remake(path)}."
            ) from None
        if report.schema_version == SCHEMA_VERSION:
            return report
    lexicon = load_lexicon(path / heard.lexicon if heard.lexicon else None)
    heard = (given or Given()).put_into(heard, lexicon)
    folder = Folder(path)
    folder.check(options=())
    return finish(folder, heard, lexicon, Quiet()).report


def listen(media: MediaInfo, job: Job, lexicon: Lexicon, progress: Progress) -> Transcript:
    """The words of a video, recognised on this computer."""
    if not media.has_sound:
        raise MediaError(
            f"{shown(media.path)}: has no sound track; give a video with the narration in it, "
            "or its words with --transcript."
        )
    progress.stage("Reading the sound", media.duration)
    sound = read_sound(media)
    weights = find_weights(job.model, say=progress.say)
    speech = job.speech
    if job.hotwords:
        speech = replace(speech, hotwords=fit_hotwords(hotwords(lexicon), weights))
    progress.stage(f"Listening ({weights.name})", media.duration)
    return transcribe(sound, weights, speech, progress.done)


def hotwords(lexicon: Lexicon) -> list[str]:
    """The words that the recogniser should lean towards, the most wanted first."""
    return [str(word) for word in lexicon.trees["hotwords.toml"]["words"]]


def page_of(report: Report, lexicon: Lexicon, video_href: str | None, added_hrefs: Sequence[str | None] = ()) -> str:
    """The page of a record. ``added_hrefs`` are the paths of the further films, in order."""
    return render_page(
        report,
        part_names={part.id: part.name for part in lexicon.parts.values()},
        group_names=GROUP_NAMES,
        safety_parts={part.id for part in lexicon.parts.values() if part.safety},
        defect_names={defect.id: defect.name for defect in lexicon.defects.values()},
        video_href=video_href,
        added_hrefs=added_hrefs,
        terms=terms_of(report, lexicon),
        places=lexicon.trees["places.toml"],
    )


def _keep_review(folder: Folder, job: Job) -> None:
    """A person's edits survive a new reading of their film; those of another film are not laid over this one."""
    if job.replace_edits:
        return
    if not folder.reviewed:
        read_whole_log(folder.path)  # a log that was removed is told before the listening, not after it
        return
    known = read_heard(folder.path).films[0].media.sha256 if (folder.path / HEARD).is_file() else None
    if known is None or job.video is None or sha256_of(job.video) != known:
        raise OutputError(
            f"{shown(folder.path / EDITS)}: holds a person's edits, not known to be of this film; choose another "
            "folder with --out, or add --replace-edits to start afresh (the edits are kept beside)."
        )
    read_whole_log(folder.path)  # and so is a damaged one


def _seen_from(path: Path, folder: Path) -> str:
    """A path as seen from a folder, with forward slashes."""
    try:
        return Path(os.path.relpath(path.resolve(), folder.resolve())).as_posix()
    except ValueError:  # another drive on Windows
        return path.resolve().as_posix()


def _warnings(heard: Heard, reading: Reading) -> list[str]:
    if any(film.transcript.segments for film in heard.films) and not reading.named:
        return ["No part of the motorcycle was named in these words; is it the right recording?"]
    return []
