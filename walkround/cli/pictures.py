"""The commands on pictures."""

from pathlib import Path

import click

from walkround.cli.options import FILE, plainly
from walkround.console import Console
from walkround.errors import shown
from walkround.narration.lexicon import load_lexicon
from walkround.outputs.material import PUBLISH
from walkround.pictures.cover import need_opencv
from walkround.pictures.marking import marked
from walkround.pictures.sheet import make_sheet
from walkround.pictures.stale import Stale, renew_outputs
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


@click.command(context_settings={"ignore_unknown_options": True})  # a box that begins with a minus is told so
@click.argument("folder", type=FILE)
@click.argument("still", type=FILE)
@click.argument("box", metavar="X,Y,W,H")
@plainly
def cover(folder: Path, still: Path, box: str) -> None:
    """Blur a region, such as a number plate, in all stills and clips of FOLDER.

    STILL is the picture in FOLDER/stills in which you saw it, X,Y its left top corner there and W,H its size, in
    pixels. The region is sought in every picture and followed through every clip. This is an aid, not a guarantee:
    look at the pictures before you publish them. The film itself is not changed. The sheet is made anew, and pages,
    papers and pictures in FOLDER/publish from before are removed.
    """
    need_opencv()
    heard = read_heard(folder)
    heard.covers.append(marked(folder, still, box))
    lexicon = load_lexicon(folder / heard.lexicon if heard.lexicon else None)
    target = Folder(folder)
    target.check()
    with Console() as console:
        outcome = finish(target, heard, lexicon, console)
    click.echo(f"Page: {shown(outcome.page_path)}")
    _tell_outputs(renew_outputs(folder, folder / PUBLISH))
    click.echo(
        "Covered where it was found. This is an aid, not a guarantee: look at the stills and clips before you publish "
        "them. The film itself is not changed and still shows it, and so does what you wrote into other folders or "
        "have put online."
    )


def _tell_outputs(stale: Stale) -> None:
    for path in stale.renewed:
        click.echo(f"Made anew: {shown(path)}")
    pages = [shown(path) for path in stale.removed if path.suffix in (".html", ".pdf")]
    pictures = len(stale.removed) - len(pages)
    if stale.removed:
        what = ", ".join([*pages, *([f"{pictures} stills and clips"] if pictures else [])])
        click.echo(f"Removed, since from before this was covered: {what}; make them again with share or print.")
    for path in stale.kept:
        click.echo(f"Not ours to remove, and may still show it: {shown(path)}")
