"""``waterkit check``."""

import datetime as dt
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from waterkit.cli.options import as_of_option, day_of, folder_argument, json_option
from waterkit.errors import InputError, Problem, listing

if TYPE_CHECKING:
    from waterkit.club.schema import Club
    from waterkit.plan.advice import Advice


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
    of every input that is missing, assumed or quoted; the five missing or assumed ones that move
    litres or money most are named, with how to find each out, and quoted ones only after them.

    \b
    Example:
      waterkit check data/demo-club
      waterkit check data/demo-club --advice --as-of 2027-08-15
    """
    club, problems = _inspected(folder)
    if as_json:
        found = _advice_json(club, day_of(as_of)) if advice else {}
        rows = [problem.row for problem in problems]
        click.echo(json.dumps({**found, "problems": rows}, indent=2, ensure_ascii=False))
    else:
        if problems:
            click.echo(listing(problems))
        if advice:
            _show_advice(club, day_of(as_of))
    sys.exit(1 if any(problem.severity == "error" for problem in problems) else 0)


def _inspected(folder: Path) -> "tuple[Club | None, Sequence[Problem]]":
    """The club and all problems, those that only a page would meet too; no club with these."""
    from waterkit.club import inspect_club

    club, problems = inspect_club(folder)
    if club is None:
        return None, problems
    from waterkit.pages.view.figures import Figures

    try:
        Figures.of(club)
    except InputError as error:
        every = (*problems, *error.problems)
        return None, sorted(every, key=lambda problem: problem.order)
    return club, problems


def _show_advice(club: "Club | None", day: dt.date) -> None:
    from waterkit.cli.terminal import show
    from waterkit.pages.view.advice import advice_topic, no_advice
    from waterkit.pages.view.figures import Figures

    found = _advice(club, day)
    show(no_advice() if club is None or found is None else advice_topic(found, Figures.of(club)))


def _advice_json(club: "Club | None", day: dt.date) -> dict[str, Any]:
    from waterkit.pages.answers.advice import REASONS, advice_rows
    from waterkit.pages.answers.values import reasons_for_null
    from waterkit.pages.view.advice import BROKEN
    from waterkit.pages.view.figures import Figures

    found = _advice(club, day)
    if club is None or found is None:
        return {"as_of": day.isoformat(), "advice": None, "reasons": {"advice": BROKEN}}
    answer = {"advice": advice_rows(found, Figures.of(club))}
    return {"as_of": day.isoformat(), **answer, "reasons": reasons_for_null(answer, REASONS)}


def _advice(club: "Club | None", day: dt.date) -> "tuple[Advice, ...] | None":
    """The inputs worth finding out; None where the errors of the folder leave no answer."""
    from waterkit.plan.advice import advise

    try:
        return advise(club, day) if club else None
    except InputError:
        return None
