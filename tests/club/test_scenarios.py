"""What-ifs: keys and files laid over the club, and what is told of them."""

import dataclasses
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

from waterkit.club import inspect_club, read_club, read_scenario
from waterkit.club.schema import Club, Scenario
from waterkit.errors import InputError

Folder = Callable[..., Path]
VESSELS = "vessel,position,resin [L]\nA,single,102\n"
SLAB = '[slab]\ncover = { value = "25 mm", low = "20 mm", high = "30 mm" }\nset_point = "-5 degC"\n'


def write(where: Path, name: str, text: str) -> None:
    """One file of scenarios."""
    (where / "scenarios").mkdir(exist_ok=True)
    (where / "scenarios" / f"{name}.toml").write_text(text, encoding="utf-8")


def laid(where: Path) -> tuple[Scenario, Club]:
    """The one scenario of a sound folder, and the club with it."""
    (scenario,) = read_club(where).scenarios
    return scenario, read_scenario(where, scenario)


def test_keys_replace_keys_and_nothing_else(folder: Folder) -> None:
    where = folder(SLAB + "[limits.pebble]\ngood = '4 uS/cm'\nact = '9 uS/cm'\n")
    text = 'capital = 4200.50\nlife = "10 seasons"\nresidual = 300\n'
    write(where, "thin", f"{text}[slab]\ncover = '20 mm'\n[limits.pebble]\ngood = '2 uS/cm'\n")
    scenario, club = laid(where)
    assert (scenario.name, scenario.file) == ("thin", "scenarios/thin.toml")
    assert (scenario.capital, scenario.residual) == (Decimal("4200.50"), Decimal(300))
    assert scenario.life_seasons == 10.0
    assert (club.slab.cover_mm, club.slab.set_point_c) == (20.0, -5.0)
    assert club.limits["pebble"].good_us_cm == 2.0
    assert club.limits["pebble"].act_us_cm == 9.0
    (cover,) = [figure for figure in club.figures if figure.path == "slab.cover"]
    assert (cover.low, cover.high, cover.file, cover.line) == (None, None, scenario.file, 5)
    base = read_club(where)
    assert base.slab.cover_mm == 25.0
    assert dataclasses.replace(club, slab=base.slab, limits=base.limits, figures=base.figures) == (
        dataclasses.replace(base, scenarios=())
    )


def test_lists_are_replaced_whole(folder: Folder) -> None:
    where = folder("[[train]]\nkind = 'filter'\n[[train]]\nkind = 'di'\n", vessels=VESSELS)
    write(where, "bought", "[[train]]\nkind = 'bought in'\nsample = 'well'\n")
    _, club = laid(where)
    assert [process.kind for process in club.train] == ["bought in"]
    assert len(read_club(where).train) == 2


def test_files_of_the_folder_replace_others(folder: Folder) -> None:
    where = folder(vessels=VESSELS)
    (where / "big-vessels.csv").write_text(VESSELS.replace("102", "204"), encoding="utf-8")
    write(where, "big", '[replace]\n"vessels.csv" = "big-vessels.csv"\n')
    scenario, club = laid(where)
    assert scenario.replaces == {"vessels.csv": "big-vessels.csv"}
    assert [vessel.resin_l for vessel in club.vessels] == [204.0]
    assert read_club(where).vessels[0].resin_l == 102.0


def told(where: Path) -> list[str]:
    """What is told, each problem with its cure, and only scenarios broken."""
    club, problems = inspect_club(where)
    assert all(problem.hint for problem in problems)
    assert club is not None
    assert set(club.broken) == {"scenarios"}
    assert club.scenarios == ()
    return [str(problem) for problem in problems]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[slab]\ncover = 20\n", "2: slab.cover: 20 has no unit"),
        ("[slap]\ncover = '20 mm'\n", "1: slap: this key is not known"),
        ("capital = '4200 EUR'\n", "1: capital: '4200 EUR' is not a plain amount of money"),
        ("capital = 1\nresidual = 2\n", "2: residual: 2 is more than the capital, 1"),
        ("life = '0 seasons'\n", "1: life: it lasts no season"),
        ("life = 10\n", "1: life: 10 has no unit"),
        ("format = 1\n", "1: format: a scenario cannot change this"),
        ("replace = 3\n", "1: replace: 3 is no table of files"),
        ("x = \n", "1: x: this is no value"),
        (
            "[replace]\n'vessels.csv' = 'x.csv'\n",
            "2: replace.vessels.csv: there is no file 'x.csv'",
        ),
        ("[replace]\n'club.toml' = 'a.toml'\n", "2: replace.club.toml: 'club.toml' is no file"),
    ],
)
def test_what_is_told_of_a_scenario(folder: Folder, text: str, message: str) -> None:
    where = folder(vessels=VESSELS)
    write(where, "x", text)
    (line,) = told(where)
    assert line.startswith(f"scenarios/x.toml:{message}")


@pytest.mark.parametrize(
    "path",
    ["../vessels.csv", "/etc/hosts", "a/../../vessels.csv", "C:\\\\vessels.csv", "..\\\\v.csv"],
)
def test_files_outside_the_folder_are_never_read(folder: Folder, path: str) -> None:
    where = folder(vessels=VESSELS)
    write(where, "x", f'[replace]\n"vessels.csv" = "{path}"\n')
    (line,) = told(where)
    assert "lies outside the folder of the club" in line


def test_a_link_that_leads_outside_is_never_read(
    folder: Folder, tmp_path_factory: pytest.TempPathFactory
) -> None:
    where = folder(vessels=VESSELS)
    outside = tmp_path_factory.mktemp("outside") / "vessels.csv"
    outside.write_text(VESSELS, encoding="utf-8")
    (where / "linked.csv").symlink_to(outside)
    write(where, "x", '[replace]\n"vessels.csv" = "linked.csv"\n')
    (line,) = told(where)
    assert "lies outside the folder of the club" in line


def test_what_only_goes_wrong_with_a_scenario_is_told_under_its_name(folder: Folder) -> None:
    where = folder("[[train]]\nkind = 'di'\n", vessels=VESSELS)
    (where / "other.csv").write_text(VESSELS.replace("single", "lead"), encoding="utf-8")
    write(where, "x", '[replace]\n"vessels.csv" = "other.csv"\n')
    assert told(where) == [
        "other.csv:2: position: the train has no position lead",
        "scenarios/x.toml: with it, club.toml:8: train.1.positions: no vessel stands in single",
    ]


def test_faults_of_the_club_itself_are_told_once(folder: Folder) -> None:
    where = folder("[slab]\ncover = 20\n")
    write(where, "x", "[boom]\nnozzles = 9\n")
    club, problems = inspect_club(where)
    assert club is not None
    assert [str(problem) for problem in problems] == ["club.toml:9: slab.cover: 20 has no unit"]
    assert read_scenario(where, club.scenarios[0]).lacks("slab")


def test_a_scenario_that_breaks_the_head_raises(folder: Folder) -> None:
    where = folder()
    scenario = Scenario("x", "scenarios/x.toml", {"rink": {"sheets": 0}})
    with pytest.raises(InputError):
        read_scenario(where, scenario)
