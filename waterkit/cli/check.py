"""``waterkit check``."""

import json
import sys
from pathlib import Path

import click

from waterkit.cli.options import folder_argument, json_option
from waterkit.errors import listing


@click.command(short_help="Every problem of the folder, with its cure; silent if there is none.")
@folder_argument
@json_option
def check(folder: Path, as_json: bool) -> None:
    """Every problem of the folder, with its cure; silent if there is none.

    All files are read, and all problems are told at once: file, line, field, what is wrong, what
    to do. Warnings alone leave the exit status at 0.

    \b
    Example:
      waterkit check data/demo-club
    """
    from waterkit.club import inspect_club

    _, problems = inspect_club(folder)
    if as_json:
        rows = [problem.row for problem in problems]
        click.echo(json.dumps({"problems": rows}, indent=2, ensure_ascii=False))
    elif problems:
        click.echo(listing(problems))
    sys.exit(1 if any(problem.severity == "error" for problem in problems) else 0)
