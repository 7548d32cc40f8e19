"""``waterkit resin``."""

import datetime as dt
from pathlib import Path

import click

from waterkit.cli.options import answer_options


@click.command(short_help="How many litres the resin lasts on this water.")
@answer_options
def resin(folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool) -> None:
    """How many litres the resin lasts on this water.

    Litres of one fresh vessel in the lead on the sample in force: by what was learned from changes,
    by its rating, and by a model of the bed. Then the run of that bed, point by point: what the
    meter shows and what to do.

    \b
    Example:
      waterkit resin data/demo-club --as-of 2027-08-15
    """
    from waterkit.cli.answering import answer

    answer("resin", folder, as_json, as_of, strict)
