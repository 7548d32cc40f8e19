"""What a command loads: a fresh interpreter shows which libraries are in memory when it ends."""

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

FreshPython = Callable[..., subprocess.CompletedProcess[str]]

COMMANDS = (
    "new", "check", "water", "layers", "paint", "pebble", "resin", "season", "tank", "log",
    "buy", "report",
)  # fmt: skip
HEAVY = ("pandas", "scipy", "chempy", "jinja2", "matplotlib")
HEAVY_FOR_HELP = (*HEAVY, "pint", "numpy", "pydantic", "pydantic_core", "rich")

PROGRAM = """
import json, sys
from waterkit.cli import main
try:
    main(sys.argv[1:], prog_name="waterkit")
except SystemExit as stop:
    status = stop.code or 0
print(json.dumps([status, sorted(sys.modules)]), file=sys.stderr)
"""


def _run(fresh_python: FreshPython, *arguments: str) -> tuple[int, str, set[str]]:
    """Exit status, what was printed, and the modules in memory after one command."""
    done = fresh_python(PROGRAM, *arguments)
    assert done.returncode == 0, done.stderr
    status, modules = json.loads(done.stderr.splitlines()[-1])
    return status, done.stdout, set(modules)


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help_loads_nothing_heavy(fresh_python: FreshPython, command: str) -> None:
    status, printed, modules = _run(fresh_python, *filter(None, (command, "--help")))
    assert status == 0
    assert "Usage: waterkit" in printed
    assert modules & set(HEAVY_FOR_HELP) == set()


def test_version_loads_nothing_heavy(fresh_python: FreshPython) -> None:
    status, _, modules = _run(fresh_python, "--version")
    assert status == 0
    assert modules & set(HEAVY_FOR_HELP) == set()


def test_check_of_the_demo_is_silent_and_loads_nothing_heavy(
    fresh_python: FreshPython, demo_folder: Path
) -> None:
    status, printed, modules = _run(fresh_python, "check", str(demo_folder))
    assert (status, printed) == (0, "")
    assert modules & set(HEAVY) == set()
    assert "pint" in modules  # it did read the quantities


def test_the_answer_at_the_tank_loads_nothing_heavy(
    fresh_python: FreshPython, demo_folder: Path
) -> None:
    told = ("--reading", "1.3 uS/cm", "--temperature", "6 degC")
    status, printed, modules = _run(fresh_python, "tank", str(demo_folder), *told)
    assert (status, printed[:16]) == (0, "Start the flood:")
    assert modules & {*HEAVY, "pydantic", "rich"} == set()


def test_importing_the_package_loads_nothing_heavy(fresh_python: FreshPython) -> None:
    done = fresh_python("import waterkit, sys, json; print(json.dumps(sorted(sys.modules)))")
    assert done.returncode == 0, done.stderr
    assert set(json.loads(done.stdout)) & set(HEAVY_FOR_HELP) == set()


def test_every_command_of_the_program_is_tried_here() -> None:
    from waterkit.cli import main

    assert tuple(main.commands) == COMMANDS
