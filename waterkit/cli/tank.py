"""``waterkit tank``."""

import datetime as dt
import json
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from waterkit.cli.answering import failed, tell
from waterkit.cli.options import answer_options
from waterkit.errors import InputError

if TYPE_CHECKING:
    from waterkit.club.schema import Club
    from waterkit.errors import Problem
    from waterkit.plan.at_tank import AtTank

WRONG_USAGE = 2
Command = Callable[..., Any]
TEXTS: Mapping[str, str] = {
    "reading": 'What the meter shows, with its unit: "1.3 uS/cm", "0.6 ppm".',
    "temperature": 'Temperature of the water: "6 degC".',
    "point": "Where: DI outlet (may it go into the tank?), tank or hose end (onto the ice?); "
    "tank if left out.",
    "use": "What for: mist, flood, white, seal, pebble; flood if left out. At the DI outlet the "
    "strictest use of the tank decides.",
    "litres": 'What the job takes: "480 L".',
    "meter": "Which meter, by its name in club.toml.",
    "total": 'What the water meter behind the resin shows: "4900 L".',
    "by": "With --log: who read it.",
}


def _asking(command: Command) -> Command:
    """One option for each thing that is told."""
    for name, text in reversed(tuple(TEXTS.items())):
        command = click.option(f"--{name}", metavar="TEXT", help=text)(command)
    return command


@click.command(short_help="At the tank: fill, hold or do not fill, and why.")
@_asking
@click.option(
    "--seen", multiple=True, metavar="WORD",
    help="What a meter does not tell: smell, film, colour, cloudy, flakes (in the water), unsteady "
    "(the figure), rinsing (a fresh vessel or the hose). May be given several times.",
)  # fmt: skip
@click.option("--log", "write", is_flag=True, help="Write the reading into readings.csv.")
@answer_options
def tank(
    folder: Path, as_json: bool, as_of: dt.datetime | None, strict: bool, write: bool,
    seen: tuple[str, ...], **texts: str | None,
) -> None:  # fmt: skip
    """At the tank: fill, hold or do not fill, and why.

    The reading is judged at the temperature of the water: as the meter corrects it, against the
    limits turned to that temperature, with what air alone does there. 'hold' and 'do not fill'
    are answers; with --strict they exit with 1.

    \b
    Example:
      waterkit tank --reading "1.3 uS/cm" --temperature "6 degC" --point tank --use flood \\
          --litres "480 L"
    """
    from waterkit.club import inspect_club

    club, problems = inspect_club(folder)
    if club is None:
        _leave(problems, as_json, 1)
    found = _judged(club, as_of, texts, seen, as_json)
    unwritten = _write(folder, found, texts) if write else ()
    if texts.get("by") and not write:
        click.echo("--by is written down only with --log", err=True)
    _print(found, as_json)
    if not as_json:
        tell(problems)
    tell(unwritten)
    if failed((*problems, *unwritten)) or (strict and found.decision.verdict != "fill"):
        sys.exit(1)


def _judged(
    club: "Club", as_of: dt.datetime | None, texts: Mapping[str, str | None],
    seen: tuple[str, ...], as_json: bool,
) -> "AtTank":  # fmt: skip
    from waterkit.plan.asking import read_asked
    from waterkit.plan.at_tank import at_tank

    try:
        club.need("limits", "meters")
    except InputError as error:
        _leave(dict.fromkeys((*club.problems, *error.problems)), as_json, 1)
    try:
        asked = read_asked(club, texts, seen)
    except InputError as error:
        _leave(error.problems, as_json, WRONG_USAGE)
    return at_tank(club, _moment(club, as_of), asked)


def _moment(club: "Club", as_of: dt.datetime | None) -> dt.datetime:
    """Now, or the end of the day that was named, by the club's clock."""
    from zoneinfo import ZoneInfo

    if as_of is None:
        return dt.datetime.now(ZoneInfo(club.timezone))
    return dt.datetime.combine(as_of.date(), dt.time.max, ZoneInfo(club.timezone))


def _leave(
    problems: "Sequence[Problem] | dict[Problem, None]", as_json: bool, status: int
) -> NoReturn:
    """Tell what is in the way of any answer, and leave."""
    if as_json:
        rows = [problem.row for problem in problems]
        click.echo(json.dumps({"problems": rows}, indent=2, ensure_ascii=False))
    else:
        tell(tuple(problems))
    sys.exit(status)


def _write(folder: Path, found: "AtTank", texts: Mapping[str, str | None]) -> "tuple[Problem, ...]":
    """Write the reading down before anything is said of it; what is in the way of that."""
    from waterkit.club.log import append_row
    from waterkit.plan.asking import log_row

    try:
        place = append_row(folder, "reading", log_row(found, texts.get("by")))
    except InputError as error:
        return tuple(error.problems)
    what = "stands there already, not written again" if place.duplicate else "written"
    click.echo(f"{place.path}:{place.line}: {what}", err=True)
    return ()


def _print(found: "AtTank", as_json: bool) -> None:
    if as_json:
        from waterkit.pages.answers.tank import tank as answer

        click.echo(json.dumps(answer(found), indent=2, ensure_ascii=False))
        return
    from waterkit.pages.view.figures import Figures
    from waterkit.pages.view.verdict import verdict_words

    words = verdict_words(found, Figures.of(found.club))
    click.echo(click.style(words.answer, bold=True))
    _lines("Why", words.reasons)
    _lines("Next", words.steps)
    facts = (f"{one.label}: {one.text}" + (f" ({one.remark})" if one.remark else "")
             for one in words.facts)  # fmt: skip
    _lines("Figures", tuple(facts))
    _lines("Cautions", words.cautions)


def _lines(head: str, lines: Sequence[str]) -> None:
    """A head and its lines, wrapped as on the other commands' pages."""
    if lines:
        click.echo(f"\n{click.style(head, bold=True)}")
    for line in lines:
        click.echo(click.wrap_text(line, 110, "  - ", "    "))
