"""What can be told of a picture by measuring it: sharpness, exposure, movement.

A picture is measured in grey (0 to 255), reduced to at most ``WIDTH`` pixels on its long side: enough to judge what a
buyer sees on a phone, and cheap at any resolution. The measures are named ones:

* ``sharp``: the variance of the Laplacian.
* ``blur``: the share of neighbouring differences that a strong blur leaves standing; 0 is crisp, 1 is blurred
  (Crété, Dolmière, Ladret and Nicolas, "The blur effect: perception and estimation with a new no-reference
  perceptual blur metric", 2007). Unlike ``sharp`` it hardly depends on how much there is to see.
* ``speed``: how fast the whole picture moves, by phase correlation, in picture widths a second.
* ``change``: the mean difference between two pictures, block by block, in grey levels.
"""

import math
from dataclasses import asdict, dataclass, fields
from typing import Any

import av
import numpy as np
from numpy.typing import NDArray

WIDTH = 480
_BLOCK = 8  #: pixels of a block on a side
_COARSE = 3  #: movement is sought on a picture smaller by this
_BLUR_TAPS = 11  #: width of the strong blur, as in the paper's own choice

Grey = NDArray[np.uint8]
Plane = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class View:
    """The measures of one picture of the film."""

    time: float  #: seconds from the start of the video
    pts: int
    mean: float
    low: float  #: grey level below which 5 in 100 blocks lie
    high: float  #: grey level above which 5 in 100 blocks lie
    clipped: float  #: share of pixels without drawing: pure black or pure white
    sharp: float
    blur: float
    speed: float | None  #: None where there was no picture to compare with
    change: float | None  #: against the measured picture before this one
    since: float | None  #: seconds since that picture

    def row(self) -> list[Any]:
        """As plain values, for keeping."""
        return list(asdict(self).values())

    @classmethod
    def of_row(cls, row: list[Any]) -> "View":
        """The other way. Raises TypeError or ValueError for a row of another make."""
        named = dict(zip((f.name for f in fields(cls)), row, strict=True))
        return cls(**named)


def grey(frame: av.VideoFrame) -> Grey:
    """The picture in grey, at most ``WIDTH`` pixels on its long side, before rotation."""
    share = min(1.0, WIDTH / max(frame.width, frame.height))
    width, height = (max(2 * _BLOCK, round(side * share)) for side in (frame.width, frame.height))
    small = frame.reformat(width=width, height=height, format="gray", interpolation="AREA")
    return small.to_ndarray().astype(np.uint8, copy=False)


