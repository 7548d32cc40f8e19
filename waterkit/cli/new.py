"""``waterkit new``."""

import datetime as dt
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from waterkit.errors import FieldError

if TYPE_CHECKING:
    from waterkit.season.build import SeasonDates
    from waterkit.water.sample import WaterTest

MOST_SHEETS = 24
SHEETS = click.IntRange(1, MOST_SHEETS)
DAY = click.DateTime(["%Y-%m-%d"])
Moment = dt.datetime | None


@click.command(short_help="Write a club folder to start from, or an invented club to look at.")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--demo", is_flag=True, help="Write the invented demo club.")
@click.option("--sheets", type=SHEETS, metavar="NUMBER", help="How many sheets the club has.")
@click.option(
    "--hardness", metavar="TEXT", help='Hardness of the supply, such as "360 mg/L as CaCO3".'
)
@click.option("--name", metavar="TEXT", help="Name of the club.")
@click.option(
    "--first-draw",
    type=DAY,
    metavar="DATE",
    help="Opening day; else the first Saturday of the coming October.",
)
@click.option(
    "--last-draw", type=DAY, metavar="DATE", help="Last day of play; else the end of March."
)
@click.option("--dated", type=DAY, metavar="DATE", help="Day of the water test; else today.")
def new(
    folder: Path, demo: bool, sheets: int | None, hardness: str | None, name: str | None,
    first_draw: Moment, last_draw: Moment, dated: Moment,
) -> None:  # fmt: skip
    """Write a club folder to start from, or an invented club to look at.

    Sheets and hardness are enough to begin: all other figures are common ones, marked as assumed,
    and club.toml says above each how to find it out. On a terminal, what is not given is asked for.
    The demo club is made up, its prices too. No file that is already there is touched; a README.md
    that is there stays, and none is written.

    \b
    Example:
      waterkit new my-club --sheets 3 --hardness "360 mg/L as CaCO3"
      waterkit new my-club --demo
    """
    if demo:
        from waterkit.club.demo_folder import write_demo

        _refuse_beside_demo()
        paths = write_demo(folder)
    else:
        day = dated.date() if dated else dt.date.today()
        asking = sheets is None or hardness is None
        if asking and not at_a_terminal():
            raise click.UsageError('give --sheets 3 and --hardness "360 mg/L as CaCO3", or --demo')
        sheets = sheets or click.prompt("How many sheets", type=SHEETS, err=True)
        test = _test(hardness, day)
        name = name or (_asked_name() if asking else "")
        season = _season(first_draw, last_draw, day, asking)
        paths = _written(folder, sheets or 0, test, season, name)
    for path in paths:
        click.echo(path)


def _refuse_beside_demo() -> None:
    """The demo is what it is: options that would change it are wrong usage."""
    given = click.get_current_context().params
    others = [name for name, value in given.items() if value and name not in ("folder", "demo")]
    if others:
        names = ", ".join(f"--{name.replace('_', '-')}" for name in others)
        raise click.UsageError(f"--demo takes no {names}: leave it out, or leave --demo out")


def at_a_terminal() -> bool:
    """Whether somebody is there to answer."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def _test(hardness: str | None, day: dt.date) -> "WaterTest":
    """The hardness as a water test; asked for until it can be read where it was not given."""
    from waterkit.club.starting import read_hardness

    def read(text: str) -> "WaterTest":
        try:
            return read_hardness(text, day)
        except FieldError as error:
            message = f"{error.message}: {error.hint}"
            raise click.BadParameter(message, param_hint="--hardness") from error

    if hardness is not None:
        return read(hardness)
    question = "Hardness of the water (the supplier tells, or a test strip), with its unit"
    test: WaterTest = click.prompt(question, value_proc=read, err=True)
    return test


def _asked_name() -> str:
    from waterkit.club.starting import NAME

    return str(click.prompt("Name of the club", default=NAME, err=True))


def _season(first: Moment, last: Moment, day: dt.date, asking: bool) -> "SeasonDates":
    """First and last draw as given or asked, else the coming season."""
    from waterkit.club.starting import season_after, season_from

    usual = season_after(day).first_draw
    opening = first.date() if first else _asked_day("First draw", usual, asking)
    closing = season_from(opening).last_draw
    ending = last.date() if last else _asked_day("Last draw", closing, asking)
    return season_from(opening, ending)


def _asked_day(question: str, usual: dt.date, asking: bool) -> dt.date:
    if not asking:
        return usual
    answer: dt.datetime = click.prompt(question, default=f"{usual}", type=DAY, err=True)
    return answer.date()


def _written(
    folder: Path, sheets: int, test: "WaterTest", season: "SeasonDates", name: str
) -> tuple[Path, ...]:
    from waterkit.club.starting import write_start

    try:
        return write_start(folder, sheets, test, season, name)
    except FieldError as error:
        raise click.UsageError(f"{error.message}: {error.hint}") from error
