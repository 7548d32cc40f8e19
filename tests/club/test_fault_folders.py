"""Each folder under tests/clubs spoils one thing of the demo and says what must be told."""

import shutil
from pathlib import Path

import pytest

from waterkit.club import inspect_club, read_club
from waterkit.club.demo_folder import write_demo
from waterkit.errors import InputError, listing

FOLDERS = sorted((Path(__file__).parent.parent / "clubs").iterdir())


def spoiled(fault: Path, folder: Path) -> tuple[Path, str]:
    """The demo with the fault laid over it, and what must be told."""
    write_demo(folder)
    ignored = shutil.ignore_patterns("expected.txt")
    shutil.copytree(fault, folder, ignore=ignored, dirs_exist_ok=True)
    expected = (fault / "expected.txt").read_text(encoding="utf-8")
    while expected.startswith("without "):
        line, _, expected = expected.partition("\n")
        (folder / line.removeprefix("without ")).unlink()
    return folder, expected


def test_there_are_fault_folders() -> None:
    assert len(FOLDERS) >= 30


@pytest.mark.parametrize("fault", FOLDERS, ids=lambda path: path.name)
def test_fault_is_told_with_its_cure(fault: Path, tmp_path: Path) -> None:
    folder, expected = spoiled(fault, tmp_path / "club")
    club, problems = inspect_club(folder)
    assert listing(problems) + "\n" == expected
    assert all(problem.hint for problem in problems)
    if club is not None:
        assert club.problems == problems
        errors = {problem for problem in problems if problem.severity == "error"}
        assert errors == {problem for part in club.broken.values() for problem in part}


@pytest.mark.parametrize("fault", FOLDERS, ids=lambda path: path.name)
def test_reading_a_spoiled_folder_lists_the_same_problems(fault: Path, tmp_path: Path) -> None:
    folder, expected = spoiled(fault, tmp_path / "club")
    if " error" not in expected.splitlines()[-1]:
        assert listing(read_club(folder).problems) + "\n" == expected
        return
    with pytest.raises(InputError) as caught:
        read_club(folder)
    assert listing(caught.value.problems) + "\n" == expected
