"""``waterkit season``."""

import datetime as dt
from pathlib import Path

import click

from waterkit.cli.options import answer_options


@click.command(
    short_help="Day by day: water made, used and left, vessels changed, and the first short day."
)
@answer_options
def season(folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool) -> None:
    """Day by day: water made, used and left, vessels changed, and the first short day.

    Demand of the build, the pebble and the flushing is carried through vessels and tank.

    \b
    Example:
      waterkit season data/demo-club --as-of 2027-08-15
    """
    from waterkit.cli.answering import answer

    answer("season", folder, as_json, as_of, strict)
