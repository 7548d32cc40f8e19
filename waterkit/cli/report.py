"""``waterkit report``."""

import datetime as dt
import sys
from pathlib import Path

import click

from waterkit.cli.options import as_of_option, folder_argument


@click.command(short_help="Write every page of the plan as HTML.")
@folder_argument
@click.option(
    "-o",
    "--output",
    default="reports",
    show_default=True,
    type=click.Path(path_type=Path),
    help="Folder for the pages.",
)
@click.option(
    "--workings",
    is_flag=True,
    help="Open on the pages how each figure was worked out, so that it is printed too.",
)
@as_of_option
def report(folder: Path, output: Path, as_of: dt.datetime | None, workings: bool) -> None:
    """Write every page of the plan as HTML.

    This week, season, tank card, paint cards and treasurer: each is one file that needs no network,
    reads on a phone and prints on A4 or Letter. The names of the files written are printed.

    \b
    Example:
      waterkit report data/demo-club -o reports/demo-club --as-of 2027-08-15
    """
    from waterkit.cli.answering import failed, planned, tell
    from waterkit.pages import write_pages

    plan, problems = planned(folder, as_of)
    if plan:
        for path in write_pages(plan, output, workings):
            click.echo(path)
        problems = tuple(dict.fromkeys((*problems, *plan.problems)))
    tell(problems)
    if failed(problems):
        sys.exit(1)
