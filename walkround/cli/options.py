"""What the commands share: how they end, and the options on speech."""

import sys
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any

import click

from walkround.errors import WalkroundError
from walkround.speech.transcribe import HOTWORDS_BY_DEFAULT

FILE = click.Path(path_type=Path)


def plainly(command: Callable[..., None]) -> Callable[..., None]:
    """End with one sentence and exit status 2 for everything that a person can mend."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        try:
            command(*args, **kwargs)
        except WalkroundError as error:
            click.echo(f"walkround: {error}", err=True)
            sys.exit(2)
        except KeyboardInterrupt:
            click.echo("walkround: stopped; nothing was written.", err=True)
            sys.exit(130)

    return run


_SPEECH_OPTIONS = [
    click.option("--model", metavar="SIZE|FOLDER", help="Speech model: a size such as base, or a folder with one."),
    click.option("--device", type=click.Choice(["auto", "cpu", "cuda"]), default="auto", show_default=True),
    click.option("--compute-type", default="auto", show_default=True, help="int8, float16, float32, ..."),
    click.option("--threads", type=click.IntRange(0), default=0, help="Processor threads; 0 takes all there are."),
    click.option(
        "--hotwords/--no-hotwords",
        default=HOTWORDS_BY_DEFAULT,
        show_default=True,
        help="Lean the recogniser to the lexicon.",
    ),
]


def speech_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add ``--model``, ``--device``, ``--compute-type``, ``--threads`` and ``--hotwords`` to a command."""
    for option in reversed(_SPEECH_OPTIONS):
        command = option(command)
    return command


def pictures_option(command: Callable[..., None]) -> Callable[..., None]:
    """Add ``--pictures/--no-pictures`` to a command."""
    return click.option("--pictures/--no-pictures", default=True, help="Make stills and clips of what was spoken of.")(
        command
    )
