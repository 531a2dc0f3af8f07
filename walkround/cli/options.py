"""What the commands share: how they end, and the options on speech."""

import sys
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any

import click

from walkround.errors import WalkroundError
from walkround.speech.transcribe import HOTWORDS_BY_DEFAULT


class _Place(click.Path):
    """A path as given; an empty one, as an unset variable of a shell gives it, would be the folder one stands in."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if value == "":
            self.fail("the path is empty; write where the file or folder lies.", param, ctx)
        return super().convert(value, param, ctx)


FILE = _Place(path_type=Path)


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


_CHECKLIST_OPTIONS = [
    click.option("--kind", metavar="KIND", help="Kind of bike: naked, faired, adventure, ... (several with commas)."),
    click.option("--not-fitted", multiple=True, metavar="PART", help="A part that this bike does not have."),
    click.option("--checklist", type=FILE, help="Your own checklist (TOML), laid over ours."),
]


def checklist_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add ``--kind``, ``--not-fitted`` and ``--checklist`` to a command."""
    for option in reversed(_CHECKLIST_OPTIONS):
        command = option(command)
    return command


#: What a person may supply about the bike: option, key in ``given`` and the help.
_GIVEN = {
    "title": ("--title", "What the bike is called at the head of the report, such as its maker and model."),
    "country": (
        "--country",
        "Country whose limits apply, such as GB, DE, AT, IE or IT; of one not known here nothing is compared.",
    ),
    "registration": ("--registration", "The registration mark, where it is not to be taken from the words."),
    "vin": ("--vin", "The frame number (VIN), to be checked for its form."),
}


def given_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add what a person may give by hand (``--title``, ``--vin``, ...); what was set is the command's ``supplied``."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        said = {key: kwargs.pop(key) for key in _GIVEN}
        command(
            *args, supplied={key: value.strip() for key, value in said.items() if value and value.strip()}, **kwargs
        )

    wrapped: Callable[..., None] = run
    for key, (option, text) in reversed(_GIVEN.items()):
        wrapped = click.option(option, key, help=text)(wrapped)
    return wrapped


def pictures_option(command: Callable[..., None]) -> Callable[..., None]:
    """Add ``--pictures/--no-pictures`` to a command."""
    return click.option("--pictures/--no-pictures", default=True, help="Make stills and clips of what was spoken of.")(
        command
    )
