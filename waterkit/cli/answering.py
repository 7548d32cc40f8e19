"""From a folder to an answer on the terminal or as JSON: the same path for every topic."""

import datetime as dt
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from waterkit.cli.options import day_of
from waterkit.errors import InputError, Problem, listing

if TYPE_CHECKING:
    from waterkit.plan import SeasonPlan


def answer(
    topic: str, folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool
) -> None:
    """Print the answer to one topic; exit 1 on errors, and on findings where ``strict``."""
    try:
        plan = planned(folder, as_of)
    except InputError as error:
        if not as_json:
            raise
        click.echo(json.dumps({"problems": [problem.row for problem in error.problems]}, indent=2))
        sys.exit(1)
    if as_json:
        from waterkit.pages.answers import answer_of

        click.echo(json.dumps(answer_of(topic, plan), indent=2, ensure_ascii=False))
    else:
        from waterkit.cli.terminal import show
        from waterkit.pages.view import topic_of

        warn(plan.club.problems)
        show(topic_of(topic, plan))
    if strict and plan.findings:
        sys.exit(1)


def planned(folder: Path, as_of: dt.datetime | None) -> "SeasonPlan":
    """Read the folder and plan its season; raises InputError where it holds an error."""
    from waterkit.club import read_club
    from waterkit.plan import plan_season

    return plan_season(read_club(folder), day_of(as_of))


def warn(problems: tuple[Problem, ...]) -> None:
    """Tell warnings on stderr; they never stop an answer."""
    if problems:
        click.echo(listing(problems), err=True)
