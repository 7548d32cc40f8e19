"""From a folder to an answer on the terminal or as JSON: the same path for every topic."""

import datetime as dt
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from waterkit.cli.options import day_of
from waterkit.cli.waiting import waiting
from waterkit.errors import InputError, Problem, listing

if TYPE_CHECKING:
    from waterkit.plan import SeasonPlan


def answer(
    topic: str, folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool
) -> None:
    """Print the answer to one topic, as far as the folder's errors leave one.

    Exits with 1 if the folder holds an error anywhere, and on findings where ``strict``.
    """
    plan, problems = planned(folder, as_of)
    try:
        found = _print(topic, plan, as_json) if plan else _print_problems(problems, as_json)
    except InputError as error:
        problems = tuple(dict.fromkeys((*problems, *error.problems)))
        found = _print_problems(problems, as_json)
    if not as_json:
        tell(problems)
    if failed(problems) or (strict and found):
        sys.exit(1)


def planned(
    folder: Path, as_of: dt.datetime | None
) -> "tuple[SeasonPlan | None, tuple[Problem, ...]]":
    """The plan of a folder and all problems found; no plan where nothing can be answered."""
    from waterkit.club import inspect_club
    from waterkit.plan import plan_season

    club, problems = inspect_club(folder)
    return (plan_season(club, day_of(as_of), waiting()) if club else None), problems


def tell(problems: Sequence[Problem]) -> None:
    """Tell problems on stderr."""
    if problems:
        click.echo(listing(problems), err=True)


def failed(problems: Sequence[Problem]) -> bool:
    """Whether one of the problems is an error."""
    return any(problem.severity == "error" for problem in problems)


def _print(topic: str, plan: "SeasonPlan", as_json: bool) -> bool:
    """Print a topic, and say whether it holds a finding."""
    from waterkit.pages.view import findings_of, topic_of

    if as_json:
        from waterkit.pages.answers import answer_of

        click.echo(json.dumps(answer_of(topic, plan), indent=2, ensure_ascii=False))
    else:
        from waterkit.cli.terminal import show

        show(topic_of(topic, plan))
    return bool(findings_of(topic, plan))


def _print_problems(problems: Sequence[Problem], as_json: bool) -> bool:
    if as_json:
        rows = [problem.row for problem in problems]
        click.echo(json.dumps({"problems": rows}, indent=2, ensure_ascii=False))
    return False
