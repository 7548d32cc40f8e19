"""``waterkit log``: what people write down, put into the club's files."""

import datetime as dt
import json
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from waterkit.cli.options import folder_argument, json_option
from waterkit.errors import InputError, listing

if TYPE_CHECKING:
    from waterkit.club.log import Appended, Kind

Command = Callable[..., Any]
LINES = "lines"
WRONG_USAGE = 2


class _Log(click.Group):
    """Subcommands that each write one row; with ``--from`` a command by itself."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        taken = any(word.partition("=")[0] == "--from" for word in args)
        if taken and args[0] not in self.commands:
            args = [LINES, *args]
        return super().parse_args(ctx, args)

    def list_commands(self, ctx: click.Context) -> list[str]:
        return [name for name in self.commands if name != LINES]


@click.group(cls=_Log, short_help="Write a reading, a change, an order or a bill into the files.")
def log() -> None:
    """Write a reading, a change, an order or a bill into the files.

    Each subcommand writes one row into one file of the folder, in the style in which the file is
    written already: its columns, its units, its decimal mark. It is told where the row stands; by
    then the disk has it. A row that stands there already is told and not doubled. Nothing is
    written of a row that cannot be used (exit status 2), or if the file cannot be continued (1).

    'waterkit log [FOLDER] --from FILE' takes lines under the headings of the files they belong
    to, as a phone keeps them; '-' stands for what is typed or pasted.

    \b
    Example:
      waterkit log reading my-club --point tank --conductivity "1.3 uS/cm"
      waterkit log my-club --from readings-of-today.txt
    """


def _fields(**helps: str) -> Callable[[Command], Command]:
    """One option for each column of a file."""

    def decorate(command: Command) -> Command:
        for name, text in reversed(helps.items()):
            option = f"--{name.rstrip('_').replace('_', '-')}"
            command = click.option(option, name, metavar="TEXT", help=text)(command)
        return folder_argument(json_option(command))

    return decorate


@log.command(short_help="A meter held into the water: a row of readings.csv.")
@_fields(
    time="When, by the club's clock: 2027-10-02T18:45; now if left out.",
    point="Where: feed, softened, permeate, lead outlet, DI outlet, tank, hose end, standard.",
    conductivity='What the meter showed, with its unit: "1.3 uS/cm".',
    temperature='Temperature of the water: "6 degC".',
    meter="Which meter, by its name in club.toml.",
    compensation="How it corrected, if not as club.toml says.",
    reference='To which temperature it corrected: "25 degC".',
    treated_total='The water meter behind the resin: "4560 L".',
    use="What the water is for: mist, flood, white, seal, pebble.",
    vessel="The vessel in the lead.",
    by="Who read it.",
    note="Anything else.",
)
def reading(folder: Path, as_json: bool, **values: str | None) -> None:
    """A meter held into the water: a row of readings.csv.

    \b
    Example:
      waterkit log reading --point "DI outlet" --conductivity "0.8 uS/cm" \\
          --temperature "9 degC" --treated-total "4560 L" --by Kim
    """
    now = dt.datetime.now(dt.UTC).isoformat(timespec="minutes")
    _append(folder, "reading", {"time": now}, values, as_json)


@log.command(short_help="A vessel of resin changed: a row of changeouts.csv.")
@_fields(
    date="The day; today if left out.",
    position="Where: lead, lag, single.",
    vessel_out="The vessel taken out.",
    vessel_in="The vessel put in.",
    reason="Why: at limit, by litres, by calendar, before an event, damaged, end of season.",
    last_reading='What its outlet showed at the end: "4.8 uS/cm".',
    treated_total='The water meter behind the resin: "9120 L".',
)
def changeout(folder: Path, as_json: bool, **values: str | None) -> None:
    """A vessel of resin changed: a row of changeouts.csv.

    \b
    Example:
      waterkit log changeout --position lead --vessel-out "vessel 1" --vessel-in "vessel 3" \\
          --reason "at limit" --last-reading "4.8 uS/cm" --treated-total "9120 L"
    """
    _append(folder, "changeout", {"date": _today()}, values, as_json)


@log.command(short_help="Anything else that was looked at: a row of checks.csv.")
@_fields(
    date="The day; today if left out.",
    what="What: hardness, chlorine, silica, iron, pressure, permeate flow, slab temperature, "
    "ice thickness.",
    value='What was found, with its unit: "0.2 mg/L", "31 mm".',
    place="Where.",
    by="Who looked.",
)
def check(folder: Path, as_json: bool, **values: str | None) -> None:
    """Anything else that was looked at: a row of checks.csv.

    \b
    Example:
      waterkit log check --what "ice thickness" --value "31 mm" --place "sheet 2, house" --by Kim
    """
    _append(folder, "check", {"date": _today()}, values, as_json)


@log.command(short_help="Something ordered: a row of orders.csv.")
@_fields(
    ordered_on="The day; today if left out.",
    item="What, by its name in items.csv.",
    supplier="From whom, by the name in suppliers.csv.",
    packs="How many packs.",
    price="Price of all of them, without tax: 428.00.",
    expected_on="The day on which they are expected.",
)
def order(folder: Path, as_json: bool, **values: str | None) -> None:
    """Something ordered: a row of orders.csv.

    \b
    Example:
      waterkit log order --item "resin exchange" --supplier "resin service" --packs 2 \\
          --price 428.00 --expected-on 2027-09-10
    """
    _append(folder, "order", {"ordered_on": _today()}, values, as_json)


@log.command(short_help="A bill paid: a row of spending.csv.")
@_fields(
    date="The day; today if left out.",
    season="The season it counts for: 2027-28.",
    item="For what.",
    amount="How much, tax and delivery included: 509.32.",
)
def bill(folder: Path, as_json: bool, **values: str | None) -> None:
    """A bill paid: a row of spending.csv.

    \b
    Example:
      waterkit log bill --season 2027-28 --item "resin exchange" --amount 509.32
    """
    _append(folder, "bill", {"date": _today()}, values, as_json)


@log.command(short_help="A step of the layer plan done: its row of layers.csv.")
@click.option("--step", required=True, metavar="TEXT", help="The step, by its name in layers.csv.")
@_fields(on="The day; today if left out.", litres='What it really took: "480 L".')
def done(folder: Path, as_json: bool, step: str, on: str | None, litres: str | None) -> None:
    """A step of the layer plan done: its row of layers.csv.

    Fills the cells 'done on' and 'litres used' of the step; all other rows stay as they are.

    \b
    Example:
      waterkit log done --step "first flood" --on 2027-09-20 --litres "480 L"
    """
    from waterkit.club.log import change_row

    values = {"done_on": on or _today(), "litres_used": litres}
    with _told(as_json):
        _answer([change_row(folder, "done", {"step": step}, values)], as_json)


@log.command(short_help="An order received: its row of orders.csv.")
@click.option("--item", required=True, metavar="TEXT", help="The item of the order.")
@_fields(
    supplier="From whom, where more than one order of the item is open.",
    ordered_on="When it was ordered, where more than one order of the item is open.",
    on="The day on which it came; today if left out.",
)
def received(
    folder: Path, as_json: bool, item: str, supplier: str | None, ordered_on: str | None,
    on: str | None,
) -> None:  # fmt: skip
    """An order received: its row of orders.csv.

    Fills the cell 'received on' of the open order; all other rows stay as they are.

    \b
    Example:
      waterkit log received --item "resin exchange" --on 2027-09-12
    """
    from waterkit.club.log import change_row

    which = {"item": item, "supplier": supplier, "ordered_on": ordered_on}
    with _told(as_json):
        place = change_row(folder, "received", which, {"received_on": on or _today()})
        _answer([place], as_json)


@log.command(LINES, hidden=True)
@click.option(
    "--from", "source", required=True, help="File with the lines, or - for standard input.",
    type=click.Path(exists=True, dir_okay=False, allow_dash=True),
)  # fmt: skip
@_fields()
def lines(folder: Path, source: str, as_json: bool) -> None:
    """Lines under the headings of the files they belong to.

    \b
    Example:
      waterkit log my-club --from readings-of-today.txt
    """
    from waterkit.club.log import append_lines

    data = sys.stdin.buffer.read() if source == "-" else Path(source).read_bytes()
    label = "standard input" if source == "-" else source
    with _told(as_json):
        _answer(append_lines(folder, data, label), as_json)


def _append(
    folder: Path, kind: "Kind", usual: Mapping[str, str], values: Mapping[str, str | None],
    as_json: bool,
) -> None:  # fmt: skip
    from waterkit.club.log import append_row

    told = {**usual, **{name: value for name, value in values.items() if value is not None}}
    with _told(as_json):
        _answer([append_row(folder, kind, told)], as_json)


@contextmanager
def _told(as_json: bool) -> Iterator[None]:
    """Tell what is wrong, and leave: with 2 if it is what was handed over, with 1 if a file is."""
    from waterkit.club.books import RowError

    try:
        yield
    except InputError as error:
        if as_json:
            rows = [problem.row for problem in error.problems]
            click.echo(json.dumps({"problems": rows}, indent=2, ensure_ascii=False))
        else:
            click.echo(listing(error.problems), err=True)
        sys.exit(WRONG_USAGE if isinstance(error, RowError) else 1)


def _answer(places: "Iterable[Appended]", as_json: bool) -> None:
    """Where the rows stand now."""
    if as_json:
        rows = [
            {"file": place.path.name, "line": place.line, "duplicate": place.duplicate}
            for place in places
        ]
        click.echo(json.dumps({"rows": rows, "problems": []}, indent=2, ensure_ascii=False))
        return
    for place in places:
        what = "stands there already, not written again" if place.duplicate else "written"
        click.echo(f"{place.path}:{place.line}: {what}")


def _today() -> str:
    return dt.date.today().isoformat()
