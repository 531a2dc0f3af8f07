"""Recordings made on the fly: a moving grey picture and a tone, at times that each test chooses."""

import heapq
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

MakeMedia = Callable[..., Path]

RATE = 48_000
SIZE = (64, 48)
_WHOLE = {"s16": np.int16, "s32": np.int32}


def tone(seconds: float, frequency: float = 440.0, level: float = 0.3) -> np.ndarray:
    """A sine at 48 kHz with the given peak."""
    return (level * np.sin(2 * np.pi * frequency * np.arange(round(seconds * RATE)) / RATE)).astype(np.float32)


def _video_packets(stream: av.VideoStream, times: Sequence[float]) -> Iterator[av.Packet]:
    for number, time in enumerate(times):
        grey = np.full((SIZE[1], SIZE[0], 3), (number * 5) % 256, np.uint8)
        grey[: SIZE[1] // 2] //= 2  # the upper half is darker: shows which way is up
        frame = av.VideoFrame.from_ndarray(grey, format="rgb24")
        frame.pts, frame.time_base = round(time * 1000), Fraction(1, 1000)
        yield from stream.encode(frame)
    yield from stream.encode(None)


def _sound_packets(stream: av.AudioStream, pieces: Sequence[tuple[float, np.ndarray]]) -> Iterator[av.Packet]:
    form = stream.codec_context.format.name
    for start, samples in pieces:
        for at in range(0, len(samples), 960):
            block = samples[at : at + 960]
            data = (
                block if form.startswith("flt") else (block * np.iinfo(_WHOLE[form[:3]]).max).astype(_WHOLE[form[:3]])
            )
            frame = av.AudioFrame.from_ndarray(data[None], format=form, layout="mono")
            frame.sample_rate, frame.time_base = RATE, Fraction(1, RATE)
            frame.pts = round(start * RATE) + at
            yield from stream.encode(frame)
    yield from stream.encode(None)


def make_media_file(
    path: Path,
    *,
    pictures: Sequence[float] = (),
    sound: Sequence[tuple[float, np.ndarray]] = (),
    video_codec: str = "libx264",
    sound_codec: str = "aac",
    video_options: dict[str, str] | None = None,
    options: dict[str, str] | None = None,
    metadata: dict[str, str] | None = None,
) -> Path:
    """Write a recording. ``pictures`` are the times of the pictures, ``sound`` pairs of a start time and
    samples at 48 kHz."""
    with av.open(str(path), "w", options=options or {}) as container:
        container.metadata.update(metadata or {})
        packets: list[Iterator[av.Packet]] = []
        if pictures:
            video = container.add_stream(video_codec, rate=30, options=video_options or {})
            video.width, video.height = SIZE
            video.pix_fmt = "yuv420p"
            video.codec_context.time_base = Fraction(1, 1000)
            packets.append(_video_packets(video, pictures))
        if sound:
            packets.append(_sound_packets(container.add_stream(sound_codec, rate=RATE, layout="mono"), sound))
        encoded = [list(each) for each in packets]  # encoders settle their times before the header is written
        for packet in heapq.merge(*encoded, key=lambda p: float((p.dts or 0) * p.time_base)):
            container.mux(packet)
    return path


def steady(seconds: float, rate: float = 30.0) -> list[float]:
    """Times of pictures at a steady rate."""
    return [n / rate for n in range(round(seconds * rate))]


def turn_picture(path: Path, clockwise: int) -> None:
    """Write a rotation into the first track header, as phones do (ISO/IEC 14496-12, 8.3.2)."""
    data = bytearray(path.read_bytes())
    matrix = data.index(b"tkhd") + 4 + 4 + 20 + 8 + 8  # version 0: flags, five fields, reserved, layer to reserved
    a, b = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}[clockwise]
    rows = (a * 65536, b * 65536, 0, -b * 65536, a * 65536, 0, 0, 0, 1 << 30)
    data[matrix : matrix + 36] = b"".join(value.to_bytes(4, "big", signed=True) for value in rows)
    path.write_bytes(data)
