"""Where little can be seen, and why: from the measures of single pictures to stretches of film.

The bounds are our own, set on made-up films with known faults (tests/pictures) and on real photographs; there is no
published source for them. They lean to the careful side: a picture is called poor only where it plainly is.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from walkround.media.views import View

#: Reasons in words, as they stand in the record, and how the sentence on a row goes on.
CLAUSES = {
    "black": "the picture was black",
    "covered": "the lens looked covered",
    "too dark": "the picture was too dark",
    "too bright": "the picture was too bright",
    "frozen": "the picture was frozen",
    "moving too fast": "the camera moved too fast",
    "blurred": "the picture was blurred",
    "no picture": "there was no picture",
}

_BLACK = 12.0  #: nothing is lighter than this grey level
_DARK_HIGH, _DARK_MEAN = 58.0, 36.0  #: too dark: 95 in 100 blocks and the mean lie below
_BRIGHT_LOW = 235.0  #: too bright: 95 in 100 blocks lie above
_FLAT = 0.42  #: covered: all blocks lie this close together, as a share of their mean
_FLAT_SHARP = 0.08  #: and there is this little drawing, as a share of the film's usual
_FAST = 0.6  #: picture widths a second
_FAST_WITHIN = 0.25  #: seconds on either side over which speed is averaged: a shaking hand turns back each time
_BLUR, _BLUR_SHARP = 0.56, 0.25  #: blurred: above the first, and below this share of the film's usual sharpness
_BLUR_PLAIN = 0.72  #: blurred whatever the rest of the film is like
_STILL_CHANGE, _STILL_SECONDS = 0.08, 1.2  #: frozen: less change than this, for so long
_JUMP = 10.0  #: grey levels of change a sample that stand for movement too fast to be followed
_REACH = 1.25  #: a picture speaks for at most this many seconds on either side
_SHORTEST = 0.3  #: seconds: a shorter stretch hides nothing
_FRAGMENT = 0.4  #: seconds: a shorter stretch inside a longer one takes its reason
_PICTURE_ENDS = 0.6  #: seconds of sound after the last picture that are nobody's loss


@dataclass(frozen=True, slots=True)
class Poor:
    """A stretch of film, seconds, in which little can be seen."""

    start: float
    end: float
    reason: str


def usual_sharpness(views: Sequence[View]) -> float:
    """What this film reaches where it is good: the 80th percentile of the variance of the Laplacian."""
    lit = [v.sharp for v in views if v.high > _DARK_HIGH]
    return float(np.percentile(lit, 80)) if lit else 0.0


def reasons(views: Sequence[View], usual: float) -> list[str | None]:
    """For each picture, in order of time, why it shows little; None where it is good."""
    speeds = _smoothed_speeds(views)
    frozen = _frozen(views)
    return [_reason(v, usual, s, f) for v, s, f in zip(views, speeds, frozen, strict=True)]


def _reason(view: View, usual: float, speed: float, frozen: bool) -> str | None:
    if view.high < _BLACK:
        return "black"
    flat = view.high - view.low < _FLAT * (view.mean + 4)
    if flat and view.sharp < max(4.0, _FLAT_SHARP * usual) and view.low < _BRIGHT_LOW:
        return "covered"
    if view.high < _DARK_HIGH and view.mean < _DARK_MEAN:
        return "too dark"
    if view.low > _BRIGHT_LOW:
        return "too bright"
    if frozen:
        return "frozen"
    if speed > _FAST:
        return "moving too fast"
    if view.blur > _BLUR_PLAIN or (view.blur > _BLUR and view.sharp < _BLUR_SHARP * usual):
        return "blurred"
    return None


def _smoothed_speeds(views: Sequence[View]) -> list[float]:
    times = np.array([v.time for v in views])
    known = np.array([_speed(v) for v in views])
    smooth = []
    for time in times:
        first, last = np.searchsorted(times, (time - _FAST_WITHIN, time + _FAST_WITHIN), side="left")
        smooth.append(float(known[first : max(last, first + 1)].mean()))
    return smooth


def _speed(view: View) -> float:
    if view.speed is not None:
        return view.speed
    jumped = view.change is not None and view.since is not None and view.since < 0.5 and view.change > _JUMP
    return 2 * _FAST if jumped else 0.0


def _frozen(views: Sequence[View]) -> list[bool]:
    still = [v.change is not None and v.change < _STILL_CHANGE for v in views]
    # A keyframe draws the same picture anew, a little differently.
    for i in range(1, len(views) - 1):
        change = views[i].change
        still[i] = still[i] or (still[i - 1] and still[i + 1] and change is not None and change < 1.0)
    found = [False] * len(views)
    begin = 0
    for i in range(len(views) + 1):
        if i < len(views) and still[i]:
            continue
        run = range(begin, i)
        begin = i + 1
        if run and views[run[-1]].time - (views[run[0]].time - (views[run[0]].since or 0)) >= _STILL_SECONDS:
            for j in run:
                found[j] = True
    return found


def poor_stretches(views: Sequence[View], picture_end: float, duration: float) -> list[Poor]:
    """The stretches in which little can be seen, in order, not touching unless the reason changes.

    ``views`` in order of time; ``picture_end`` is where the last picture ends, ``duration`` that of the recording.
    """
    why = reasons(views, usual_sharpness(views))
    found: list[Poor] = []
    for i, (view, reason) in enumerate(zip(views, why, strict=True)):
        if reason is None:
            continue
        before = (view.time - views[i - 1].time) / 2 if i else view.time
        after = (views[i + 1].time - view.time) / 2 if i + 1 < len(views) else picture_end - view.time
        start, end = view.time - min(before, _REACH), view.time + max(0.0, min(after, _REACH))
        if reason == "frozen" and view.since is not None and (not i or why[i - 1] != "frozen"):
            start = view.time - min(view.since, _REACH)
        found.append(Poor(start, end, reason))
    found = [p for p in _one_reason_each(_joined(found)) if p.end - p.start >= _SHORTEST]
    if duration - picture_end > _PICTURE_ENDS:
        found.append(Poor(picture_end, duration, "no picture"))
    return found


def _joined(found: list[Poor]) -> list[Poor]:
    joined: list[Poor] = []
    for p in found:
        if joined and joined[-1].reason == p.reason and p.start - joined[-1].end < _SHORTEST:
            joined[-1] = replace(joined[-1], end=p.end)
        else:
            joined.append(p)
    return joined


def _one_reason_each(found: list[Poor]) -> list[Poor]:
    """Fragments take the reason of the longer neighbour that they touch."""
    found = list(found)
    while True:
        short = [i for i, p in enumerate(found) if p.end - p.start < _FRAGMENT]
        for i in sorted(short, key=lambda i: found[i].end - found[i].start):
            p = found[i]
            beside = [
                j for j in (i - 1, i + 1)
                if 0 <= j < len(found)
                and (abs(found[j].start - p.end) < 0.05 or abs(found[j].end - p.start) < 0.05)
                and found[j].reason != p.reason
            ]  # fmt: skip
            if beside:
                longer = max(beside, key=lambda j: found[j].end - found[j].start)
                found[i] = replace(p, reason=found[longer].reason)
                found = _joined(found)
                break
        else:
            return found


def good_within(start: float, end: float, poor: Sequence[Poor]) -> float:
    """How many seconds from ``start`` to ``end`` are not poor, in one piece at most."""
    best, at = 0.0, start
    for p in sorted(poor, key=lambda p: p.start):
        if p.end <= at or p.start >= end:
            continue
        best, at = max(best, p.start - at), max(at, p.end)
    return max(best, end - at)


def main_reason(start: float, end: float, poor: Sequence[Poor]) -> str | None:
    """The reason that covers most of the time from ``start`` to ``end``."""
    share: dict[str, float] = {}
    for p in poor:
        overlap = min(end, p.end) - max(start, p.start)
        if overlap > 0:
            share[p.reason] = share.get(p.reason, 0.0) + overlap
    return max(share, key=lambda reason: share[reason]) if share else None
