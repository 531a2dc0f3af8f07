"""The pictures of a recording, addressed by time: a glance at each stretch, or every picture of some stretches.

Times are seconds from the start of the video. A picture is known by its presentation time in the stream's own
unit (``pts``), never by its number: phones vary their rate, and damaged files lose pictures.
"""

import os
from collections.abc import Callable, Collection, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

import av
import numpy as np
from av.container import InputContainer
from av.error import FFmpegError
from numpy.typing import NDArray

from walkround.errors import MediaError, shown
from walkround.media.probe import open_media, start_of, video_stream

#: A decoder holds a picture for each of its threads beside those that others hang on: this many pixels at most, and
#: no thread a core on a large machine.
_THREADS_AT_MOST, _PIXELS_IN_THREADS = 4, 2 * 3840 * 2160


@dataclass(frozen=True, slots=True)
class Picture:
    """One decoded picture. ``damaged``: the decoder made up a part of it."""

    frame: av.VideoFrame
    pts: int
    time: float
    damaged: bool


@dataclass
class Packets:
    """The packets of the picture track in the order of the file, which is that of decoding."""

    unit: float  #: seconds in one step of ``pts``
    zero: int  #: pts of the start of the video
    pts: list[int] = field(default_factory=list)
    sizes: list[int] = field(default_factory=list)  #: bytes
    keys: list[bool] = field(default_factory=list)

    def time(self, pts: int) -> float:
        """Seconds from the start of the video."""
        return (pts - self.zero) * self.unit

    def key_pts(self) -> list[int]:
        """Where decoding can begin, in order."""
        return sorted(pts for pts, key in zip(self.pts, self.keys, strict=True) if key)

    def times(self) -> NDArray[np.float64]:
        """Seconds of all pictures, in the order in which they are shown."""
        return np.sort((np.array(self.pts, np.float64) - self.zero) * self.unit)


