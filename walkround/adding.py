"""Joining a further clip to a walk-round: heard on its own, checked against the first, merged, written anew."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from walkround.checklist.contradictions import FACT_NAMES, facts_disagree
from walkround.errors import InputError, shown
from walkround.media.probe import probe
from walkround.narration.lexicon import load_lexicon
from walkround.narration.model import FactRow
from walkround.narration.reader import Reader
from walkround.pipeline import Job, Outcome, Progress, Quiet, finish, gaps_of, hear
from walkround.report.heard import Film, Heard, read_heard, transcript_of
from walkround.report.record import Report
from walkround.report.store import Folder
from walkround.timecode import clock


@dataclass(frozen=True)
class Doubt:
    """A sign that the clip is of another bike, as a sentence with both quotes."""

    text: str


def add_film(job: Job, same_bike: Callable[[list[Doubt]], bool], progress: Progress | None = None) -> Outcome:
    """Join the film (or transcript) of ``job`` to the walk-round in ``job.out``.

    ``same_bike`` is asked where mileage, plate or year do not agree; on False nothing is joined. Raises
    WalkroundError, also for a film that is in the walk-round already. Nothing is written then.
    """
    progress = progress or Quiet()
    if job.video is None and job.transcript is None:
        raise InputError("Nothing to add: give a video, or a transcript with --transcript.")
    heard = read_heard(job.out)
    folder = Folder(job.out)
    folder.check(replace_edits=job.replace_edits, options=("--replace-edits",))
    _not_there_yet(job, heard)
    own = job.out / heard.lexicon if heard.lexicon else None
    lexicon = load_lexicon(own)
    film = hear(replace(job, lexicon=own), lexicon, progress)
    _not_the_same_words(film, heard)
    new = Reader(lexicon).read(transcript_of(film.transcript)).facts
    doubts = _doubts(gaps_of(job.out), new)
    if doubts and not same_bike(doubts):
        raise InputError(
            f"{_name(film)}: was not joined, it may be of another bike ({doubts[0].text}); if it is the same one, "
            "add --same-bike."
        )
    return finish(folder, heard.model_copy(update={"films": [*heard.films, film]}), lexicon, progress)


def _not_there_yet(job: Job, heard: Heard) -> None:
    """A film is known by its hash, whatever it is called, before anybody listens to it."""
    if job.video is None:
        return
    digest = probe(job.video).sha256
    for number, film in enumerate(heard.films, 1):
        if film.media.sha256 == digest:
            raise InputError(
                f"{shown(job.video)}: is film {number} of this walk-round already "
                f"({shown(film.media.file or 'the same file')}); nothing was added."
            )


def _not_the_same_words(film: Film, heard: Heard) -> None:
    if film.media.sha256 is not None:
        return
    for number, known in enumerate(heard.films, 1):
        if known.transcript.segments == film.transcript.segments:
            raise InputError(f"These are the words of film {number} of this walk-round already; nothing was added.")


def _doubts(report: Report, new: dict[str, FactRow]) -> list[Doubt]:
    """Facts of the new film that disagree with the record: with what was said before, or given by hand."""
    known = {key: FactRow(fact.value, fact.quote or "", fact.start or 0.0) for key, fact in report.bike.items()}
    return [
        Doubt(
            f"{FACT_NAMES[key]} {one.value} in the walk-round, {two.value} in the clip "
            f"(“{shown(two.quote)}” at {clock(two.start)})"
        )
        for key, one, two in facts_disagree(known, new)
    ]


def _name(film: Film) -> str:
    return shown(film.media.file or "The transcript")
