"""The commands on coverage: what was missed, a further clip, and a plan before filming."""

import json
import sys
import tempfile
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import click

from walkround.adding import Doubt, add_film
from walkround.checklist.given import Given
from walkround.checklist.items import checklist_of, kinds_given, read_own_checklist
from walkround.checklist.plan import film_plan
from walkround.checklist.text import gaps_json, gaps_text, plan_text
from walkround.cli.options import FILE, checklist_options, plainly, speech_options
from walkround.console import Console
from walkround.errors import InputError, shown
from walkround.narration.lexicon import load_lexicon
from walkround.pipeline import Job, gaps_of, make_report
from walkround.report.plan_page import render_plan
from walkround.report.record import Report
from walkround.report.store import write_file
from walkround.speech.transcribe import SpeechOptions

#: The smallest English model, for an answer beside the bike.
FASTEST = "tiny.en"


@click.command()
@click.argument("path", metavar="VIDEO|DIR", type=FILE, required=False)
@click.option("--fast", is_flag=True, help="For an answer beside the bike: the smallest model, no pictures.")
@click.option("--out", type=FILE, help="Keep the report of VIDEO in this folder.")
@click.option("--transcript", type=FILE, help="Words from a file, as for report.")
@click.option("--lexicon", type=FILE, help="A folder of your own words, laid over ours.")
@checklist_options
@click.option("--fitted", multiple=True, metavar="PART", help="Take back --not-fitted.")
@speech_options
@click.option("--json", "as_json", is_flag=True, help="Print the gaps as JSON.")
@plainly
def gaps(
    path: Path | None,
    fast: bool,
    out: Path | None,
    transcript: Path | None,
    lexicon: Path | None,
    kind: str | None,
    not_fitted: tuple[str, ...],
    checklist: Path | None,
    fitted: tuple[str, ...],
    model: str | None,
    device: str,
    compute_type: str,
    threads: int,
    hotwords: bool,
    as_json: bool,
) -> None:
    """Say what was missed: of a film, or at once of the folder of a walk-round.

    Ends with 0 when nothing essential is missing, 1 when something is, 2 on an error.
    """
    given = Given(kind, not_fitted, fitted, checklist)
    if fast and model is not None:
        raise InputError("--fast takes the smallest model, so leave out --model.")
    if path is not None and path.is_dir():
        _only_for_films(out=out, transcript=transcript, lexicon=lexicon, model=model)
        report = gaps_of(path, given)
        again = f"Film them, then: walkround add CLIP {shown(path)}"
    else:
        speech = SpeechOptions(device=device, compute_type=compute_type, threads=threads)
        job = Job(
            path,
            out or Path(),
            transcript,
            FASTEST if fast else model,
            lexicon,
            speech,
            hotwords,
            given=given,
            pictures=not fast,
        )
        report = _listened(job, out)
        again = f"Film them, then: walkround add CLIP {shown(out)}" if out else (
            "Film them as a second clip. With --out DIR this report is kept and the clip can be joined to it."
        )  # fmt: skip
    if as_json:
        click.echo(json.dumps(gaps_json(report), ensure_ascii=False, indent=1))
    else:
        names = {part.id: part.name for part in load_lexicon().parts.values()}
        click.echo(gaps_text(report, names, again))
    sys.exit(1 if any(gap.essential for gap in report.gaps) else 0)


@click.command()
@click.argument("paths", metavar="[VIDEO] DIR", type=FILE, nargs=-1)
@click.option("--transcript", type=FILE, help="Words from a file, as for report; VIDEO may then be left out.")
@click.option("--same-bike", is_flag=True, help="Join it although the mileage or the plate does not agree.")
@click.option("--replace-edits", is_flag=True, help="Write over files changed by hand (they are kept beside).")
@speech_options
@click.option("--json", "as_json", is_flag=True, help="Print the gaps that are left as JSON.")
@plainly
def add(
    paths: tuple[Path, ...],
    transcript: Path | None,
    same_bike: bool,
    replace_edits: bool,
    model: str | None,
    device: str,
    compute_type: str,
    threads: int,
    hotwords: bool,
    as_json: bool,
) -> None:
    """Join a further clip VIDEO to the walk-round in DIR and say what is still missing."""
    if len(paths) not in (1, 2):
        raise InputError("Give the clip and the folder of the walk-round: walkround add VIDEO DIR.")
    video, folder = (paths[0], paths[1]) if len(paths) == 2 else (None, paths[0])
    speech = SpeechOptions(device=device, compute_type=compute_type, threads=threads)
    job = Job(video, folder, transcript, model, None, speech, hotwords, replace_edits)
    sure = (lambda doubts: True) if same_bike else _asked
    with Console() as console:
        outcome = add_film(job, sure, console)
    report = outcome.report
    if as_json:
        click.echo(json.dumps(gaps_json(report), ensure_ascii=False, indent=1))
        return
    names = {part.id: part.name for part in load_lexicon().parts.values()}
    click.echo(f"Joined as film {len(report.added) + 1}.\n")
    click.echo(gaps_text(report, names, f"Film them, then: walkround add CLIP {shown(folder)}"))
    click.echo(f"\nPage:   {shown(outcome.page_path)}")


@click.command()
@click.option("--kind", metavar="KIND", help="Kind of bike, or several with commas; left out, for any bike.")
@click.option("--lexicon", type=FILE, help="A folder of your own words, laid over ours.")
@click.option("--checklist", type=FILE, help="Your own checklist (TOML), laid over ours.")
@click.option("--out", type=FILE, help="Write a page to print or to tick off on a phone.")
@plainly
def plan(kind: str | None, lexicon: Path | None, checklist: Path | None, out: Path | None) -> None:
    """Print what to film, in walking order, so that nothing is skipped."""
    words = load_lexicon(lexicon)
    own = read_own_checklist(checklist, words) if checklist else None
    items = checklist_of(words, own)
    kinds = kinds_given(kind, items) if kind is not None else ()
    stops = film_plan(words, items, kinds)
    title = f"Film plan: {' and '.join(kinds)} bike" if kinds else "Film plan"
    click.echo(plan_text(title, stops))
    if out is not None:
        write_file(out, render_plan(title, stops))
        click.echo(f"\nPage: {shown(out)}")


def _listened(job: Job, out: Path | None) -> Report:
    """The record of a film; without a folder to keep it in, made in one that is deleted."""
    with Console() as console:
        if out is not None:
            return make_report(job, console).report
        with tempfile.TemporaryDirectory(prefix="walkround-") as scratch:
            return make_report(replace(job, out=Path(scratch)), console).report


def _only_for_films(**options: object) -> None:
    for name, value in options.items():
        if value is not None:
            raise InputError(f"--{name} is for a film; the folder of a walk-round was read before.")


def _asked(doubts: Iterable[Doubt]) -> bool:
    """Ask whether the clip is of the same bike; where nobody can be asked, it is not joined."""
    for doubt in doubts:
        click.echo(f"Warning: {doubt.text}", err=True)
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    return click.confirm("Is it the same bike?", default=False, err=True)
