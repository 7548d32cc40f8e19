"""``waterkit paint``."""

import datetime as dt
from pathlib import Path

import click

from waterkit.cli.options import answer_options


@click.command(short_help="Batches of white paint: water, powder and mix for each.")
@answer_options
def paint(folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool) -> None:
    """Batches of white paint: water, powder and mix for each.

    Every batch has the same powder to water ratio; the last one is scaled with its powder.

    \b
    Example:
      waterkit paint data/demo-club --as-of 2027-08-15
    """
    from waterkit.cli.answering import answer

    answer("paint", folder, as_json, as_of, strict)
