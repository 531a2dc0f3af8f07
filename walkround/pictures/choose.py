"""Which pictures go with which words: the sharpest, steadiest, best lit ones near them, and what was not shown."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from walkround.media.views import View
from walkround.pictures.poor import CLAUSES, Poor, good_within, main_reason

BEFORE, AFTER = 2.5, 3.5  #: seconds around the words in which a picture is sought: the camera is early or late
ESTIMATED = 6.0  #: more on either side, where the times of the words are estimates
ALTERNATIVES = 2
_APART = 0.6  #: seconds between two pictures of the same row
_MARGIN = 0.2  #: seconds kept from a poor view, whose bounds are not known to the picture
_GRACE = (0.5, 1.0)  #: seconds before and after the words in which a good view still shows what was said
_SHOWN = 0.4  #: seconds of good view in one piece that show something
_A_SECOND = 0.25  #: what a second away from the words takes off, of 1
_EARLY = 0.05  #: what each second before the middle of the words takes off
_SHARP_ROOT = 0.25
_ANOTHER_PART = 0.3  #: what is taken off a picture taken while another part was spoken of
_NOTHING = frozenset({"black", "covered", "no picture"})  #: such a picture is not worth showing at all


@dataclass(frozen=True, slots=True)
class Want:
    """A row that wants a picture: its words' time in seconds, the film they are of, and the part spoken of."""

    key: str
    source: int
    start: float
    end: float
    part: str | None
    estimated: bool = False  #: the times are not from the film
    clip: bool = True

    def window(self) -> tuple[float, float]:
        """Where pictures for it are sought."""
        more = ESTIMATED if self.estimated else 0.0
        return max(0.0, self.start - BEFORE - more), self.end + AFTER + more


@dataclass(frozen=True, slots=True)
class Choice:
    """The pictures of a row, best first, and why it was not clearly shown (words, or None)."""

    views: tuple[View, ...]
    not_shown: str | None


def choose(want: Want, views: Sequence[View], why: Sequence[str | None], poor: Sequence[Poor],
           others: Sequence[Want]) -> Choice:  # fmt: skip
    """Choose for one row. ``why`` has the reason against each view; ``others`` are all rows of the film."""
    begin, end = want.window()
    near = [(v, w) for v, w in zip(views, why, strict=True) if begin <= v.time <= end]
    good = [v for v, w in near if w is None]
    usable = (
        [v for v in good if not _in(v.time, poor, _MARGIN)]
        or [v for v in good if not _in(v.time, poor)]
        or [v for v, w in near if w not in _NOTHING]
    )
    sharpest = max((v.sharp for v in usable), default=1.0) or 1.0
    lower, upper = _bounds(want, others)
    scored = sorted(usable, key=lambda v: (-_score(v, sharpest, want, lower, upper), v.time))
    picked: list[View] = []
    for view in scored:
        if all(abs(view.time - p.time) >= _APART for p in picked):
            picked.append(view)
        if len(picked) > ALTERNATIVES:
            break
    return Choice(tuple(picked), not_shown(want, poor))


def not_shown(want: Want, poor: Sequence[Poor]) -> str | None:
    """Why the words' moment cannot be seen, as a clause; None where it can, or where its time is not known."""
    if want.estimated:
        return None
    start, end = max(0.0, want.start - _GRACE[0]), want.end + _GRACE[1]
    if good_within(start, end, poor) >= _SHOWN:
        return None
    reason = main_reason(want.start, max(want.end, want.start + 0.01), poor) or main_reason(start, end, poor)
    return CLAUSES[reason] if reason else None


def _bounds(want: Want, others: Sequence[Want]) -> tuple[float, float]:
    """Between the end of the words on the part before and the start of those on the next part."""
    different = [o for o in others if o.part != want.part]
    lower = max((o.end for o in different if o.end <= want.start), default=-math.inf)
    upper = min((o.start for o in different if o.start >= want.end), default=math.inf)
    return lower, upper


def _score(view: View, sharpest: float, want: Want, lower: float, upper: float) -> float:
    # A root, since how much drawing there is to see differs between a whole bike and one panel of it.
    sharp = math.pow(view.sharp / sharpest, _SHARP_ROOT) * (1.0 - 0.5 * view.blur)
    lit = 1.0 - min(1.0, 2 * view.clipped) * 0.5
    steady = math.exp(-(view.speed or 0.0) / 0.4)
    away = max(0.0, want.start - view.time, view.time - want.end)
    if want.estimated:
        return sharp * lit * steady
    elsewhere = _ANOTHER_PART if not lower - 0.2 <= view.time <= upper + 0.2 else 0.0
    # Early in the words the camera is often still on its way from the part before.
    early = max(0.0, (want.start + want.end) / 2 - max(view.time, want.start)) * _EARLY
    return sharp * lit * steady - _A_SECOND * away - elsewhere - early


def _in(time: float, poor: Sequence[Poor], margin: float = 0.0) -> bool:
    return any(p.start - margin <= time < p.end + margin for p in poor)