class PictureTrack:
    """The picture track of one recording. Use as a context manager.

    ``bad`` collects the times near which something could not be decoded; such pictures are passed over.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.bad: list[float] = []
        if not path.is_file():
            raise MediaError(f"{shown(path)} is not there any more; put the film back, or make the report again.")
        self._container = open_media(path)
        stream = video_stream(self._container)
        if stream is None or stream.time_base is None:
            self._container.close()
            raise MediaError(f"{shown(path)} has no picture track.")
        self.width, self.height = stream.codec_context.width, stream.codec_context.height
        self.codec, self.pixels = stream.codec_context.name, stream.codec_context.pix_fmt
        self.unit = float(stream.time_base)
        self.start = start_of(stream)
        self.zero = round(self.start / self.unit)
        self.begin = (self._container.start_time or 0) / av.time_base  #: where the file begins on its own clock

    def __enter__(self) -> "PictureTrack":
        return self

    def __exit__(self, *_: object) -> None:
        self._container.close()

    def glance(self, packets: Packets, spacing: Callable[[float], float]) -> Iterator[Picture]:
        """A picture at each keyframe and the next one that follows it: two for each stretch, in one pass.

        ``packets`` is filled on the way. ``spacing`` says for a time how many seconds after the glance before it is
        worth another one; keyframes that come sooner are passed over. The second picture hangs on the first alone,
        so that nothing between has to be decoded; the pair shows how fast the camera moves.
        """
        stream = self._rewound()
        last, owed = -np.inf, False
        key = 0
        for packet in self._demux(self._container, stream):
            assert packet.pts is not None
            packets.pts.append(packet.pts)
            packets.sizes.append(packet.size)
            packets.keys.append(packet.is_keyframe)
            time = self._time(packet.pts)
            if packet.is_keyframe and time - last >= spacing(time):
                last, owed, key = time, True, packet.pts
            elif owed and packet.pts > key:
                # Those between keyframe and this one in the file may lean on pictures that were not decoded.
                owed = False
            else:
                continue
            yield from self._decode(stream, packet)
        yield from self._decode(stream, None)
        self._container.close()  # a decoder at 4K holds hundreds of megabytes of pictures

    def every(self, key: int, end: int, *, wanted: Collection[int] | None = None) -> Iterator[Picture]:
        """Every picture from the keyframe at pts ``key`` up to ``end`` (not included), in order.

        Pictures that no other hangs on are left out, and so is smoothing: enough for measuring. With ``wanted`` (pts)
        pictures are fit to be shown, and those wanted are among them.
        """
        with closing(open_media(self.path)) as container:
            stream = video_stream(container)
            assert stream is not None
            _prepare(stream, quick=wanted is None)
            if key > self.zero:
                try:
                    container.seek(key, stream=stream)
                except FFmpegError:
                    container.seek(self.zero, stream=stream)
            begun, past = False, 0
            waiting: list[av.Packet[av.VideoStream]] = []
            for packet in self._demux(container, stream):
                assert packet.pts is not None
                begun = begun or (packet.is_keyframe and packet.pts >= key)
                if not begun:
                    continue
                # Pictures are stored out of order by a few: stop only when well past the end.
                past = past + 1 if packet.pts >= end else 0
                if past > 16 or (packet.pts >= end and packet.is_keyframe and wanted is None):
                    break
                # What is shown before a keyframe may be stored after it, and hang on it: such a keyframe waits to see.
                if wanted is not None and packet.pts >= end and (waiting or packet.is_keyframe):
                    if waiting:
                        break
                    waiting.append(packet)
                    continue
                for held in waiting:
                    yield from self._within(stream, held, key, end)
                waiting.clear()
                if wanted is not None:
                    stream.codec_context.skip_frame = "DEFAULT" if packet.pts in wanted else "NONREF"
                yield from self._within(stream, packet, key, end)
            yield from self._within(stream, None, key, end)

    def _within(
        self, stream: av.VideoStream, packet: "av.Packet[av.VideoStream] | None", key: int, end: int
    ) -> Iterator[Picture]:
        return (p for p in self._decode(stream, packet) if key <= p.pts < end)

    def _rewound(self) -> av.VideoStream:
        self._container.close()
        self._container = open_media(self.path)
        stream = video_stream(self._container)
        assert stream is not None
        _prepare(stream, quick=True)
        return stream

    def _time(self, pts: int) -> float:
        return (pts - self.zero) * self.unit

    def _demux(self, container: InputContainer, stream: av.VideoStream) -> "Iterator[av.Packet[av.VideoStream]]":
        packets = container.demux(stream)
        while True:
            try:
                packet = next(packets, None)
            except FFmpegError:  # the file breaks off or is unreadable from here
                self.bad.append(self.bad[-1] if self.bad else 0.0)
                return
            if packet is None:
                return
            if packet.pts is not None and packet.size:
                yield packet

    def _decode(self, stream: av.VideoStream, packet: "av.Packet[av.VideoStream] | None") -> Iterator[Picture]:
        try:
            frames = stream.codec_context.decode(packet)
        except FFmpegError:
            if packet is not None and packet.pts is not None:
                self.bad.append(self._time(packet.pts))
            return
        for frame in frames:
            if frame.pts is None:
                continue
            time = self._time(frame.pts)
            if frame.is_corrupt:
                self.bad.append(time)
            if time >= -self.unit:
                yield Picture(frame, frame.pts, max(0.0, time), bool(frame.is_corrupt))


def threads_for(width: int, height: int) -> int:
    """How many threads a decoder of pictures of this size is given."""
    fitting = _PIXELS_IN_THREADS // max(1, width * height)
    return max(1, min(_THREADS_AT_MOST, os.cpu_count() or 1, fitting))


def _prepare(stream: av.VideoStream, *, quick: bool) -> None:
    stream.thread_type = "AUTO"
    context = stream.codec_context
    context.thread_count = threads_for(context.width, context.height)
    if quick:
        context.skip_frame = "NONREF"
        context.options = {"skip_loop_filter": "all"}
