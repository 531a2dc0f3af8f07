"""The walk over time: which parts were spoken of when, where the findings are, and where little can be seen."""

from collections.abc import Sequence
from dataclasses import dataclass

from walkround.report.diagram import Numbered
from walkround.report.record import PoorView, Report, Spoken

_TICK_STEPS = (5, 10, 15, 30, 60, 120, 180, 300, 600, 900, 1800, 3600)
_TICKS_AT_MOST = 6
#: Marks closer together than this, in hundredths of the width, stand below one another: 24 px on a phone.
_MARK_WIDTH = 8.5
ROW, HEAD, GAP = 26, 18, 6  #: CSS pixels: height of a row of marks, of a lane's name, and between lanes


@dataclass(frozen=True)
class Bar:
    """A stretch, in hundredths of the width."""

    x: float
    width: float


@dataclass(frozen=True)
class Mark:
    """A finding on the timeline: ``x`` in hundredths of the width, ``y`` in CSS pixels."""

    line: Numbered
    x: float
    y: int


@dataclass(frozen=True)
class Lane:
    """One group of parts: where it was spoken of, and its findings."""

    group: str
    y: int
    height: int
    bars: list[Bar]
    marks: list[Mark]


@dataclass(frozen=True)
class Shade:
    """A stretch in which little can be seen."""

    bar: Bar
    view: PoorView


@dataclass(frozen=True)
class Timeline:
    """One film. Times in seconds, heights in CSS pixels."""

    source: int
    duration: float
    height: int
    lanes: list[Lane]
    shades: list[Shade]
    ticks: list[tuple[float, float]]  #: (hundredths of the width, seconds)

    @property
    def poor_seconds(self) -> float:
        """How long little can be seen in all."""
        return sum(shade.view.end - shade.view.start for shade in self.shades)


def timelines(report: Report, lines: Sequence[Numbered]) -> list[Timeline]:
    """A timeline for each film (or transcript) that has something on it, in order."""
    transcripts = (report.transcript, *report.added_transcripts)
    made = []
    for source, media in enumerate((report.media, *report.added)):
        segments = transcripts[source].segments if source < len(transcripts) else []
        duration = media.duration or max((s.end for s in segments), default=0.0)
        if duration > 0:
            timeline = _timeline(report, lines, source, duration)
            made += [timeline] if timeline.lanes or timeline.shades else []
    return made


def _timeline(report: Report, lines: Sequence[Numbered], source: int, duration: float) -> Timeline:
    groups = list(dict.fromkeys(check.group for check in report.checklist))
    group_of = {check.part: check.group for check in report.checklist}
    spoken: dict[str, list[Spoken]] = {}
    for check in report.checklist:
        spoken.setdefault(check.group, []).extend(e for e in check.evidence if e.source == source)
    marked: dict[str, list[Numbered]] = {}
    for line in lines:
        if line.row.source == source and line.row.part in group_of:
            marked.setdefault(group_of[line.row.part], []).append(line)
            spoken.setdefault(group_of[line.row.part], []).append(line.row)
    lanes: list[Lane] = []
    y = 0
    for group in groups:
        if not spoken.get(group):
            continue
        marks, rows = _marks(marked.get(group, []), duration, y + HEAD)
        height = HEAD + max(1, rows) * ROW
        lanes.append(Lane(group, y, height, _bars(spoken[group], duration), marks))
        y += height + GAP
    shades = [Shade(_bar(view.start, view.end, duration), view) for view in report.poor_views if view.source == source]
    return Timeline(source, duration, y, lanes, shades, _ticks(duration))


def _marks(lines: Sequence[Numbered], duration: float, top: int) -> tuple[list[Mark], int]:
    """The marks of a lane, below one another where they would touch, and how many rows that takes."""
    ends: list[float] = []
    marks = []
    for line in sorted(lines, key=lambda line: (line.row.start, line.rank)):
        x = min(max(_share(line.row.start, duration), _MARK_WIDTH / 2), 100 - _MARK_WIDTH / 2)
        row = next((n for n, end in enumerate(ends) if x - end >= _MARK_WIDTH), len(ends))
        if row == len(ends):
            ends.append(x)
        ends[row] = x
        marks.append(Mark(line, round(x, 2), top + row * ROW + ROW // 2))
    return marks, len(ends)


def _bars(rows: Sequence[Spoken], duration: float) -> list[Bar]:
    joined: list[tuple[float, float]] = []
    for start, end in sorted((row.start, row.end) for row in rows):
        if joined and start <= joined[-1][1] + 0.5:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return [_bar(start, end, duration) for start, end in joined]


def _bar(start: float, end: float, duration: float) -> Bar:
    x = _share(start, duration)
    return Bar(round(x, 2), round(max(0.4, _share(end, duration) - x), 2))


def _share(time: float, duration: float) -> float:
    return 100 * min(max(time / duration, 0.0), 1.0)


def _ticks(duration: float) -> list[tuple[float, float]]:
    step = next((s for s in _TICK_STEPS if duration / s <= _TICKS_AT_MOST), _TICK_STEPS[-1])
    return [(round(_share(t, duration), 2), float(t)) for t in range(0, int(duration * 0.97) + 1, step)]
