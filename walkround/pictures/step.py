"""The step from a record without pictures to one with them: stills, clips, poor views, what was not shown."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from walkround.errors import MediaError
from walkround.media.clips import Source, plan_cut
from walkround.media.frames import PictureTrack, threads_for
from walkround.media.memory import hand_back
from walkround.media.stills import jpeg, pictures_at, upright, write_whole
from walkround.media.views import View
from walkround.pictures.choose import Choice, Want, choose
from walkround.pictures.covering import Covering
from walkround.pictures.looking import Looked, look
from walkround.pictures.poor import Poor, poor_stretches, reasons, usual_sharpness
from walkround.pictures.store import read_kept, write_kept
from walkround.report import record as r
from walkround.report.heard import Film, Heard
from walkround.timecode import clock

STILLS, CLIPS = "stills", "clips"
#: Groups of the checklist that have nothing to show.
_UNSEEN_GROUPS = frozenset({"paperwork", "running"})


class Progress(Protocol):
    """Where the step tells how far it is."""

    def stage(self, name: str, total: float | None = None) -> None:
        """A stage begins."""

    def done(self, amount: float) -> None:
        """So much of it is done."""


@dataclass
class _Made:
    """What one film yields for the record."""

    choices: dict[str, Choice]
    clips: dict[str, str]
    poor: list[Poor]
    warnings: list[str]
    names: dict[int, str]  #: pts to the still's file, for those that could be written


def with_pictures(report: r.Report, heard: Heard, folder: Path, progress: Progress) -> r.Report:
    """The record with its pictures; their files are written under ``folder``. The record given is left alone.

    Films without a picture track, or that cannot be found any more, leave their rows without pictures, with a warning
    where that is news. Raises OutputError when the disk does not take the files.
    """
    hand_back()
    report = report.model_copy(deep=True)
    rows = list(_rows(report))
    kept = read_kept(folder)
    seen: dict[str, Looked] = {}
    for source, film in enumerate(heard.films):
        if film.path is None or not film.media.width or film.media.sha256 is None:
            continue
        wants = [want for want, _ in rows if want.source == source]
        try:
            cover = Covering(folder, film, [c for c in heard.covers if c.source == source])
            made = _film(folder, film, wants, kept, seen, progress, cover)
        except MediaError as error:
            report.warnings.append(f"No pictures of this film: {error}")
            continue
        _fill(report, rows, source, made)
    if seen:
        write_kept(folder, seen)
    return report


def _rows(report: r.Report) -> Iterator[tuple[Want, r.Finding | r.ChecklistRow]]:
    """The rows that want a picture: all findings, and what was said to be in order."""
    timings = [t.timing == "estimated" for t in (report.transcript, *report.added_transcripts)]
    for f in (*report.findings, *report.unplaced):
        yield Want(f.id, f.source, f.start, f.end, f.part, timings[f.source]), f
    for number, row in enumerate(report.checklist):
        if row.state == "clear" and row.evidence and row.group not in _UNSEEN_GROUPS:
            e = row.evidence[0]
            yield Want(f"c{number}", e.source, e.start, e.end, row.part, timings[e.source], clip=False), row


def _film(folder: Path, film: Film, wants: Sequence[Want], kept: dict[str, Looked], seen: dict[str, Looked],
          progress: Progress, cover: Covering) -> _Made:  # fmt: skip
    sha = film.media.sha256 or ""
    path = folder / (film.path or "")
    duration = film.media.duration or 0.0
    progress.stage("Looking at the pictures", duration)
    looked = seen[sha] = look(path, wants, kept.get(sha), progress.done)
    usual = usual_sharpness(looked.views)
    why = reasons(looked.views, usual)
    poor = poor_stretches(looked.views, looked.picture_end, duration)
    choices = {w.key: choose(w, looked.views, why, poor, wants) for w in wants}
    shown = [v for w in wants for v in choices[w.key].views[: None if w.clip else 1]]  # what is in order has one still
    names = _stills(folder, path, film, looked, shown, cover)
    source = Source(
        path, duration, tuple(looked.time(key) for key in looked.keys), looked.codec, looked.pixels, looked.offset,
        tuple(looked.bad), threads_for(looked.width, looked.height),
    )  # fmt: skip
    clips = _clips(folder, sha, source, [w for w in wants if w.clip and not w.estimated], progress, cover)
    cover.remove_uncovered(STILLS, CLIPS)
    return _Made(choices, clips, poor, _warnings(film, looked.bad), names)


def _stills(
    folder: Path, path: Path, film: Film, looked: Looked, views: Iterable[View], cover: Covering
) -> dict[int, str]:
    sha = film.media.sha256 or ""
    times = {v.pts: v.time for v in views}
    names = {pts: f"{STILLS}/{sha[:8]}-{round(time * 1000):08}{cover.mark}.jpg" for pts, time in times.items()}
    missing = [pts for pts, name in names.items() if not (folder / name).is_file()]
    if missing:
        with PictureTrack(path) as track:
            for pts, frame in pictures_at(track, missing, looked.keys):
                write_whole(folder / names[pts], _bytes(jpeg(cover.still(upright(frame, film.media.rotation or 0)))))
            looked.note_bad(track.bad)
    return {pts: name for pts, name in names.items() if (folder / name).is_file()}


def _bytes(data: bytes) -> Callable[[Path], None]:
    def fill(path: Path) -> None:
        path.write_bytes(data)

    return fill


def _clips(folder: Path, sha: str, source: Source, wants: Sequence[Want], progress: Progress,
           cover: Covering) -> dict[str, str]:  # fmt: skip
    cuts = {w.key: plan_cut(source, w.start, w.end) for w in wants}
    names = {
        c: f"{CLIPS}/{sha[:8]}-{round(c.start * 1000):08}-{round(c.end * 1000):08}{cover.mark}.mp4"
        for c in cuts.values()
    }
    missing = [c for c, name in names.items() if not (folder / name).is_file()]
    if missing:
        hand_back()  # ffmpeg takes as much as the looking took
        progress.stage("Cutting clips", len(missing))
    for number, cut in enumerate(missing):
        progress.done(number)
        if not cover.clip(source, cut, folder / names[cut]):
            names.pop(cut)
    return {key: names[cut] for key, cut in cuts.items() if cut in names}


def _warnings(film: Film, bad: Sequence[float]) -> list[str]:
    if not bad:
        return []
    return [
        f"{film.media.file}: the pictures are damaged near {clock(min(bad))}"
        + (f" and up to {clock(max(bad))}" if clock(max(bad)) != clock(min(bad)) else "")
        + "; what could not be decoded was passed over."
    ]


def _fill(report: r.Report, rows: Sequence[tuple[Want, r.Finding | r.ChecklistRow]], source: int, made: _Made) -> None:
    for want, row in rows:
        if want.source != source:
            continue
        choice = made.choices[want.key]
        stills = [r.Still(file=made.names[v.pts], time=round(v.time, 3)) for v in choice.views if v.pts in made.names]
        if stills:
            row.still, row.still_at = stills[0].file, stills[0].time
        row.not_shown = choice.not_shown
        if isinstance(row, r.Finding):
            row.other_stills, row.clip = stills[1:], made.clips.get(want.key)
    report.poor_views += [
        r.PoorView(start=round(p.start, 2), end=round(p.end, 2), reason=p.reason, source=source) for p in made.poor
    ]
    report.warnings += made.warnings
