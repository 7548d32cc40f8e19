"""The command line: one thin module a command, and the one place that prints errors."""

import atexit
import gc
import sys
from typing import Any

import click

from waterkit import __version__
from waterkit.cli.buy import buy
from waterkit.cli.check import check
from waterkit.cli.layers import layers
from waterkit.cli.log import log
from waterkit.cli.new import new
from waterkit.cli.paint import paint
from waterkit.cli.pebble import pebble
from waterkit.cli.report import report
from waterkit.cli.resin import resin
from waterkit.cli.season import season
from waterkit.cli.tank import tank
from waterkit.cli.water import water
from waterkit.errors import FieldError, InputError, MachineError, listing

COMMANDS = (new, check, water, layers, paint, pebble, resin, season, tank, log, buy, report)

COLLECT_AFTER = 100_000
"""A command lives for a second: looking for garbage while libraries load takes a tenth of it."""
atexit.register(gc.freeze)  # and once more so at its end


class _Waterkit(click.Group):
    """The group of all commands, in the order in which they are met."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.commands)

    def invoke(self, ctx: click.Context) -> Any:
        gc.set_threshold(COLLECT_AFTER)
        try:
            return super().invoke(ctx)
        except InputError as error:
            click.echo(listing(error.problems), err=True)
            sys.exit(1)
        except FieldError as error:
            click.echo(f"waterkit: {error.field}: {error.message}\n    {error.hint}", err=True)
            sys.exit(1)
        except (MachineError, OSError) as error:
            click.echo(f"waterkit: {error}", err=True)
            sys.exit(3)


@click.group(cls=_Waterkit, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="waterkit")
def main() -> None:
    """Plan the water of a small curling club, from the source to the purchase list.

    Every command reads one FOLDER of plain text files that the club keeps. 'waterkit new --demo'
    writes an invented club to look at.

    Exit status: 0 answered, 1 the folder holds an error, 2 wrong usage, 3 the machine refused.

    waterkit plans; local codes, the product's data sheet and licensed trades decide.
    """


for _command in COMMANDS:
    main.add_command(_command)
