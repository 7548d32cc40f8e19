"""Options that several commands share."""

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

folder_argument = click.argument(
    "folder",
    default=".",
    type=click.Path(path_type=Path),
)

json_option = click.option(
    "--json", "as_json", is_flag=True, help="Print the answer as JSON, in core units."
)

as_of_option = click.option(
    "--as-of",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="DATE",
    help="Plan as of this day (YYYY-MM-DD) instead of today.",
)

strict_option = click.option(
    "--strict", is_flag=True, help="Exit with 1 where the answer holds a finding."
)


def answer_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """FOLDER, --json, --as-of and --strict, for every command that answers from a plan."""
    for option in (strict_option, as_of_option, json_option, folder_argument):
        command = option(command)
    return command


def day_of(as_of: dt.datetime | None) -> dt.date:
    """The day to plan as of: the one given, else today."""
    return as_of.date() if as_of else dt.date.today()
