"""The commands that make what is published: chapters, captions, print, a page to share, a table, an advert's text."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from walkround.cli.options import FILE, plainly
from walkround.console import Console
from walkround.errors import shown
from walkround.outputs.advert import advert as advert_text
from walkround.outputs.captions import beyond_limits, cues_of
from walkround.outputs.description import chapter_list, joined_chapters, marks_list
from walkround.outputs.embed import embed as embed_chapters
from walkround.outputs.ffmetadata import ffmetadata
from walkround.outputs.films import films_of
from walkround.outputs.links import checked_url
from walkround.outputs.material import PUBLISH, Material, doubt_of, material
from walkround.outputs.printing import PAPERS, print_html, write_pdf
from walkround.outputs.sharing import share_folder
from walkround.outputs.sharing import single_file as single_page
from walkround.outputs.tables import findings_csv
from walkround.outputs.timedtext import chapter_cues, subrip, webvtt
from walkround.outputs.writing import make_folder, write_files
from walkround.report.heard import HEARD, read_heard


def given(command: Callable[..., None]) -> Callable[..., None]:
    """Add what all of these commands take: a folder or a film, and where to write."""
    command = click.option("--out", type=FILE, help="Folder to write into, instead of DIR/publish.")(command)
    return click.argument("source", metavar="DIR|VIDEO", type=FILE)(command)


def _ready(source: Path, out: Path | None) -> tuple[Material, Path]:
    with Console() as console:
        made = material(source, None, console)
        if warning := doubt_of(made):
            console.say(warning)
    folder = out or made.folder / PUBLISH
    make_folder(folder)
    return made, folder


def _tell(paths: list[Path]) -> None:
    for path in paths:
        click.echo(f"Wrote {shown(path)}", err=True)


@click.command()
@given
@click.option("--marks", is_flag=True, help="Also list every disclosed mark with its time, for an advert.")
@click.option("--embed", is_flag=True, help="Also copy the film with the chapters in it; nothing is encoded anew.")
@plainly
def chapters(source: Path, out: Path | None, marks: bool, embed: bool) -> None:
    """Chapters of the film: a list for its description, WebVTT, and FFmpeg metadata.

    Give the folder of a walk-round, or a film whose report is then made first.
    """
    made, folder = _ready(source, out)
    files: dict[str, bytes] = {}
    films = list(films_of(made.report))
    for film in films:
        if len(films) > 1:  # each list goes under a film of its own
            click.echo(f"{'' if film is films[0] else chr(10)}Film {film.source + 1}, {shown(film.media.file or '?')}:")
        entries = [(entry.start, entry.title) for entry in joined_chapters(made.report, film)]
        listed = chapter_list(made.report, film)
        files[f"chapters{film.suffix}.vtt"] = webvtt(chapter_cues(film, entries)).encode()
        files[f"chapters{film.suffix}.ffmetadata"] = ffmetadata(film, entries).encode()
        files[f"chapters{film.suffix}.txt"] = listed.encode()
        if not listed:
            why = "is too short for" if film.end < 30 else "speaks of too few places for"
            click.echo(f"Film {film.source + 1} {why} three chapters of 10 s: no list for its description.", err=True)
        click.echo(listed, nl=False)
        if marks:
            lines = marks_list(made.report, film)
            files[f"marks{film.suffix}.txt"] = lines.encode()
            click.echo(f"\n{lines}" if listed else lines, nl=False)
    paths = write_files(folder, files, made.report)
    if embed:
        for film in films:
            entries = [(entry.start, entry.title) for entry in joined_chapters(made.report, film)]
            paths.append(embed_chapters(made.film(film.source), film, entries, folder))
    _tell(paths)


@click.command()
@given
@plainly
def captions(source: Path, out: Path | None) -> None:
    """Captions of the film as WebVTT and SubRip, with trade words spelled right."""
    made, folder = _ready(source, out)
    files: dict[str, bytes] = {}
    for film in films_of(made.report):
        cues = cues_of(made.report, film)
        files[f"captions{film.suffix}.vtt"] = webvtt(cues).encode()
        files[f"captions{film.suffix}.srt"] = subrip(cues).encode()
        beyond = beyond_limits(cues)
        click.echo(
            f"{beyond.cues} captions; {beyond.fast} faster than 20 characters a second, "
            f"{beyond.brief} shorter than 5/6 s"
            + (", because the narrator speaks fast there." if beyond.fast or beyond.brief else ".")
        )
    _tell(write_files(folder, files, made.report))


@click.command("print")
@given
@click.option("--paper", type=click.Choice(sorted(PAPERS)), default="a4", show_default=True)
@click.option("--url", help="Address of the online copy: printed, and as a QR code.")
@click.option("--video-url", help="Address of the uploaded film: every time becomes a link into it.")
@plainly
def print_report(source: Path, out: Path | None, paper: str, url: str | None, video_url: str | None) -> None:
    """The report as a PDF for paper."""
    url, video_url = url and checked_url(url), video_url and checked_url(video_url)
    made, folder = _ready(source, out)
    page = print_html(made.report, made.folder, paper, url, video_url)
    _tell(write_files(folder, {f"report-{paper}.pdf": write_pdf(page)}, made.report))


@click.command()
@given
@click.option("--single-file", is_flag=True, help="One HTML file with the pictures in it; the film stays outside.")
@click.option("--video-url", help="Address of the uploaded film; {t} in it becomes the seconds of each moment.")
@plainly
def share(source: Path, out: Path | None, single_file: bool, video_url: str | None) -> None:
    """The report's page to pass on: a folder that can be served anywhere, or one file."""
    video_url = video_url and checked_url(video_url)
    made, folder = _ready(source, out)
    if single_file:
        first, *added = [_seen_from(film, folder) if film else None for film in made.films] or [None]
        _tell(write_files(folder, {"report.html": single_page(made, first, video_url, added).encode()}, made.report))
    else:
        _tell([share_folder(made, folder, video_url)])
    if not video_url and (made.folder / HEARD).is_file() and read_heard(made.folder).covers:
        click.echo(
            "What you covered is covered in stills and clips only: the film that goes with them shows it.", err=True
        )


def _seen_from(film: Path, folder: Path) -> str:
    return Path(os.path.relpath(film.resolve(), folder.resolve())).as_posix()


@click.command()
@given
@plainly
def table(source: Path, out: Path | None) -> None:
    """The findings as a table for a spreadsheet (CSV)."""
    made, folder = _ready(source, out)
    _tell(write_files(folder, {"findings.csv": findings_csv(made.report).encode()}, made.report))


@click.command()
@given
@plainly
def advert(source: Path, out: Path | None) -> None:
    """A plain text for an advert that says nothing the narrator did not."""
    made, folder = _ready(source, out)
    text = advert_text(made.report)
    click.echo(text, nl=False)
    _tell(write_files(folder, {"advert.txt": text.encode()}, made.report))


COMMANDS: tuple[Any, ...] = (chapters, captions, print_report, share, table, advert)
