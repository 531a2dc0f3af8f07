"""The commands for the person who looks over a report: settle its lines, sign it off, check it."""

import sys
from pathlib import Path

import click

from walkround.cli.options import FILE, plainly
from walkround.review.verify import verify as check_folder


@click.command()
@click.argument("folder", metavar="DIR", type=FILE)
@plainly
def verify(folder: Path) -> None:
    """Check that nothing in DIR was changed since it was made and signed off.

    Ends with 0 where all is as it was, 1 where something was changed, 2 where it cannot be checked.
    """
    found = check_folder(folder)
    for line in found.fine:
        click.echo(f"as it was: {line}")
    for line in found.notes:
        click.echo(f"note: {line}")
    for line in found.changed:
        click.echo(f"changed: {line}")
    sys.exit(1 if found.changed else 0)
