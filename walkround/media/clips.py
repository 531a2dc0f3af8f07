"""Short clips of a film, cut by ffmpeg: copied where keyframes allow it, otherwise made anew, small."""

import bisect
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import ffmpeg

from walkround.errors import MediaError, OutputError, shown
from walkround.media.stills import write_whole
from walkround.media.tools import ffmpeg_path

SHORTEST, LONGEST = 4.0, 8.0  #: seconds of a clip
BEFORE, AFTER = 1.0, 1.2  #: seconds around the words
_COPY_BYTES = 10_000_000  #: a larger clip is made anew: it is for a phone
_LONG_SIDE = 1280  #: pixels of a clip made anew
#: Lets thirty pictures a second through at most; ``t`` is a picture's time in seconds.
_THIRTY = "isnan(prev_selected_t)+gte(t-prev_selected_t,0.03)"
_FROM, _TO = "the-film", "the-clip"
_COPY_CODECS = frozenset({"h264"})  #: what every browser plays
_COPY_PIXELS = frozenset({"yuv420p", "yuvj420p"})


@dataclass(frozen=True, slots=True)
class Cut:
    """A clip to be made, seconds of the film. ``copied``: it begins at a keyframe and is not made anew."""

    start: float
    end: float
    copied: bool


@dataclass(frozen=True, slots=True)
class Source:
    """A film that clips are cut from. ``offset``: seconds from the beginning of the file to that of the video."""

    path: Path
    duration: float
    keys: tuple[float, ...]  #: seconds of the keyframes
    codec: str
    pixels: str | None
    offset: float = 0.0
    bad: tuple[float, ...] = ()  #: seconds near which pictures are damaged
    threads: int = 1  #: given to ffmpeg's decoder, and to its encoder

    def rate(self) -> float:
        """Bytes a second; none where the file cannot be found any more."""
        size = self.path.stat().st_size if self.path.is_file() else 0
        return size / self.duration if self.duration else float(size)

    def may_copy(self) -> bool:
        """Whether its pictures play everywhere as they are."""
        return self.codec in _COPY_CODECS and self.pixels in _COPY_PIXELS


def plan_cut(source: Source, start: float, end: float) -> Cut:
    """Where the clip around words from ``start`` to ``end`` is cut."""
    begin, stop = _stretched(start - BEFORE, end + AFTER, source.duration, (start + end) / 2)
    latest = max(0.0, min(start - 0.25, source.duration - SHORTEST))
    at = bisect.bisect_right(source.keys, latest) - 1
    key = source.keys[at] if at >= 0 else None
    if key is not None and min(end + 0.25, stop) - key <= LONGEST:
        last = min(max(stop, key + SHORTEST), key + LONGEST, source.duration)
        whole = not any(key - 1 <= bad <= last + 1 for bad in source.bad)  # a player may stop at damage
        if whole and source.may_copy() and (last - key) * source.rate() <= _COPY_BYTES:
            return Cut(key, last, copied=True)
        if key >= begin:  # what lies before it would be decoded from the keyframe before, and thrown away
            return Cut(key, last, copied=False)
    return Cut(round(begin, 3), round(stop, 3), copied=False)


def _stretched(begin: float, stop: float, duration: float, middle: float) -> tuple[float, float]:
    """The stretch brought to 4 to 8 s inside the film; long speech keeps its beginning."""
    if stop - begin < SHORTEST:
        begin, stop = middle - SHORTEST / 2, middle + SHORTEST / 2
    stop = min(stop, begin + LONGEST)
    if begin < 0:
        begin, stop = 0.0, stop - begin
    if stop > duration:
        begin, stop = max(0.0, begin - (stop - duration)), duration
    return begin, min(stop, begin + LONGEST)


def write_clip(source: Source, cut: Cut, target: Path) -> bool:
    """Cut one clip. False where the film cannot be read there; raises OutputError when the disk does not take it."""
    made = False

    def fill(beside: Path) -> None:
        nonlocal made
        made = _run(_command(source, cut, beside), target) and beside.stat().st_size > 0
        if not made:
            raise _Unreadable

    try:
        write_whole(target, fill)
    except _Unreadable:
        return False
    return True


class _Unreadable(Exception):
    pass


def _command(source: Source, cut: Cut, beside: Path) -> list[str]:
    # A keyframe is found from a little behind it; a clip made anew then begins with the picture after it.
    at_key = cut.copied or cut.start in source.keys
    start = source.offset + cut.start + (0.002 if at_key else 0.0)
    taken = ffmpeg.input(
        _FROM, ss=f"{max(0.0, start):.3f}", t=f"{cut.end - cut.start:.3f}", protocol_whitelist="file",
        threads=source.threads,
    )  # fmt: skip
    how: dict[str, Any] = {"c:v": "copy"}
    if not cut.copied:
        share = f"min(1,{_LONG_SIDE}/max(iw,ih))"
        size = f"'max(2,trunc({share}*iw/2)*2)':'max(2,trunc({share}*ih/2)*2)'"
        how = {
            "c:v": "libx264", "preset": "superfast", "crf": 26, "pix_fmt": "yuv420p", "threads": source.threads,
            "vf": f"select='{_THIRTY}',scale={size}:flags=area",
        }  # fmt: skip
    made = ffmpeg.output(
        taken, _TO, **how, **{"c:a": "aac", "b:a": "96k", "ac": 1}, sn=None, dn=None,
        map_metadata=-1, map_chapters=-1, movflags="+faststart", fflags="+bitexact", f="mp4",
        **{"flags:v": "+bitexact", "flags:a": "+bitexact"},
    ).global_args("-nostdin", "-hide_banner", "-loglevel", "error").overwrite_output()  # fmt: skip
    # The names are put in last: ffmpeg-python cannot take one that is not UTF-8. "file:" keeps a name from being
    # taken for a protocol.
    names = {_FROM: f"file:{source.path.absolute()}", _TO: f"file:{beside.absolute()}"}
    return [names.get(word, word) for word in ffmpeg.compile(made, cmd=ffmpeg_path())]


def _run(command: list[str], target: Path) -> bool:
    try:
        ran = subprocess.run(command, capture_output=True, check=False)
    except OSError as error:
        raise MediaError(f"ffmpeg cannot be started ({error.strerror}); install it, or add --no-pictures.") from None
    said = ran.stderr.decode("utf-8", "replace")
    full = "No space left" in said or "File too large" in said or "Disk quota" in said or ran.returncode == -25
    if ran.returncode and full:
        raise OutputError(
            f"{shown(target)}: cannot be written (the disk is full); free some space or choose another folder "
            "with --out, or add --no-pictures."
        )
    return ran.returncode == 0
