"""Blurring a region that a person marked once, such as a number plate, wherever it is found again.

An aid and not a guarantee: a plate seen from another angle, in shade or very small may not be found. Whoever publishes
the pictures has to look at them. The region is sought by normalised cross-correlation (OpenCV's template matching) at
several sizes; in a clip it is followed from picture to picture, and where it is lost its last place stays covered for
a moment.
"""

import heapq
import shutil
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import av
import numpy as np
from numpy.typing import NDArray

from walkround.errors import WalkroundError

try:
    import cv2
except ImportError:  # an extra: not everybody covers plates
    cv2 = None  # type: ignore[assignment]

Pixels = NDArray[np.uint8]
Box = tuple[int, int, int, int]  #: left, top, width, height in pixels

_WORK = 640  #: pixels on the long side of the picture in which the region is sought
_SCALES = tuple(float(s) for s in np.geomspace(0.15, 2.2, 38))
_FOUND, _FOLLOWED = 0.62, 0.5  #: how alike (-1 to 1) a place must be, anywhere and near the last place
_COARSE = 2  #: a picture smaller by this tells at which sizes to look
_PROMISING = 5  #: so many sizes are looked at again in full, and at those in between
_BETWEEN = (0.97, 1.0, 1.03)
_SMALLEST = 24  #: pixels on a side: what is smaller cannot be told from anything else
_EVERY = 6  #: while the region is not in sight, every so many pictures are searched
_LINGER = 12  #: pictures before and after a place that are covered too
_GROWN = 0.18  #: of its size, by which a covered box is larger than what was found


def need_opencv() -> None:
    """Raises WalkroundError where OpenCV is not installed."""
    if cv2 is None:
        raise WalkroundError("Covering needs OpenCV, which is not installed; run pip install 'walkround[cover]'.")


