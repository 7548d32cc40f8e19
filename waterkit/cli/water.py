"""``waterkit water``."""

import datetime as dt
from pathlib import Path

import click

from waterkit.cli.options import answer_options


@click.command(
    short_help="Source water checked, what leaves each process, and the load on the resin."
)
@answer_options
def water(folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool) -> None:
    """Source water checked, what leaves each process, and the load on the resin.

    Every feed sample is checked (charge balance, dissolved solids, conductivity); the sample in
    force on the day is then taken through the club's train of processes.

    \b
    Example:
      waterkit water data/demo-club --as-of 2027-08-15
    """
    from waterkit.cli.answering import answer

    answer("water", folder, as_json, as_of, strict)
