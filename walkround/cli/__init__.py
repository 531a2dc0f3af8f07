"""The command line: parse, call, print. Nothing is decided here; one module a group of commands."""

import click

from walkround import __version__
from walkround.cli.gaps import add, gaps, plan
from walkround.cli.outputs import COMMANDS as OUTPUTS
from walkround.cli.pictures import cover, sheet
from walkround.cli.reporting import demo, report
from walkround.cli.review import review, verify


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="walkround")
def main() -> None:
    """Turn a filmed, spoken walk-round of a used motorcycle into a condition report.

    Everything is done on this computer; no recording leaves it. The report says what the narrator said. It is
    not a roadworthiness inspection.
    """


for command in (report, demo, gaps, add, plan, review, verify, sheet, cover, *OUTPUTS):
    main.add_command(command)
