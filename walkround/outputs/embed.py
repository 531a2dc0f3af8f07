"""A copy of a film with its chapters in it, without encoding anything anew."""

import tempfile
from contextlib import closing
from pathlib import Path

import av
import ffmpeg

from walkround.errors import MediaError, OutputError, shown
from walkround.media.probe import open_media
from walkround.media.tools import ffmpeg_path
from walkround.outputs.ffmetadata import ffmetadata, read_ffmetadata
from walkround.outputs.films import FilmRows

#: Containers that can hold chapters, by the ending of the file, and FFmpeg's name for each.
_MUXERS = {".mp4": "mp4", ".m4v": "mp4", ".mov": "mov", ".mkv": "matroska", ".webm": "webm"}


def embedded_name(film: Path) -> str:
    """The name of the copy: that of the film with ``-chapters``; Matroska where its own format holds none."""
    ending = film.suffix if film.suffix.lower() in _MUXERS else ".mkv"
    return f"{film.stem}-chapters{ending}"


def embed(film: Path, rows: FilmRows, chapters: list[tuple[float, str]], out: Path) -> Path:
    """Copy ``film`` into the folder ``out`` with the chapters in it, and read them back.

    Picture and sound are copied as they are; tracks of a phone's own data are left out. Raises MediaError when
    the film cannot be read or copied, OutputError when the folder cannot be written.
    """
    with closing(open_media(film)) as container:
        length = container.duration / av.time_base if container.duration else rows.end
    fitted = FilmRows(rows.source, rows.media, rows.transcript, min(rows.end, length), rows.chapters)
    text = ffmetadata(fitted, chapters)
    target = out / embedded_name(film)
    if target.resolve() == film.resolve():
        raise OutputError(f"{shown(target)}: is the film itself; choose another folder with --out.")
    try:
        with tempfile.TemporaryDirectory(dir=out, prefix=".embed-") as folder:
            made = Path(folder) / f"film{target.suffix}"
            notes = Path(folder) / "chapters.txt"
            notes.write_text(text, encoding="utf-8", newline="\n")
            _copy(film, notes, made)
            _check(made, text, film)
            made.chmod(0o644)
            made.replace(target)
    except OSError as error:
        raise OutputError(
            f"{shown(out)}: cannot be written ({error.strerror}); free some space or choose another folder with --out."
        ) from None
    return target


def _copy(film: Path, notes: Path, made: Path) -> None:
    source = ffmpeg.input(str(film.absolute()), protocol_whitelist="file")
    listed = ffmpeg.input(str(notes.absolute()), f="ffmetadata", protocol_whitelist="file")
    # ``t?`` asks for the attachments of the list, which has none: FFmpeg wants the list as an input all the same.
    streams = [source["v?"], source["a?"], source["s?"], listed["t?"]]
    muxer = _MUXERS[made.suffix.lower()]
    job = ffmpeg.output(*streams, str(made.absolute()), c="copy", map_metadata="0", map_chapters="1", f=muxer)
    try:
        job.global_args("-nostdin", "-v", "error").run(cmd=ffmpeg_path(), capture_stdout=True, capture_stderr=True)
    except ffmpeg.Error as error:
        said = error.stderr.decode("utf-8", "replace").strip().splitlines() or ["no reason given"]
        raise MediaError(
            f"{shown(film)}: ffmpeg could not copy it ({shown(said[-1])}); convert it to MP4 first."
        ) from None


def read_chapters(film: Path) -> list[tuple[float, float, str]]:
    """The chapters in a film: start, end, title; seconds."""
    with closing(open_media(film)) as container:
        return [
            (
                float(c["start"] * (c["time_base"] or 1)),
                float(c["end"] * (c["time_base"] or 1)),
                c["metadata"].get("title", ""),
            )
            for c in container.chapters()
        ]


def _check(made: Path, text: str, film: Path) -> None:
    """FFmpeg ends with status 0 after losing titles or times: read the copy back."""
    wanted = [(round(start / 1000, 3), title) for start, _, title in read_ffmetadata(text)]
    found = [(round(start, 3), title) for start, _, title in read_chapters(made)]
    if [title for _, title in found] != [title for _, title in wanted] or any(
        abs(a - b) > 0.002 for (a, _), (b, _) in zip(found, wanted, strict=True)
    ):
        raise MediaError(f"{shown(film)}: the chapters in the copy are not those that were written; convert it to MP4.")
