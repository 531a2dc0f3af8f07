"""The commands for the person who looks over a report: settle its lines, sign it off, check it."""

import getpass
import sys
import webbrowser
from pathlib import Path

import click

from walkround.cli.options import FILE, plainly
from walkround.errors import shown
from walkround.review.server import serve
from walkround.review.session import Session
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


@click.command()
@click.argument("folder", metavar="DIR", type=FILE)
@click.option("--who", metavar="NAME", help="Who makes the changes; your user name if not given.")
@click.option("--open/--no-open", "open_it", default=True, show_default=True, help="Open the page in the browser.")
@plainly
def review(folder: Path, who: str | None, open_it: bool) -> None:
    """Look DIR over in the browser: settle its lines beside the film, and sign it off.

    The page is on this computer only. Every change is kept at once; stop with Ctrl-C.
    """

    def ready(address: str) -> None:
        click.echo(f"Reviewing {shown(folder)} at\n{address}\nEvery change is kept at once. Stop with Ctrl-C.")
        sys.stdout.flush()
        if open_it:
            webbrowser.open(address)

    serve(Session(folder, who or _user()), ready)


def _user() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "a person"
