"""``waterkit pebble``."""

import datetime as dt
from pathlib import Path

import click

from waterkit.cli.options import answer_options


@click.command(short_help="Pebble and scraping water week by week, and the thickness of the ice.")
@answer_options
def pebble(folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool) -> None:
    """Pebble and scraping water week by week, and the thickness of the ice.

    The draw calendar says when there is play; the rules of [pebble] say what a draw takes.

    \b
    Example:
      waterkit pebble data/demo-club --as-of 2027-08-15
    """
    from waterkit.cli.answering import answer

    answer("pebble", folder, as_json, as_of, strict)
