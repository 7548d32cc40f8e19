"""``waterkit paint``."""

import datetime as dt
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

import click

from waterkit.cli.answering import answer, failed, planned, tell
from waterkit.cli.options import answer_options
from waterkit.errors import InputError, Problem

WRONG_USAGE = 2


@click.command(short_help="Batches of white paint: water, powder and mix for each.")
@click.option("--batch", type=int, metavar="N", help="Check this batch; with --jug or --powder.")
@click.option(
    "--jug", metavar="TEXT", help='How much more a jug of mix weighs than of water: "375 g".'
)
@click.option("--powder", metavar="TEXT", help='Powder that really went in: "30 kg".')
@answer_options
def paint(
    folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool,
    batch: int | None, jug: str | None, powder: str | None,
) -> None:  # fmt: skip
    """Batches of white paint: water, powder and mix for each.

    Every batch has the same powder to water ratio; the last one is scaled with its powder. Whether
    it covers, how it is sprayed and checked, and what colours and lines take, are told too. With
    --batch it judges a batch that is mixed, and tells what to add.

    \b
    Example:
      waterkit paint data/demo-club --as-of 2027-08-15
      waterkit paint data/demo-club --as-of 2027-08-15 --batch 1 --jug "340 g"
    """
    if batch is None and jug is None and powder is None:
        answer("paint", folder, as_json, as_of, strict)
        return
    _check(folder, as_json, as_of, strict, (batch or 0, jug, powder))


def _check(
    folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool,
    asked: tuple[int, str | None, str | None],
) -> None:  # fmt: skip
    """Judge one batch; what was typed wrong exits with 2."""
    from waterkit.plan.batch_check import check_batch

    plan, problems = planned(folder, as_of)
    if plan is None:
        _leave(problems, as_json, 1)
    try:
        checked = check_batch(plan, *asked)
    except InputError as error:
        _leave(error.problems, as_json, 1 if plan.club.lacks("white") else WRONG_USAGE)
    if as_json:
        from waterkit.pages.answers.paint import batch_check

        click.echo(json.dumps(batch_check(checked, plan), indent=2, ensure_ascii=False))
    else:
        from waterkit.cli.terminal import show
        from waterkit.pages.view.batch_check import checked_batch
        from waterkit.pages.view.figures import Figures

        show(checked_batch(checked, Figures.of(plan.club)))
        tell(problems)
    if failed(problems) or (strict and checked.reading.outcome != "as planned"):
        sys.exit(1)


def _leave(problems: Sequence[Problem], as_json: bool, status: int) -> NoReturn:
    if as_json:
        rows = [problem.row for problem in problems]
        click.echo(json.dumps({"problems": rows}, indent=2, ensure_ascii=False))
    else:
        tell(problems)
    sys.exit(status)
