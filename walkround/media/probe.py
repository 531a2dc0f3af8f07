"""What a recording is: its length, picture, rotation and sound, and whether it is whole."""

import hashlib
import stat
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from pathlib import Path

import av
from av.container import InputContainer
from av.error import FFmpegError
from av.stream import Disposition

from walkround.errors import MediaError, shown
from walkround.media.containers import find_cut

#: FFmpeg's demuxers for recordings. Playlists and lists of files are left out on purpose: they can make the
#: decoder open other files and addresses.
_FORMATS = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,wav,w64,mp3,aac,ogg,flac,aiff,avi,mpegts,mpeg,asf,caf,amr"
_PACKETS_TO_FIRST_PICTURE = 600


@dataclass(frozen=True)
class MediaInfo:
    """A recording as it was found. Times are seconds; time zero is the start of the video (of the sound,
    where there is no picture). ``width`` and ``height`` are of the stored picture, before rotation."""

    path: Path
    sha256: str
    duration: float  #: from time zero to the end of the longest track
    width: int | None
    height: int | None
    rotation: int  #: 0, 90, 180 or 270: clockwise degrees to turn the stored picture for display
    recorded_at: str | None  #: ISO 8601, as the camera wrote it
    has_sound: bool
    sound_start: float  #: start of the sound, seconds from the start of the video; may be negative
    frame_rate: float | None  #: mean frames per second; phones vary theirs


def probe(path: Path) -> MediaInfo:
    """Look at a recording without decoding it (but for its first picture).

    Raises MediaError, in one sentence, for a path that is not a readable file, for a file that is no
    recording, and for a recording that is cut off. A missing sound track is no error here.
    """
    _check_file(path)
    sha256 = sha256_of(path)
    _check_whole(path)
    with closing(open_media(path)) as container:
        video, sound = video_stream(container), sound_stream(container)
        if video is None and sound is None:
            raise MediaError(f"{shown(path)} holds neither picture nor sound; give the video file of the walk-round.")
        begin, finish = _span(path, container)
        zero = start_of(video if video is not None else sound, begin)
        return MediaInfo(
            path=path,
            sha256=sha256,
            duration=max(0.0, finish - zero),
            width=video.codec_context.width if video is not None else None,
            height=video.codec_context.height if video is not None else None,
            rotation=_rotation(path, container, video) if video is not None else 0,
            recorded_at=_recorded_at(container),
            has_sound=sound is not None,
            sound_start=start_of(sound, begin) - zero if sound is not None else 0.0,
            frame_rate=float(video.average_rate) if video is not None and video.average_rate else None,
        )


def open_media(path: Path) -> InputContainer:
    """Open a recording with PyAV: local files only, recordings only. The caller closes it.

    Raises MediaError when the file is no recording that FFmpeg can read.
    """
    # The absolute path keeps a name such as "concat:a|b" from being taken for a protocol.
    options = {"protocol_whitelist": "file", "format_whitelist": _FORMATS}
    try:
        return av.open(str(path.absolute()), mode="r", metadata_errors="ignore", container_options=options)
    except FFmpegError as error:
        what = "holds text, not a recording" if _is_text(path) else "is not a recording that can be read"
        raise MediaError(f"{shown(path)} {what}; give an MP4, MOV, MKV, WebM, WAV, M4A or MP3 file.") from error


def video_stream(container: InputContainer) -> av.VideoStream | None:
    """The picture track, or None; cover art in a sound file does not count."""
    for stream in container.streams.video:
        if not stream.disposition & Disposition.attached_pic and stream.codec_context is not None:
            return stream
    return None


def sound_stream(container: InputContainer) -> av.AudioStream | None:
    """The first sound track that can be decoded, or None. Phones may add tracks in codecs of their own."""
    usable = [stream for stream in container.streams.audio if stream.codec_context is not None]
    return next((s for s in usable if s.disposition & Disposition.default), usable[0] if usable else None)


