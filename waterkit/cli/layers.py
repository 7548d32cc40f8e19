"""``waterkit layers``."""

import datetime as dt
from pathlib import Path

import click

from waterkit.cli.options import answer_options


@click.command(
    short_help="Litres, thickness and hours of each layer, and the latest start for opening day."
)
@answer_options
def layers(folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool) -> None:
    """Litres, thickness and hours of each layer, and the latest start for opening day.

    The steps of layers.csv are put on the calendar back from the first draw.

    \b
    Example:
      waterkit layers data/demo-club --as-of 2027-08-15
    """
    from waterkit.cli.answering import answer

    answer("layers", folder, as_json, as_of, strict)
