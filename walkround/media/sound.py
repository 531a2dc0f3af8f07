"""The sound of a recording as samples whose index is the time in the video."""

import gc
from collections.abc import Iterator
from contextlib import closing

import av
import numpy as np
from av.error import FFmpegError
from numpy.typing import NDArray

from walkround.errors import MediaError, shown
from walkround.media.probe import MediaInfo, open_media, sound_stream
from walkround.timecode import clock

SAMPLE_RATE = 16_000  #: what the recogniser listens at, samples a second

#: Below this nothing can be speech. A muted track lies near -90 dBFS, a phone in a silent room near -65,
#: quiet speech a few metres away near -45. Levels: 0 dBFS is the RMS of a full-scale square wave, so a
#: full-scale sine reads -3.01. (Levels of phones from memory.)
SILENCE_DBFS = -60.0
FRAME_SECONDS = 0.03

#: Sound whose times differ by less runs on; more is a hole in the track, filled with silence.
_HOLE_SECONDS = 0.05
#: Damaged packets that are passed over: some 0.1 s of AAC, less than a word.
_BAD_PACKETS = 5
#: Times further past the end than this are nonsense, not a hole to be filled.
_PAST_THE_END = 60.0
#: A track that stops this long before its own stated end was cut.
_SHORT_SECONDS = 2.0


def read_sound(info: MediaInfo) -> NDArray[np.float32]:
    """The sound as mono at 16 kHz, -1 to 1. Sample 0 is the start of the video.

    A track that starts late is padded with silence, one that starts early is trimmed, and holes in it become
    silence, so that every word keeps its time. Where times overlap the samples are kept and run on.
    Needs about 8 MB of memory a minute at most.

    Raises MediaError where there is no sound track or it is damaged beyond a few packets.
    """
    if not info.has_sound:
        raise MediaError(
            f"{shown(info.path)} has no sound track; film with sound, or give a transcript of what was said."
        )
    track = _Track(info)
    with closing(open_media(info.path)) as container:
        stream = sound_stream(container)
        if stream is None or stream.time_base is None:
            raise MediaError(f"{shown(info.path)} has no sound track that can be decoded; convert it to MP4.")
        zero = (stream.start_time or 0) * float(stream.time_base) - info.sound_start
        promised = None
        if stream.duration is not None and stream.start_time is not None:
            promised = float((stream.start_time + stream.duration) * stream.time_base) - zero
        for frame in _frames(info, container, stream):
            track.add(frame, zero)
    sound = track.finish()
    gc.collect()  # PyAV's resamplers hold each other in cycles and keep megabytes until collected
    if promised is not None and promised - len(sound) / SAMPLE_RATE > _SHORT_SECONDS:
        stop = clock(len(sound) / SAMPLE_RATE)
        raise MediaError(
            f"{shown(info.path)} is damaged: its sound stops at {stop} of {clock(promised)}; "
            "copy it from the camera again."
        )
    return sound


def level_dbfs(sound: NDArray[np.float32]) -> float:
    """The RMS level of the whole, dBFS; minus infinity for digital silence or no samples."""
    if not len(sound):
        return -np.inf
    power = float(np.mean(np.square(sound, dtype=np.float64)))
    return 10 * float(np.log10(power)) if power > 0 else -np.inf


def frame_levels(sound: NDArray[np.float32], seconds: float = FRAME_SECONDS) -> NDArray[np.float32]:
    """RMS level of each frame of ``seconds``, dBFS, not below -120. A last part of a frame is padded."""
    width = round(seconds * SAMPLE_RATE)
    whole = len(sound) // width
    power = np.einsum("ij,ij->i", sound[: whole * width].reshape(-1, width), sound[: whole * width].reshape(-1, width))
    rest = sound[whole * width :]
    if len(rest):
        power = np.append(power, np.dot(rest, rest))
    levels: NDArray[np.float32] = (10 * np.log10(np.maximum(power / width, 1e-12))).astype(np.float32)
    return levels


def is_silent(sound: NDArray[np.float32]) -> bool:
    """Whether no frame of 30 ms reaches -60 dBFS anywhere: nothing in it can be speech."""
    return not bool(np.any(frame_levels(sound) >= SILENCE_DBFS))


def _frames(info: MediaInfo, container: av.container.InputContainer, stream: av.AudioStream) -> Iterator[av.AudioFrame]:
    bad = 0
    moment = 0.0
    try:
        for packet in container.demux(stream):
            if packet.pts is not None:
                moment = float(packet.pts * stream.time_base) if stream.time_base else moment
            try:
                yield from packet.decode()
            except FFmpegError:
                bad += 1
                if bad > _BAD_PACKETS:
                    raise
    except FFmpegError as error:
        raise MediaError(
            f"{shown(info.path)} is damaged: its sound cannot be decoded near {clock(moment)}; "
            "copy it from the camera again."
        ) from error


class _Track:
    """Samples laid at their times. A run is a stretch without holes, resampled in one go."""

    def __init__(self, info: MediaInfo) -> None:
        self._info = info
        self._samples = np.zeros(SAMPLE_RATE * 60, np.float32)
        self._filled = 0  # samples laid so far, the position where the next would come
        self._skip = 0  # samples before the start of the video, still to be passed over
        self._resampler: av.AudioResampler | None = None
        self._run_start = 0.0
        self._run_seconds = 0.0

    def add(self, frame: av.AudioFrame, zero: float) -> None:
        """Lay one decoded frame. ``zero`` is the start of the video on the container's clock, seconds."""
        due = self._run_start + self._run_seconds
        time = float(frame.pts * frame.time_base) - zero if frame.pts is not None and frame.time_base else due
        if self._resampler is None or time - due > _HOLE_SECONDS:
            self._start_run(time)
        self._run_seconds += frame.samples / frame.sample_rate
        frame.pts = None  # the resampler would stop at uneven times; they are looked after here
        assert self._resampler is not None
        for piece in self._resampler.resample(frame):
            self._lay(piece)

    def finish(self) -> NDArray[np.float32]:
        """All samples."""
        self._end_run()
        return (
            self._samples[: self._filled].copy()
            if self._filled < len(self._samples) // 2
            else (self._samples[: self._filled])
        )

    def _start_run(self, time: float) -> None:
        self._end_run()
        if time > self._info.duration + _PAST_THE_END:
            raise MediaError(
                f"{shown(self._info.path)} is damaged: its sound carries times past the end of the file; "
                "copy it from the camera again."
            )
        position = round(time * SAMPLE_RATE)
        self._skip = max(0, -position)
        self._reserve(position)
        self._filled = max(self._filled, position)
        self._run_start, self._run_seconds = time, 0.0
        self._resampler = av.AudioResampler(format="flt", layout="mono", rate=SAMPLE_RATE)

    def _end_run(self) -> None:
        if self._resampler is not None:
            for piece in self._resampler.resample(None):
                self._lay(piece)

    def _lay(self, piece: av.AudioFrame) -> None:
        samples = piece.to_ndarray().reshape(-1)
        if self._skip:
            passed = min(self._skip, len(samples))
            self._skip -= passed
            samples = samples[passed:]
        end = self._filled + len(samples)
        self._reserve(end)
        self._samples[self._filled : end] = samples
        self._filled = end

    def _reserve(self, length: int) -> None:
        if length > len(self._samples):
            grown = np.zeros(max(length, len(self._samples) * 3 // 2), np.float32)
            grown[: self._filled] = self._samples[: self._filled]
            self._samples = grown
