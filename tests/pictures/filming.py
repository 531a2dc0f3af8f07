"""Films with known faults: a camera that sways over an invented workshop wall, and what goes wrong at known times.

The wall is drawn from a seed: panels, bolts, hoses and print of many sizes over a rough ground, so that there is fine
and coarse drawing in every picture. The camera sways like a hand; the picture has sensor noise.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

import av
import numpy as np
from PIL import Image, ImageDraw, ImageFilter

SIZE = (640, 360)
WALL = (2600, 1100)


@dataclass(frozen=True)
class Fault:
    """What goes wrong from ``start`` to ``end``, seconds; ``kind`` is the reason that should be given."""

    start: float
    end: float
    kind: str


@cache
def draw_wall(seed: int) -> Image.Image:
    """A wall full of things, the same for the same seed."""
    rng = np.random.default_rng(seed)
    ground = np.zeros((WALL[1], WALL[0]), np.float32)
    for scale, depth in ((64, 30), (16, 14), (4, 9)):
        coarse = rng.normal(size=(WALL[1] // scale + 2, WALL[0] // scale + 2)).astype(np.float32)
        ground += depth * np.asarray(Image.fromarray(coarse).resize(WALL, Image.Resampling.BICUBIC))
    tint = np.array([1.0, 0.97, 0.9], np.float32) * rng.uniform(0.85, 1.0)
    wall = Image.fromarray(np.clip((120 + ground)[..., None] * tint, 0, 255).astype(np.uint8))
    draw = ImageDraw.Draw(wall)
    for _ in range(420):
        x, y = int(rng.integers(WALL[0])), int(rng.integers(WALL[1]))
        w, h = (int(v) for v in rng.integers(8, 170, 2))
        colour = tuple(int(v) for v in rng.integers(15, 245, 3))
        shape = rng.integers(4)
        if shape == 0:
            draw.rectangle((x, y, x + w, y + h), fill=colour, outline=(20, 20, 20), width=2)
        elif shape == 1:
            draw.ellipse((x, y, x + w, y + w), outline=colour, width=int(rng.integers(2, 12)))
        elif shape == 2:
            draw.line((x, y, x + 3 * w, y + h), fill=colour, width=int(rng.integers(1, 7)))
        else:
            draw.text((x, y), "QY68 BRM 4410", fill=colour)
    return wall


class Camera:
    """Pictures of the wall at any moment, with the faults."""

    def __init__(self, seed: int, faults: Sequence[Fault], size: tuple[int, int] = SIZE) -> None:
        self._wall = draw_wall(seed)
        self._rng = np.random.default_rng(seed + 1)
        self._faults, self._size = faults, size
        self._phase = self._rng.uniform(0, 6.28, 4)
        self._home = (WALL[0] - 760) / 2, (WALL[1] - 430) / 2
        self._strength = {f: self._rng.uniform(0, 1) for f in faults}
        self._held: np.ndarray | None = None

    def picture(self, at: float) -> np.ndarray:
        """RGB at ``at`` seconds."""
        fault = next((f for f in self._faults if f.start <= at < f.end), None)
        kind = fault.kind if fault else None
        hard = self._strength[fault] if fault else 0.0
        if kind == "frozen" and self._held is not None:
            return self._held
        seen = self._seen(at, kind, hard)
        if kind == "blurred":
            radius = (4 + 5 * hard) * self._size[0] / 640
            seen = seen.filter(ImageFilter.GaussianBlur(radius))
        pixels = np.asarray(seen, np.float32)
        if kind == "too dark":
            pixels = pixels * (0.09 + 0.08 * hard)
        if kind == "black":
            pixels = pixels * 0.0 + 1.0
        if kind == "covered":
            glow = np.linspace(0, 14, pixels.shape[1])[None, :, None]
            pixels = pixels * 0.0 + np.array([70 + 60 * hard, 42, 30]) + glow
        noise = self._rng.normal(0, 1.6, pixels.shape[:2])[..., None]
        self._held = np.clip(pixels + noise, 0, 255).astype(np.uint8)
        return self._held

    def _seen(self, at: float, kind: str | None, hard: float) -> Image.Image:
        x, y = self._place(at, kind, hard)
        moved = [np.array([x, y]) - self._place(at - step, kind, hard) for step in (0.004, 0.008, 0.012, 0.016)]
        box = (x, y, x + 760, y + 428)
        still = self._wall.resize(self._size, Image.Resampling.BILINEAR, box=box)
        if kind != "moving too fast":
            return still
        # The shutter is open for 1/60 s: movement smears.
        total = np.asarray(still, np.float32)
        for dx, dy in moved:
            smear = (x - dx, y - dy, x - dx + 760, y - dy + 428)
            part = self._wall.resize(self._size, Image.Resampling.BILINEAR, box=smear)
            total = total + np.asarray(part, np.float32)
        return Image.fromarray((total / 5).astype(np.uint8))

    def _place(self, at: float, kind: str | None, hard: float) -> np.ndarray:
        a, b, c, d = self._phase
        x = self._home[0] + 420 * np.sin(at * 0.11 + a) + 14 * np.sin(at * 1.3 + b)
        y = self._home[1] + 120 * np.sin(at * 0.07 + c) + 10 * np.sin(at * 1.7 + d)
        if kind == "moving too fast":
            if hard < 0.5:  # a shaking hand
                x += 70 * np.sin(2 * np.pi * 5.3 * at)
                y += 60 * np.sin(2 * np.pi * 4.1 * at + 1)
            else:  # to and fro
                x += 330 * np.sin(2 * np.pi * 0.75 * at)
        margin = 24
        return np.array([np.clip(x, margin, WALL[0] - 760 - margin), np.clip(y, margin, WALL[1] - 428 - margin)])


def write_film(path: Path, seconds: float, faults: Sequence[Fault] = (), *, seed: int = 1, rate: int = 25,
               size: tuple[int, int] = SIZE, codec: str = "libx264", pixels: str = "yuv420p", key: int = 50,
               times: Sequence[float] | None = None, options: dict[str, str] | None = None) -> Path:  # fmt: skip
    """Write such a film. ``key`` is pictures from keyframe to keyframe; ``times`` may be uneven."""
    camera = Camera(seed, faults, size)
    times = [n / rate for n in range(round(seconds * rate))] if times is None else times
    settings = {"preset": "veryfast", "crf": "23", "g": str(key), "threads": "2"} | (options or {})
    if codec == "libx265":
        settings["x265-params"] = "log-level=error"
    with av.open(str(path), "w") as container:
        stream = container.add_stream(codec, rate=rate, options=settings)
        stream.width, stream.height, stream.pix_fmt = *size, pixels
        stream.codec_context.time_base = Fraction(1, 12_800)
        for packet in _packets(stream, camera, times):
            container.mux(packet)
    return path


def _packets(stream: av.VideoStream, camera: Camera, times: Sequence[float]) -> Iterator[av.Packet]:
    for time in times:
        frame = av.VideoFrame.from_ndarray(camera.picture(time), format="rgb24")
        frame.pts, frame.time_base = round(time * 12_800), Fraction(1, 12_800)
        yield from stream.encode(frame)
    yield from stream.encode(None)


KINDS = ("black", "too dark", "covered", "blurred", "moving too fast", "frozen")


def plan_faults(seed: int, seconds: float) -> list[Fault]:
    """Faults of all kinds in turn, 1.5 to 4 s long, with 1.5 to 5 s of good film between."""
    rng = np.random.default_rng(seed)
    faults: list[Fault] = []
    at = float(rng.uniform(1.5, 4))
    kinds: list[str] = []
    while True:
        if not kinds:
            kinds = [str(k) for k in rng.permutation(KINDS)]
        end = at + float(rng.uniform(1.5, 4))
        if end > seconds - 1.5:
            return faults
        faults.append(Fault(round(at, 2), round(end, 2), kinds.pop()))
        at = end + float(rng.uniform(1.5, 5))
