"""The commands on pictures."""

from pathlib import Path

import click

from walkround.cli.options import FILE, plainly
from walkround.console import Console
from walkround.errors import shown
from walkround.narration.lexicon import load_lexicon
from walkround.pictures.cover import need_opencv
from walkround.pictures.marking import marked
from walkround.pictures.sheet import make_sheet
from walkround.pipeline import finish
from walkround.report.heard import read_heard
from walkround.report.store import Folder


@click.command()
@click.argument("folder", type=FILE)
@click.option("--columns", type=click.IntRange(1, 8), default=3, show_default=True, help="Pictures side by side.")
@click.option("--to", "target", type=FILE, help="Where to write it; sheet.jpg in FOLDER if left out.")
@plainly
def sheet(folder: Path, columns: int, target: Path | None) -> None:
    """One picture with every finding of a walk-round's FOLDER, for an advert."""
    click.echo(f"Sheet: {shown(make_sheet(folder, columns, target))}")


@click.command()
@click.argument("folder", type=FILE)
@click.argument("still", type=FILE)
@click.argument("box", metavar="X,Y,W,H")
@plainly
def cover(folder: Path, still: Path, box: str) -> None:
    """Blur a region, such as a number plate, in all stills and clips of FOLDER.

    STILL is the picture in FOLDER/stills in which you saw it, X,Y its left top corner there and W,H its size, in
    pixels. The region is sought in every picture and followed through every clip. This is an aid, not a guarantee:
    look at the pictures before you publish them. The film itself is not changed.
    """
    need_opencv()
    heard = read_heard(folder)
    heard.covers.append(marked(folder, still, box))
    lexicon = load_lexicon(folder / heard.lexicon if heard.lexicon else None)
    target = Folder(folder)
    target.check()
    with Console() as console:
        outcome = finish(target, heard, lexicon, console)
    click.echo(
        "Covered where it was found. This is an aid, not a guarantee: look at the stills and clips before you publish "
        f"them; the film itself is not changed.\nPage: {shown(outcome.page_path)}"
    )
