"""The commands that make a report."""

import json
from dataclasses import replace
from pathlib import Path

import click

from walkround.checklist.given import Given
from walkround.cli.options import (
    FILE,
    checklist_options,
    given_options,
    pictures_option,
    plainly,
    speech_options,
)
from walkround.console import Console, explain_text, summary, summary_text
from walkround.demo import run_demo
from walkround.pipeline import Job, make_report
from walkround.speech.transcribe import SpeechOptions


@click.command()
@click.argument("video", type=FILE, required=False)
@click.option("--out", type=FILE, required=True, help="Folder for report.json and report.html.")
@click.option("--transcript", type=FILE, help="Words from SRT, WebVTT, whisper JSON, [m:ss] lines or plain text.")
@click.option("--lexicon", type=FILE, help="A folder of your own words, laid over ours.")
@checklist_options
@speech_options
@given_options
@pictures_option
@click.option("--replace-edits", is_flag=True, help="Write over files changed by hand (they are kept beside).")
@click.option("--json", "as_json", is_flag=True, help="Print the record's path and a summary as JSON.")
@click.option("--explain", is_flag=True, help="Print why each row was read as it was.")
@plainly
def report(
    video: Path | None,
    out: Path,
    transcript: Path | None,
    lexicon: Path | None,
    kind: str | None,
    not_fitted: tuple[str, ...],
    checklist: Path | None,
    model: str | None,
    device: str,
    compute_type: str,
    threads: int,
    hotwords: bool,
    supplied: dict[str, str],
    pictures: bool,
    replace_edits: bool,
    as_json: bool,
    explain: bool,
) -> None:
    """Make the condition report of VIDEO (or of a transcript alone)."""
    speech = SpeechOptions(device=device, compute_type=compute_type, threads=threads)
    given = Given(kind, not_fitted, (), checklist)
    job = Job(video, out, transcript, model, lexicon, speech, hotwords, replace_edits, given, supplied, pictures)
    _make(job, as_json=as_json, explain=explain)


@click.command()
@click.option(
    "--out",
    type=FILE,
    default=Path("walkround-demo"),
    show_default=True,
    help="Folder for the demo's report.",
)
@speech_options
@pictures_option
@click.option("--json", "as_json", is_flag=True, help="Print the record's path and a summary as JSON.")
@plainly
def demo(
    out: Path,
    model: str | None,
    device: str,
    compute_type: str,
    threads: int,
    hotwords: bool,
    pictures: bool,
    as_json: bool,
) -> None:
    """Make the report of the demo bike: an invented motorcycle, filmed and spoken by this project."""
    speech = SpeechOptions(device=device, compute_type=compute_type, threads=threads)
    job = replace(run_demo(out, model, speech, hotwords), pictures=pictures)
    _make(job, as_json=as_json)


def _make(job: Job, *, as_json: bool, explain: bool = False) -> None:
    with Console() as console:
        outcome = make_report(job, console)
    if as_json:
        click.echo(json.dumps(summary(outcome), ensure_ascii=False, indent=1))
        return
    click.echo(summary_text(outcome))
    if explain:
        click.echo(explain_text(outcome))
