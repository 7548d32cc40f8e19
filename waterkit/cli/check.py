"""``waterkit check``."""

import datetime as dt
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from waterkit.cli.options import as_of_option, day_of, folder_argument, json_option
from waterkit.errors import listing

if TYPE_CHECKING:
    from waterkit.club.schema import Club


@click.command(short_help="Every problem of the folder, with its cure; silent if there is none.")
@folder_argument
@json_option
@click.option(
    "--advice", is_flag=True, help="Name the five inputs that would move litres or money most."
)
@as_of_option
def check(folder: Path, as_json: bool, advice: bool, as_of: dt.datetime | None) -> None:
    """Every problem of the folder, with its cure; silent if there is none.

    All files are read, and all problems are told at once: file, line, field, what is wrong, what
    to do. Warnings alone leave the exit status at 0.

    With --advice the season is planned (as of today, or of --as-of) with the low and with the high
    of every input that is missing, assumed or quoted; the five that move litres or money most are
    named, with how to find each out.

    \b
    Example:
      waterkit check data/demo-club
      waterkit check data/demo-club --advice --as-of 2027-08-15
    """
    from waterkit.club import inspect_club

    club, problems = inspect_club(folder)
    rows = [problem.row for problem in problems]
    if as_json:
        found = _advice_json(club, as_of) if advice and club else {}
        click.echo(json.dumps({**found, "problems": rows}, indent=2, ensure_ascii=False))
    else:
        if problems:
            click.echo(listing(problems))
        if advice and club:
            _show_advice(club, as_of)
    sys.exit(1 if any(problem.severity == "error" for problem in problems) else 0)


def _show_advice(club: "Club", as_of: dt.datetime | None) -> None:
    from waterkit.cli.terminal import show
    from waterkit.pages.view.advice import advice_topic
    from waterkit.pages.view.figures import Figures
    from waterkit.plan.advice import advise

    show(advice_topic(advise(club, day_of(as_of)), Figures.of(club)))


def _advice_json(club: "Club", as_of: dt.datetime | None) -> dict[str, Any]:
    from waterkit.pages.answers.advice import REASONS, advice_rows
    from waterkit.pages.answers.values import reasons_for_null
    from waterkit.pages.view.figures import Figures
    from waterkit.plan.advice import advise

    day = day_of(as_of)
    answer = {"advice": advice_rows(advise(club, day), Figures.of(club))}
    return {"as_of": day.isoformat(), **answer, "reasons": reasons_for_null(answer, REASONS)}
