"""The commands on pictures."""

from pathlib import Path

import click

from walkround.cli.options import FILE, plainly
from walkround.errors import shown
from walkround.pictures.sheet import make_sheet


@click.command()
@click.argument("folder", type=FILE)
@click.option("--columns", type=click.IntRange(1, 8), default=3, show_default=True, help="Pictures side by side.")
@click.option("--to", "target", type=FILE, help="Where to write it; sheet.jpg in FOLDER if left out.")
@plainly
def sheet(folder: Path, columns: int, target: Path | None) -> None:
    """One picture with every finding of a walk-round's FOLDER, for an advert."""
    click.echo(f"Sheet: {shown(make_sheet(folder, columns, target))}")
