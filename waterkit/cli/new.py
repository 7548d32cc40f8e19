"""``waterkit new``."""

from pathlib import Path

import click


@click.command(short_help="Write a club folder to start from: --demo writes an invented club.")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--demo", is_flag=True, required=True, help="Write the invented demo club.")
def new(folder: Path, demo: bool) -> None:
    """Write a club folder to start from: --demo writes an invented club.

    The demo club is made up, its prices too. No file that is already there is touched.

    \b
    Example:
      waterkit new my-club --demo
    """
    from waterkit.club import write_demo

    for path in write_demo(folder):
        click.echo(path)
