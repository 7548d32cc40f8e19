"""``waterkit resin``."""

import datetime as dt
from pathlib import Path

import click

from waterkit.cli.options import answer_options


@click.command(short_help="How many litres the resin lasts on this water.")
@answer_options
def resin(folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool) -> None:
    """How many litres the resin lasts on this water.

    Litres of one fresh vessel in the lead, by its rating and the load of the sample in force.

    \b
    Example:
      waterkit resin data/demo-club --as-of 2027-08-15
    """
    from waterkit.cli.answering import answer

    answer("resin", folder, as_json, as_of, strict)