def start_of(stream: av.VideoStream | av.AudioStream | None, otherwise: float = 0.0) -> float:
    """The first presentation time of a track in seconds on the container's own clock."""
    if stream is None or stream.start_time is None or stream.time_base is None:
        return otherwise
    return float(stream.start_time * stream.time_base)


def _check_file(path: Path) -> None:
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise MediaError(f"{shown(path)} is a folder; give the video file itself.")
        if not stat.S_ISREG(status.st_mode):
            raise MediaError(f"{shown(path)} is not an ordinary file; copy the recording to disk first.")
        if not status.st_size:
            raise MediaError(f"{shown(path)} is empty (0 bytes); copy the recording from the camera again.")
        with path.open("rb"):
            pass
    except (FileNotFoundError, NotADirectoryError) as error:
        raise MediaError(f"{shown(path)} does not exist; check the name and the folder.") from error
    except PermissionError as error:
        raise MediaError(f"{shown(path)} may not be read by you; change its permissions or copy it.") from error
    except (OSError, ValueError) as error:
        raise MediaError(f"{shown(path)} cannot be opened ({error}); check the name and the disk.") from error


def _check_whole(path: Path) -> None:
    cut = find_cut(path)
    if cut is None:
        return
    if cut.promised is not None:
        size = path.stat().st_size
        raise MediaError(
            f"{shown(path)} is cut off: it has {size:,} bytes of at least {cut.promised:,}; "
            "copy it from the camera again."
        )
    what = "its index is missing" if cut.index_missing else "its pictures and sound are missing"
    raise MediaError(
        f"{shown(path)} is cut off: {what}, as when a recording was not finished; "
        "copy it from the camera again, or film again."
    )


def sha256_of(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise MediaError(f"{shown(path)} cannot be read to its end ({error}); copy it to another disk.") from error


def _is_text(path: Path) -> bool:
    with path.open("rb") as file:
        head = file.read(4096)
    try:
        text = head.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.start < len(head) - 4:  # not merely a character cut in two by the read
            return False
        text = head[: error.start].decode("utf-8")
    return all(c.isprintable() or c in "\r\n\t\f" for c in text)


def _span(path: Path, container: InputContainer) -> tuple[float, float]:
    """Begin and end of the recording on the container's clock, seconds."""
    begin = (container.start_time or 0) / av.time_base
    if container.duration is not None and container.duration > 0:
        return begin, begin + container.duration / av.time_base
    # A live recording (a browser's, say) never had its length written: read through to the end.
    end = begin
    with closing(open_media(path)) as again:
        for packet in again.demux():
            if packet.pts is not None and packet.time_base is not None:
                end = max(end, float((packet.pts + (packet.duration or 0)) * packet.time_base))
    return begin, end


def _rotation(path: Path, container: InputContainer, video: av.VideoStream) -> int:
    """Read from the first picture that decodes; FFmpeg hands the display matrix out with the pictures."""
    for packet in islice(container.demux(video), _PACKETS_TO_FIRST_PICTURE):
        try:
            frames = packet.decode()
        except FFmpegError:
            continue  # a recording may begin in the middle of a group of pictures
        for frame in frames:
            return round(-frame.rotation / 90) * 90 % 360  # PyAV counts anticlockwise
    raise MediaError(
        f"{shown(path)}: the pictures cannot be decoded ({video.codec_context.name}); "
        "convert the file to H.264 or copy it again."
    )


def _recorded_at(container: InputContainer) -> str | None:
    for key in ("creation_time", "com.apple.quicktime.creationdate"):
        try:
            moment = datetime.fromisoformat(container.metadata.get(key, ""))
        except ValueError:
            continue
        if moment.year > 1970:  # a camera whose clock was never set writes 1904 or 1970
            return moment.replace(microsecond=0).isoformat().replace("+00:00", "Z")
    return None
