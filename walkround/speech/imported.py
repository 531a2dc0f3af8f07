"""A transcript from a file that a person or another program made."""

import re
from pathlib import Path

from walkround.errors import TranscriptError, shown
from walkround.speech.cues import CueError, read_srt, read_vtt
from walkround.speech.json_transcript import ShapeError, read_json
from walkround.speech.timed_text import is_timed_text, read_plain_text, read_timed_text
from walkround.speech.transcript import Segment, Timing, Transcript
from walkround.timecode import clock

#: A three-hour talk is some 200 kB of text, and about 10 MB as JSON with every word.
_LARGEST = 100_000_000
_FORMATS = "SRT, WebVTT, JSON with segments, lines that begin with [m:ss], or plain text"


def read_transcript(path: Path, duration: float | None = None) -> Transcript:
    """Read SubRip, WebVTT, JSON, timed lines or plain text; the content says which, then the file's ending.

    ``duration`` is that of the video in seconds: the times guessed for plain text are fitted to it, and a
    warning says where given times run past it.

    Raises TranscriptError, in one sentence with the line, for a file that cannot be read in full: nothing is
    passed over.
    """
    text = _text(path)
    name, ending = shown(path), path.suffix.lower()
    timing: Timing = "given"
    warnings: list[str] = []
    language = "en"
    try:
        if text.lstrip().startswith("{") or ending == ".json" or re.match(r"\s*\[\s*(?:\{|\])", text):
            found = read_json(text)
            segments, timing, source, language = found.segments, found.timing, found.source, found.language
        elif text.startswith("WEBVTT") or (ending == ".vtt" and not _looks_like_srt(text)):
            segments, source = read_vtt(text), "WebVTT file"
        elif ending == ".srt" or _looks_like_srt(text):
            segments, source = read_srt(text), "SubRip file"
        elif is_timed_text(text):
            segments, source = read_timed_text(text), "timed text"
        else:
            segments, source, timing = read_plain_text(text, duration), "plain text", "estimated"
            warnings.append("The transcript has no times: they are estimated from the words and may be far off.")
    except CueError as error:
        raise TranscriptError(f"{name}, line {error.line}: {error.what}; {error.advice}.") from error
    except ShapeError as error:
        raise TranscriptError(f"{name} is no transcript that can be read: {error}; give {_FORMATS}.") from error
    if not segments:
        raise TranscriptError(f"{name} holds no words; give a transcript of what was said.")
    warnings.extend(_past_the_end(segments, duration))
    return Transcript(tuple(segments), timing, source, language, tuple(warnings))


def _text(path: Path) -> str:
    name = shown(path)
    try:
        if path.is_dir():
            raise TranscriptError(f"{name} is a folder; give the transcript file itself.")
        if path.stat().st_size > _LARGEST:
            raise TranscriptError(f"{name} is too large for a transcript; give {_FORMATS}.")
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise TranscriptError(f"{name} does not exist; check the name and the folder.") from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise TranscriptError(f"{name} cannot be read ({reason}); check its permissions.") from error
    utf16 = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    try:
        text = data.decode("utf-16" if utf16 else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise TranscriptError(f"{name}, line {line}: this is not UTF-8 text; save the file as UTF-8.") from error
    if "\0" in text:
        line = text[: text.index("\0")].count("\n") + 1
        raise TranscriptError(f"{name}, line {line}: this is not text; give {_FORMATS}, saved as UTF-8.")
    if not text.strip():
        raise TranscriptError(f"{name} is empty; give a transcript of what was said.")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _looks_like_srt(text: str) -> bool:
    """Whether one of the first lines with text has an arrow between times."""
    lines = [line for line in text.split("\n") if line.strip()][:3]
    return any(re.match(r"\s*\d+:\d+.*-->", line) for line in lines)


def _past_the_end(segments: list[Segment], duration: float | None) -> list[str]:
    if duration is None or segments[-1].end <= duration + 1:
        return []
    return [
        f"The transcript runs to {clock(segments[-1].end)}, the video only to {clock(duration)}: "
        "check that they belong together."
    ]