@dataclass
class Seeker:
    """Finds one marked region again. ``marked`` is the upright picture (RGB) in which ``box`` was marked."""

    marked: Pixels
    box: Box
    _template: Pixels = field(init=False)
    _share: float = field(init=False)  #: of the marked picture's size to that in which it is sought

    def __post_init__(self) -> None:
        grey, self._share = _working(self.marked)
        x, y, w, h = (max(0, round(v * self._share)) for v in self.box)
        self._template = grey[y : y + max(h, 2), x : x + max(w, 2)]

    def find(self, picture: Pixels, near: Box | None = None) -> Box | None:
        """Where the region is in a picture, or None. ``near`` is where it was a moment ago: looked at first."""
        grey, share = _working(picture)
        return self.find_grey(grey, share, near)

    def find_grey(self, grey: Pixels, share: float, near: Box | None = None) -> Box | None:
        """The same in a picture that is grey and reduced by ``share`` already."""
        if near is not None:
            found = self._near(grey, near, share)
            if found is not None:
                return found
        place = self._anywhere(grey)
        return _scaled(place, 1 / share) if place else None

    def _anywhere(self, grey: Pixels) -> Box | None:
        """Sought at all sizes on a coarse picture, then at the most promising ones on the picture itself."""
        size = (grey.shape[1] // _COARSE, grey.shape[0] // _COARSE)
        small: Pixels = np.asarray(cv2.resize(grey, size, interpolation=cv2.INTER_AREA), np.uint8)
        rough = sorted(_SCALES, key=lambda scale: -self._at(small, scale / _COARSE, _SMALLEST // _COARSE)[0])
        tried = (self._at(grey, scale * by) for scale in rough[:_PROMISING] for by in _BETWEEN)
        score, place = max(tried, key=lambda each: each[0])
        return place if score > _FOUND else None

    def _near(self, grey: Pixels, near: Box, share: float) -> Box | None:
        x, y, w, h = _scaled(near, share)
        left, top = max(0, x - w // 2), max(0, y - h // 2)
        part = grey[top : y + h + h // 2, left : x + w + w // 2]
        size = w / max(1, self._template.shape[1])
        best, place = _FOLLOWED, None
        for scale in (size * 0.94, size, size * 1.06):
            score, box = self._at(part, scale)
            if box and score > best:
                best, place = score, (box[0] + left, box[1] + top, box[2], box[3])
        return _scaled(place, 1 / share) if place else None

    def _at(self, grey: Pixels, scale: float, smallest: int = _SMALLEST) -> tuple[float, Box | None]:
        rows, columns = self._template.shape
        w, h = round(columns * scale), round(rows * scale)
        if min(w, h) < smallest or w > grey.shape[1] or h > grey.shape[0]:
            return -1.0, None
        sought = cv2.resize(self._template, (w, h), interpolation=cv2.INTER_AREA)
        scores = cv2.matchTemplate(grey, sought, cv2.TM_CCOEFF_NORMED)
        _, score, _, (x, y) = cv2.minMaxLoc(scores)
        return float(score), (int(x), int(y), w, h)


def _working(picture: Pixels) -> tuple[Pixels, float]:
    share = min(1.0, _WORK / max(picture.shape[:2]))
    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    size = (round(picture.shape[1] * share), round(picture.shape[0] * share))
    small: Pixels = np.asarray(cv2.resize(grey, size, interpolation=cv2.INTER_AREA), np.uint8)
    return small, share


def _scaled(box: Box, by: float) -> Box:
    x, y, w, h = (round(v * by) for v in box)
    return x, y, w, h


def blurred(picture: Pixels, box: Box) -> Pixels:
    """The picture with the box, a little grown, made unreadable: a few coarse patches, smoothed."""
    x, y, w, h = box
    dx, dy = round(w * _GROWN), round(h * _GROWN)
    rows, columns = picture.shape[:2]
    left, top, right, bottom = max(0, x - dx), max(0, y - dy), min(columns, x + w + dx), min(rows, y + h + dy)
    if right - left < 2 or bottom - top < 2:
        return picture
    made = picture.copy()
    coarse = cv2.resize(made[top:bottom, left:right], (4, 2), interpolation=cv2.INTER_AREA)
    made[top:bottom, left:right] = cv2.resize(coarse, (right - left, bottom - top), interpolation=cv2.INTER_LINEAR)
    return made


def covered_still(picture: Pixels, seekers: list[Seeker]) -> Pixels:
    """A still with every marked region covered where it is found."""
    for seeker in seekers:
        box = seeker.find(picture)
        if box:
            picture = blurred(picture, box)
    return picture


def boxes_over(pictures: Iterable[tuple[Pixels, float]], seeker: Seeker) -> list[Box | None]:
    """Where the region is in each picture (grey, and its share of the full size) of a clip. A gap between two places,
    and a moment before and after, are covered as at the nearest place."""
    found: list[Box | None] = []
    for number, (grey, share) in enumerate(pictures):
        last = found[-1] if found else None
        found.append(seeker.find_grey(grey, share, last) if last or number % _EVERY == 0 else None)
    known = [n for n, box in enumerate(found) if box]
    nearest = (min(known, key=lambda k: abs(k - n), default=None) for n in range(len(found)))
    return [found[k] if k is not None and abs(k - n) <= _LINGER else None for n, k in enumerate(nearest)]


def cover_clip(plain: Path, covered: Path, seekers: list[Seeker]) -> None:
    """Write a clip anew with the marked regions covered in each picture; its sound is kept as it is.

    A clip in which none of them is found is copied. Raises OSError when the disk does not take it.
    """
    places = [boxes_over(_greys(plain), seeker) for seeker in seekers]
    if not any(box for boxes in places for box in boxes):
        shutil.copyfile(plain, covered)
        return
    with av.open(str(plain)) as source, av.open(str(covered), "w", format="mp4") as target:
        stream = source.streams.video[0]
        out: Any = target.add_stream(
            "libx264", rate=stream.average_rate or 30, options={"preset": "superfast", "crf": "26"}
        )
        out.width, out.height, out.pix_fmt = stream.codec_context.width, stream.codec_context.height, "yuv420p"
        out.codec_context.time_base = stream.time_base
        sound_in = source.streams.audio[0] if source.streams.audio else None
        sound_out: Any = target.add_stream_from_template(sound_in) if sound_in else None
        sound = [p for p in source.demux(sound_in) if p.dts is not None] if sound_in else []
        for packet in sound:
            packet.stream = sound_out
        source.seek(0)
        pictures = list(_encoded(source, stream, out, places))
        for packet in heapq.merge(pictures, sound, key=lambda p: float((p.dts or 0) * p.time_base)):
            target.mux(packet)


def _greys(path: Path) -> Iterator[tuple[Pixels, float]]:
    with av.open(str(path)) as source:
        for frame in source.decode(video=0):
            share = min(1.0, _WORK / max(frame.width, frame.height))
            width, height = round(frame.width * share), round(frame.height * share)
            small = frame.reformat(
                width=width, height=height, format="gray", interpolation="AREA", dst_color_range="JPEG"
            )  # fmt: skip
            yield small.to_ndarray().astype(np.uint8, copy=False), share


def _encoded(source: Any, stream: Any, out: Any, places: list[list[Box | None]]) -> Iterator[Any]:
    for number, frame in enumerate(source.decode(stream)):
        found = [boxes[number] for boxes in places if number < len(boxes)]
        made = frame
        if any(found):
            pixels = frame.to_ndarray(format="rgb24")
            for box in found:
                pixels = blurred(pixels, box) if box else pixels
            made = av.VideoFrame.from_ndarray(pixels, format="rgb24")
            made.pts, made.time_base = frame.pts, frame.time_base
        made.pict_type = 0  # the encoder's own choice, not that of the clip before
        yield from out.encode(made)
    yield from out.encode(None)
