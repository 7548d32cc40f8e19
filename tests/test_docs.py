"""The documentation tells the truth: its commands, its made pages, its links."""

import re
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner

import waterkit
from docs import regenerate
from waterkit.cli import main
from waterkit.club.reading import TABLES, inspect_club

ROOT = Path(__file__).parent.parent
DOCS = ROOT / "docs"
README = (ROOT / "README.md").read_text("utf-8")
PAGES = sorted([*ROOT.glob("*.md"), *DOCS.glob("*.md")])
BLOCK = re.compile(r"^```sh\n(.*?)^```$", re.MULTILINE | re.DOTALL)
LINK = re.compile(r"\[[^\]]*\]\(([^)#]*)(?:#([^)]*))?\)")
COMMANDS = sorted(main.commands)


def test_readme_has_two_commands_of_one_line_each() -> None:
    blocks = BLOCK.findall(README)
    assert [block.count("\n") for block in blocks] == [1, 1]
    report, tests = blocks
    assert "waterkit report data/demo-club -o reports/demo-club" in report
    assert tests.rstrip().endswith("-m pytest -n auto --maxprocesses 4")


def test_both_commands_need_only_python_and_the_clone() -> None:
    for block in BLOCK.findall(README):
        assert block.startswith(
            "python3 -m venv .venv && .venv/bin/pip install -q -c constraints.txt"
        )


def test_the_machine_that_checks_runs_the_very_test_command() -> None:
    _, tests = BLOCK.findall(README)
    assert tests.rstrip("\n") in (ROOT / ".ci" / "run").read_text("utf-8").splitlines()


@pytest.mark.parametrize("name", sorted(regenerate.PAGES))
def test_a_made_page_is_up_to_date(name: str) -> None:
    written = (DOCS / name).read_text("utf-8")
    assert written == regenerate.PAGES[name](), "run: python -m docs.regenerate"


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_has_help_an_example_and_a_place_in_the_docs(command: str) -> None:
    result = CliRunner().invoke(main, [command, "--help"], prog_name="waterkit")
    assert result.exit_code == 0
    assert f"Usage: waterkit {command}" in result.output
    assert re.search(rf"Example:\s+waterkit {command}\b", result.output)
    assert f"waterkit {command}" in (DOCS / "index.md").read_text("utf-8")


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_links_lead_somewhere(path: Path) -> None:
    for target, anchor in LINK.findall(path.read_text("utf-8")):
        if "://" in target:
            continue
        page = path.parent / target if target else path
        assert page.exists(), target
        if anchor:
            assert anchor in _anchors(page), f"{target}#{anchor}"


def _anchors(page: Path) -> set[str]:
    heads = re.findall(r"^#+ (.*)$", page.read_text("utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


def test_every_page_of_the_docs_can_be_reached_from_the_readme() -> None:
    linked = {target for target, _ in LINK.findall(README)}
    assert {f"docs/{path.name}" for path in DOCS.glob("*.md")} <= linked


def test_the_folder_page_tells_about_every_file_that_is_read() -> None:
    page = (DOCS / "folder.md").read_text("utf-8")
    for name in ("club.toml", "water-tests.csv", *(f"{table}.csv" for table in TABLES)):
        assert re.search(rf"^##+ {re.escape(name)}$", page, re.MULTILINE), name


def test_the_examples_of_the_folder_page_can_be_read(tmp_path: Path) -> None:
    page = (DOCS / "folder.md").read_text("utf-8")
    examples = dict(re.findall(r"^```(toml|text)\n(.*?)^```$", page, re.MULTILINE | re.DOTALL))
    (tmp_path / "club.toml").write_text(examples["toml"], "utf-8")
    (tmp_path / "water-tests.csv").write_text(examples["text"], "utf-8")
    club, problems = inspect_club(tmp_path)
    assert problems == ()
    assert club is not None
    assert club.pebble.league_l == 3.0


def test_every_formula_stands_in_the_methods() -> None:
    page = (DOCS / "methods.md").read_text("utf-8")
    for function in ("water.conductivity.standard_methods_conductivity", "ice.freezing.ice_mm"):
        assert f"`{function}`" in page
    assert page.count("*Source.*") == page.count("**`") > 20


def test_the_changelog_begins_with_what_is_not_released() -> None:
    heads = re.findall(r"^## (.*)$", (DOCS / "changelog.md").read_text("utf-8"), re.MULTILINE)
    assert heads[0] == "Unreleased"


def test_one_version() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    assert project["dynamic"] == ["version"]
    result = CliRunner().invoke(main, ["--version"], prog_name="waterkit")
    assert result.output.split()[-1] == waterkit.__version__
