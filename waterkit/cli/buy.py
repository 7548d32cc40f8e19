"""``waterkit buy``."""

import datetime as dt
from pathlib import Path

import click

from waterkit.cli.options import answer_options


@click.command(short_help="Purchase list with packs, prices and the days by which to order.")
@answer_options
def buy(folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool) -> None:
    """Purchase list with packs, prices and the days by which to order.

    Needs from the season, less what is in stock, in whole packs of the cheapest open offer.

    \b
    Example:
      waterkit buy data/demo-club --as-of 2027-08-15
    """
    from waterkit.cli.answering import answer

    answer("buy", folder, as_json, as_of, strict)
