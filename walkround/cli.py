"""The command line: parse, call, print. Nothing is decided here."""

import json
import sys
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any

import click

from walkround import __version__
from walkround.console import Console, explain_text, summary, summary_text
from walkround.demo import run_demo
from walkround.errors import WalkroundError
from walkround.pipeline import Job, make_report
from walkround.speech.transcribe import HOTWORDS_BY_DEFAULT, SpeechOptions

_FILE = click.Path(path_type=Path)


def _plainly(command: Callable[..., None]) -> Callable[..., None]:
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


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="walkround")
def main() -> None:
    """Turn a filmed, spoken walk-round of a used motorcycle into a condition report.

    Everything is done on this computer; no recording leaves it. The report says what the narrator said. It is
    not a roadworthiness inspection.
    """


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


def _speech_options(command: Callable[..., None]) -> Callable[..., None]:
    for option in reversed(_SPEECH_OPTIONS):
        command = option(command)
    return command


@main.command()
@click.argument("video", type=_FILE, required=False)
@click.option("--out", type=_FILE, required=True, help="Folder for report.json and report.html.")
@click.option("--transcript", type=_FILE, help="Words from SRT, WebVTT, whisper JSON, [m:ss] lines or plain text.")
@click.option("--lexicon", type=_FILE, help="A folder of your own words, laid over ours.")
@_speech_options
@click.option("--replace-edits", is_flag=True, help="Write over files changed by hand (they are kept beside).")
@click.option("--json", "as_json", is_flag=True, help="Print the record's path and a summary as JSON.")
@click.option("--explain", is_flag=True, help="Print why each row was read as it was.")
@_plainly
def report(
    video: Path | None,
    out: Path,
    transcript: Path | None,
    lexicon: Path | None,
    model: str | None,
    device: str,
    compute_type: str,
    threads: int,
    hotwords: bool,
    replace_edits: bool,
    as_json: bool,
    explain: bool,
) -> None:
    """Make the condition report of VIDEO (or of a transcript alone)."""
    speech = SpeechOptions(device=device, compute_type=compute_type, threads=threads)
    job = Job(video, out, transcript, model, lexicon, speech, hotwords, replace_edits)
    _make(job, as_json=as_json, explain=explain)


@main.command()
@click.option(
    "--out",
    type=_FILE,
    default=Path("walkround-demo"),
    show_default=True,
    help="Folder for the demo's report.",
)
@_speech_options
@click.option("--json", "as_json", is_flag=True, help="Print the record's path and a summary as JSON.")
@_plainly
def demo(
    out: Path, model: str | None, device: str, compute_type: str, threads: int, hotwords: bool, as_json: bool
) -> None:
    """Make the report of the demo bike: an invented motorcycle, filmed and spoken by this project."""
    speech = SpeechOptions(device=device, compute_type=compute_type, threads=threads)
    _make(run_demo(out, model, speech, hotwords), as_json=as_json)


def _make(job: Job, *, as_json: bool, explain: bool = False) -> None:
    with Console() as console:
        outcome = make_report(job, console)
    if as_json:
        click.echo(json.dumps(summary(outcome), ensure_ascii=False, indent=1))
        return
    click.echo(summary_text(outcome))
    if explain:
        click.echo(explain_text(outcome))