def blocks(picture: Grey) -> Plane:
    """Mean grey of each block of 8 by 8 pixels."""
    rows, columns = (side // _BLOCK for side in picture.shape)
    cut = picture[: rows * _BLOCK, : columns * _BLOCK]
    made: Plane = cut.reshape(rows, _BLOCK, columns, _BLOCK).mean((1, 3), dtype=np.float32)
    return made


def laplacian_variance(picture: Grey) -> float:
    """Variance of the 4-neighbour Laplacian."""
    p = picture.astype(np.float32)
    edges = p[:-2, 1:-1] + p[2:, 1:-1] + p[1:-1, :-2] + p[1:-1, 2:] - 4 * p[1:-1, 1:-1]
    return float(edges.var())


def tenengrad(picture: Grey) -> float:
    """Mean square of the Sobel gradient."""
    p = picture.astype(np.float32)
    across = p[:, 2:] - p[:, :-2]
    across = across[:-2] + 2 * across[1:-1] + across[2:]
    down = p[2:] - p[:-2]
    down = down[:, :-2] + 2 * down[:, 1:-1] + down[:, 2:]
    return float((across * across + down * down).mean())


def blur_effect(picture: Grey) -> float:
    """Crété's measure, 0 (crisp) to 1 (blurred); 1 for a picture without any edge."""
    p = picture.astype(np.float32)
    return max(_blur_along(p), _blur_along(np.ascontiguousarray(p.T)))


def _blur_along(p: Plane) -> float:
    half = _BLUR_TAPS // 2
    padded = np.pad(p, ((half + 1, half), (0, 0)), mode="symmetric")
    padded[0] = 0
    total = np.cumsum(padded, axis=0, dtype=np.float32)
    soft = (total[_BLUR_TAPS:] - total[:-_BLUR_TAPS]) * np.float32(1 / _BLUR_TAPS)
    sharp, blurred = _edges(p), _edges(soft)
    before = float(sharp.sum())
    if before <= 0:
        return 1.0
    np.subtract(sharp, blurred, out=sharp)
    lost = float(np.maximum(sharp, 0, out=sharp).sum())
    return (before - lost) / before


def _edges(p: Plane) -> Plane:
    down = p[2:] - p[:-2]
    made = down[:, :-2] + down[:, 2:]
    made += down[:, 1:-1]
    made += down[:, 1:-1]
    return np.abs(made, out=made)


def shift(first: Grey, second: Grey) -> tuple[float, float, float]:
    """How far the second picture lies from the first: (across, down) in pixels, and how sure that is, 0 to 1.

    Phase correlation on both pictures reduced by 3, under a Hann window.
    """
    a, b = _coarse(first), _coarse(second)
    rows, columns = a.shape
    window = np.hanning(rows)[:, None] * np.hanning(columns)[None]
    spectra = [np.fft.rfft2((p - p.mean()) * window) for p in (a, b)]
    cross = spectra[1] * np.conj(spectra[0])
    plane = np.fft.irfft2(cross / np.maximum(np.abs(cross), 1e-6), s=a.shape)
    row, column = np.unravel_index(int(np.argmax(plane)), plane.shape)
    peak = float(plane[row, column])
    down = _signed(int(row), rows) + _between(plane[:, column], int(row))
    across = _signed(int(column), columns) + _between(plane[row], int(column))
    return across * _COARSE, down * _COARSE, peak


def _coarse(picture: Grey) -> Plane:
    rows, columns = (side // _COARSE for side in picture.shape)
    cut = picture[: rows * _COARSE, : columns * _COARSE]
    made: Plane = cut.reshape(rows, _COARSE, columns, _COARSE).mean((1, 3), dtype=np.float32)
    return made


def _signed(index: int, size: int) -> int:
    return index - size if index > size // 2 else index


def _between(line: NDArray[np.float64], index: int) -> float:
    """Where the top of a parabola through a peak and its neighbours lies, -0.5 to 0.5."""
    left, top, right = line[index - 1], line[index], line[(index + 1) % len(line)]
    curve = left - 2 * top + right
    return float(np.clip(0.5 * (left - right) / curve, -0.5, 0.5)) if curve < 0 else 0.0


#: Phase correlation says nothing below this height of its peak. (Two unrelated pictures reach about 0.03.)
_SURE = 0.06


def speed(first: Grey, second: Grey, seconds: float) -> float | None:
    """Picture widths (the long side) a second between two pictures; None where it cannot be told."""
    if seconds <= 0:
        return None
    across, down, sure = shift(first, second)
    if sure < _SURE:
        return None
    long_side: int = max(first.shape)
    return math.hypot(across, down) / (long_side * seconds)


@dataclass(slots=True)
class Eye:
    """Measures pictures one after another, each against those before it."""

    _blocks: Plane | None = None
    _measured: float = 0.0

    def look(self, time: float, pts: int, picture: Grey, near: tuple[Grey, float] | None) -> View:
        """The measures of a picture. ``near`` is a picture close by and its distance in seconds, for movement."""
        b = blocks(picture)
        changed = since = None
        if self._blocks is not None and self._blocks.shape == b.shape:
            changed, since = float(np.abs(b - self._blocks).mean()), time - self._measured
        self._blocks, self._measured = b, time
        low, high = np.percentile(b, (5, 95))
        moved = speed(near[0], picture, abs(near[1])) if near else None
        measured = (
            float(b.mean()), float(low), float(high), float(((picture < 4) | (picture > 251)).mean()),
            laplacian_variance(picture), blur_effect(picture), moved, changed, since,
        )  # fmt: skip
        # Rounded here, so that what is kept and read again leads to the very same choices.
        return View(round(time, 6), pts, *(None if m is None else round(m, 4) for m in measured))  # type: ignore[arg-type]
