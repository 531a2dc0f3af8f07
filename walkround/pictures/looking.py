"""Looking through a film: a glance everywhere, a close look where rows or doubts ask for it, within a budget.

Decoding is what costs. The glance decodes two pictures at a keyframe. A close look decodes a whole stretch from
keyframe to keyframe. It is given first to rows for which the glance found no good picture, whatever it costs, and to
where hardly anything changes, which is cheap; then, within the budget, to where the view turns from good to poor, to
where the sizes of the packets say that something happens, and to the other rows. A short or small film is looked at
closely everywhere.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from walkround.media.frames import Packets, Picture, PictureTrack
from walkround.media.views import Eye, View, grey
from walkround.pictures.choose import Want
from walkround.pictures.poor import reasons, usual_sharpness

#: Pixels that may be decoded for close looks beyond the rows' need: a share of the film's, but at least so many.
BUDGET_SHARE, BUDGET_PIXELS = 0.04, 0.6e9
SAMPLE_SECONDS = 0.12  #: in a close look, a picture is measured this often
#: Seconds between two glances near rows and elsewhere: keyframes are the dearest pictures to decode.
GLANCE_NEAR, GLANCE_ELSEWHERE = 0.8, 1.8
_ENOUGH = 2  #: good pictures near the words that spare a row a close look
_VERY_ODD = 8.0
_ODD = 3.0  #: packets of a stretch are odd where they differ from the film's usual by this factor
_BIN = 0.4  #: seconds over which packet sizes are summed
Span = tuple[int, int]


@dataclass
class Looked:
    """What was seen of a film. ``spans`` are the stretches (pts from keyframe to keyframe) looked at closely."""

    unit: float
    zero: int
    width: int
    height: int
    codec: str
    pixels: str | None
    offset: float  #: seconds from the beginning of the file on its own clock to the start of the video
    picture_end: float  #: seconds at which the last picture ends
    keys: list[int]  #: pts of the keyframes
    counts: list[int]  #: pictures in each stretch
    oddness: list[float]  #: by which factor each stretch's packets differ from the film's usual
    quiet: list[float]  #: by which factor they fall below it
    views: list[View] = field(default_factory=list)
    spans: list[Span] = field(default_factory=list)
    asked: list[list[float]] = field(default_factory=list)  #: start and end of the rows that it was looked at for
    bad: list[float] = field(default_factory=list)  #: seconds near which something could not be decoded

    def stretches(self) -> list[Span]:
        """From each keyframe to the next; the last one is open."""
        return list(zip(self.keys, [*self.keys[1:], 1 << 62], strict=True))

    def note_bad(self, times: Iterable[float]) -> None:
        """Remember where something could not be decoded."""
        self.bad = sorted({*self.bad, *(round(t, 2) for t in times)})

    def time(self, pts: int) -> float:
        """Seconds from the start of the video."""
        return (pts - self.zero) * self.unit


def look(path: Path, wants: Sequence[Want], kept: Looked | None = None,
         done: Callable[[float], None] = lambda _: None) -> Looked:  # fmt: skip
    """See enough of a film to choose pictures for the rows. Raises MediaError.

    ``kept`` is what was seen before; where it was for the same rows the film is not opened.
    """
    asked = [[w.start, w.end] for w in wants]
    if kept is not None and kept.asked == asked:
        return kept
    with PictureTrack(path) as track:
        seen = kept or _glance(track, wants, done)
        for wanted, spends in ((_hungry, False), (_quiet, False), (_doubtful, True), (_near, True), (_all, True)):
            spans = [s for s in wanted(seen, wants) if s not in set(seen.spans)]
            _look_closely(track, seen, _affordable(seen, spans) if spends else spans)
        seen.note_bad(track.bad)
    seen.asked = asked
    return seen


def _glance(track: PictureTrack, wants: Sequence[Want], done: Callable[[float], None]) -> Looked:
    packets = Packets(track.unit, track.zero)
    windows = [(w.start - 1.0, w.end + 2.0) for w in wants]

    def spacing(time: float) -> float:
        return GLANCE_NEAR if any(begin <= time <= end for begin, end in windows) else GLANCE_ELSEWHERE

    eye = Eye()
    views: list[View] = []
    first: Picture | None = None
    for picture in track.glance(packets, spacing):
        done(picture.time)
        if picture.damaged:
            first = None
            continue
        if first is None or picture.time - first.time > 0.5:
            first, held = picture, grey(picture.frame)
            continue
        # The keyframe is the better picture of the two; its neighbour tells of the movement.
        views.append(eye.look(first.time, first.pts, held, (grey(picture.frame), picture.time - first.time)))
        first = None
    keys = packets.key_pts()
    if not keys:
        keys = sorted(packets.pts)[:1]
    times = packets.times()
    step = float(np.median(np.diff(times))) if len(times) > 1 else 0.04
    order = np.searchsorted(keys, np.array(packets.pts), side="right") - 1
    counts = np.bincount(np.maximum(order, 0), minlength=len(keys))
    return Looked(
        track.unit, track.zero, track.width, track.height, track.codec, track.pixels,
        offset=track.start - track.begin,
        picture_end=float(times[-1]) + step if len(times) else 0.0,
        keys=keys, counts=[int(c) for c in counts], oddness=_oddness(packets, keys, both=True),
        quiet=_oddness(packets, keys, both=False), views=views,
    )  # fmt: skip


def _oddness(packets: Packets, keys: list[int], *, both: bool) -> list[float]:
    """How far the packets of each stretch depart from the film's usual: whip pans swell them, black shrinks them.

    The factor of the oddest moment; with ``both`` in either direction, otherwise of those that fall below.
    """
    pts, sizes, is_key = (np.array(v) for v in (packets.pts, packets.sizes, packets.keys))
    if not len(pts) or is_key.all():
        return [1.0] * len(keys)
    bins = ((pts - packets.zero) * packets.unit // _BIN).astype(int)
    bins -= bins.min()
    between = ~is_key.astype(bool)
    total = np.bincount(bins[between], sizes[between])
    number = np.bincount(bins[between])
    mean = np.where(number > 0, total / np.maximum(number, 1), np.nan)
    usual = np.nanmedian(mean)
    apart = np.log(max(usual, 1) / np.maximum(mean, 1))
    factor = np.nan_to_num(np.exp(np.abs(apart) if both else apart), nan=1.0)
    odd = np.ones(len(keys))
    owner = np.maximum(np.searchsorted(keys, pts[between], side="right") - 1, 0)
    np.maximum.at(odd, owner, factor[bins[between]])
    return [round(float(o), 2) for o in odd]


def _hungry(seen: Looked, wants: Sequence[Want]) -> list[Span]:
    """Stretches around rows for which there are too few good pictures so far."""
    why = reasons(seen.views, usual_sharpness(seen.views))
    good = [v.time for v, w in zip(seen.views, why, strict=True) if w is None]
    spans: set[Span] = set()
    for want in wants:
        begin, end = want.start - 0.5, want.end + 1.5
        if sum(begin <= t <= end for t in good) < _ENOUGH:
            spans.update(_overlapping(seen, begin - 0.5, end + 0.5))
    return sorted(spans)


def _quiet(seen: Looked, wants: Sequence[Want]) -> list[Span]:
    """Stretches where hardly anything changes, frozen or black; they cost next to nothing to decode."""
    return [s for q, s in zip(seen.quiet, seen.stretches(), strict=True) if q >= _VERY_ODD]


def _doubtful(seen: Looked, wants: Sequence[Want]) -> list[Span]:
    """Stretches of very odd packets, then those where the view turns, then those of odd packets."""
    why = reasons(seen.views, usual_sharpness(seen.views))
    turns: set[Span] = set()
    for i in range(1, len(seen.views)):
        if why[i] != why[i - 1]:
            turns.update(_overlapping(seen, seen.views[i - 1].time, seen.views[i].time))
    odd = sorted(zip(seen.oddness, seen.stretches(), strict=True), key=lambda each: (-each[0], each[1]))
    ordered = [s for o, s in odd if o >= _VERY_ODD] + sorted(turns) + [s for o, s in odd if o >= _ODD]
    return list(dict.fromkeys(ordered))


def _near(seen: Looked, wants: Sequence[Want]) -> list[Span]:
    return sorted({span for w in wants for span in _overlapping(seen, w.start - 0.5, w.end + 1.5)})


def _all(seen: Looked, wants: Sequence[Want]) -> list[Span]:
    return seen.stretches()


def _overlapping(seen: Looked, begin: float, end: float) -> Iterable[Span]:
    return (s for s in seen.stretches() if seen.time(s[0]) < end and seen.time(s[1]) > begin)


def _affordable(seen: Looked, spans: Iterable[Span]) -> list[Span]:
    area = seen.width * seen.height
    cost = {s: c * area for s, c in zip(seen.stretches(), seen.counts, strict=True)}
    left = max(BUDGET_PIXELS, BUDGET_SHARE * sum(cost.values())) - sum(cost.get(s, 0) for s in seen.spans)
    chosen = []
    for span in spans:
        left -= cost[span]
        if left < 0:
            break
        chosen.append(span)
    return chosen


def _look_closely(track: PictureTrack, seen: Looked, spans: Iterable[Span]) -> None:
    for begin, end in _runs(sorted(spans)):
        seen.views = [v for v in seen.views if not begin <= v.pts < end] + _measured(track, begin, end)
        seen.views.sort(key=lambda v: v.pts)
    seen.spans = sorted({*seen.spans, *spans})


def _runs(spans: list[Span]) -> list[Span]:
    runs: list[Span] = []
    for begin, end in spans:
        if runs and runs[-1][1] == begin:
            runs[-1] = (runs[-1][0], end)
        else:
            runs.append((begin, end))
    return runs


def _measured(track: PictureTrack, begin: int, end: int) -> list[View]:
    eye = Eye()
    views: list[View] = []
    before: Picture | None = None
    for picture in track.every(begin, end):
        if picture.damaged:
            continue
        if not views or picture.time - views[-1].time >= SAMPLE_SECONDS:
            near = (grey(before.frame), picture.time - before.time) if before else None
            views.append(eye.look(picture.time, picture.pts, grey(picture.frame), near))
        before = picture
    return views
