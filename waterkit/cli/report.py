"""``waterkit report``."""

import datetime as dt
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
@as_of_option
def report(folder: Path, output: Path, as_of: dt.datetime | None) -> None:
    """Write every page of the plan as HTML.

    Treasurer, paint cards, tank card and season: each is one file that needs no network, reads on
    a phone and prints on A4 or Letter. The names of the files written are printed.

    \b
    Example:
      waterkit report data/demo-club -o reports/demo-club --as-of 2027-08-15
    """
    from waterkit.cli.answering import planned, warn
    from waterkit.pages import write_pages

    plan = planned(folder, as_of)
    warn(plan.club.problems)
    for path in write_pages(plan, output):
        click.echo(path)
