"""``waterkit new``: a folder that answers every command on the first evening."""

import importlib
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from waterkit.cli import main
from waterkit.club import read_club

DATED = ("--dated", "2027-08-01")
AS_OF = ("--as-of", "2027-08-15")
OPTIONS = {
    "metric": ("--sheets", "3", "--hardness", "360 mg/L as CaCO3"),
    "one sheet, German degrees, a name": (
        "--sheets", "1", "--hardness", "8 degdH", "--name", "Ice & Stone", "--first-draw",
        "2027-11-06", "--last-draw", "2028-02-27",
    ),
    "US grains, soft": ("--sheets", "6", "--hardness", "2 gr/US gal as CaCO3"),
}  # fmt: skip
MORE: dict[str, tuple[str, ...]] = {
    "tank": ("--reading", "1.3 uS/cm", "--temperature", "6 degC", "--point", "tank", "--use",
             "flood", "--litres", "480 L"),
}  # fmt: skip
WITHOUT = {"new", "log"}
"""Commands that do not answer from a folder, but write into it."""


def run(*arguments: str | Path, **more: str) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments], **more)  # type: ignore[arg-type]


@pytest.fixture(scope="module", params=OPTIONS, ids=str)
def started(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("new") / "club"
    result = run("new", folder, *OPTIONS[request.param], *DATED)
    assert result.exit_code == 0, result.output
    assert {Path(line).name for line in result.stdout.splitlines()} == {
        path.name for path in folder.iterdir()
    }
    return folder


@pytest.mark.parametrize("command", sorted(set(main.commands) - WITHOUT))
def test_every_command_answers(command: str, started: Path, tmp_path: Path) -> None:
    takes = {option for each in main.commands[command].params for option in each.opts}
    arguments = [command, str(started), *MORE.get(command, ())]
    arguments += AS_OF if "--as-of" in takes else ()
    arguments += ("-o", str(tmp_path / "pages")) if "-o" in takes else ()
    result = run(*arguments)
    assert result.exit_code == 0, result.output
    if "--json" in takes:
        answer = json.loads(run(*arguments, "--json").stdout)
        assert answer["problems"] == []


def test_check_is_silent(started: Path) -> None:
    assert run("check", started).output == ""


def test_advice_is_words_and_json(tmp_path: Path) -> None:
    run("new", tmp_path, *OPTIONS["metric"], *DATED)
    told = run("check", tmp_path, "--advice", *AS_OF)
    assert told.exit_code == 0
    assert "How to find it out" in told.stdout
    answer = json.loads(run("check", tmp_path, "--advice", *AS_OF, "--json").stdout)
    assert len(answer["advice"]) == 5
    assert {row["reason"] for row in answer["advice"]} <= {"missing", "assumed"}
    nulls = [f"advice.{n}.{key}" for n, row in enumerate(answer["advice"]) for key in row
             if row[key] is None]  # fmt: skip
    assert nulls
    assert answer["reasons"].keys() >= set(nulls)


def test_dates_and_name_are_taken_over(tmp_path: Path) -> None:
    run("new", tmp_path, *OPTIONS["one sheet, German degrees, a name"], *DATED)
    club = read_club(tmp_path)
    assert club.name == "Ice & Stone"
    assert (f"{club.season.first_draw}", f"{club.season.last_draw}") == ("2027-11-06", "2028-02-27")


@pytest.mark.parametrize(
    "options",
    [(), ("--sheets", "3"), ("--hardness", "360 mg/L as CaCO3"), ("--name", "Ours")],
    ids=str,
)
def test_without_a_terminal_nothing_is_asked(options: tuple[str, ...], tmp_path: Path) -> None:
    result = run("new", tmp_path / "club", *options)
    assert result.exit_code == 2
    assert "--sheets" in result.stderr
    assert "--hardness" in result.stderr
    assert not (tmp_path / "club").exists()


def test_on_a_terminal_it_asks_again_until_it_can_be_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    module = importlib.import_module("waterkit.cli.new")  # the package names its command so too
    monkeypatch.setattr(module, "at_a_terminal", lambda: True)
    answers = "none\n3\n360 mg/L\n360 mg/L as CaCO3\nOurs\n2027-10-09\n\n"
    result = run("new", tmp_path / "club", *DATED, input=answers)
    assert result.exit_code == 0, result.output
    assert "does not say what it is counted as" in result.stderr
    club = read_club(tmp_path / "club")
    assert (club.name, club.rink.sheets) == ("Ours", 3)
    assert (f"{club.season.first_draw}", f"{club.season.last_draw}") == ("2027-10-09", "2028-03-31")
    assert club.samples[0].hardness_mg_l_caco3 == pytest.approx(360)


@pytest.mark.parametrize(
    "wrong",
    [
        ("--sheets", "0", "--hardness", "8 degdH"),
        ("--sheets", "3", "--hardness", "8 grains"),
        ("--sheets", "3", "--hardness", "8 degdH", "--first-draw", "soon"),
        ("--sheets", "3", "--hardness", "8 degdH", "--last-draw", "2020-01-01"),
        ("--sheets", "3", "--hardness", "8 degdH", "--first-draw", "9999-12-31"),
        ("--sheets", "3", "--hardness", "8 degdH", "--first-draw", "2027-10-02", "--last-draw",
         "2030-10-02"),
        ("--sheets", "3", "--hardness", "8 degdH", "--name", "J\udcff"),
        ("--demo", "--sheets", "7"),
    ],
    ids=str,
)  # fmt: skip
def test_wrong_options_are_wrong_usage(wrong: tuple[str, ...], tmp_path: Path) -> None:
    result = run("new", tmp_path / "club", *wrong, *DATED)
    assert result.exit_code == 2, result.output
    assert "Traceback" not in result.output
    assert not (tmp_path / "club").exists()


def test_a_test_of_another_age_is_wrong_usage(tmp_path: Path) -> None:
    dated = ("--dated", "9999-12-31", "--first-draw", "2027-10-02")
    result = run("new", tmp_path / "club", *OPTIONS["metric"], *dated)
    assert result.exit_code == 2, result.output
    assert not (tmp_path / "club").exists()


def test_advice_waits_until_errors_are_mended(tmp_path: Path) -> None:
    run("new", tmp_path, *OPTIONS["metric"], *DATED)
    tests = tmp_path / "water-tests.csv"
    tests.write_text(tests.read_text("utf-8").replace(",360,", ",3x60,"), "utf-8")
    told = run("check", tmp_path, "--advice", *AS_OF)
    assert told.exit_code == 1
    assert "cannot be worked out until the errors are mended" in told.stdout
    answer = json.loads(run("check", tmp_path, "--advice", *AS_OF, "--json").stdout)
    assert answer["advice"] is None
    assert "until the errors are mended" in answer["reasons"]["advice"]
    (tmp_path / "club.toml").write_text("=", "utf-8")
    assert json.loads(run("check", tmp_path, "--advice", "--json").stdout)["advice"] is None


def test_check_knows_of_languages_that_no_page_could_use(tmp_path: Path) -> None:
    run("new", tmp_path, *OPTIONS["metric"], *DATED)
    club = tmp_path / "club.toml"
    club.write_text(club.read_text("utf-8").replace('locale = "en"', 'locale = "zz"'), "utf-8")
    checked = run("check", tmp_path)
    assert checked.exit_code == 1
    assert "locale: 'zz' is not a known locale" in checked.stdout
    assert checked.stdout.startswith("club.toml:")
    for command in ("season", "buy"):
        told = run(command, tmp_path, *AS_OF)
        assert told.exit_code == 1
        assert checked.stdout.splitlines()[0] in told.stderr


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    run("new", tmp_path, *OPTIONS["metric"], *DATED)
    told = run("check", tmp_path / "club.toml")
    assert told.exit_code == 1
    assert "is a file, not a folder" in told.stdout
    assert f"holds club.toml: {tmp_path}" in told.stdout.replace("\n", "")


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    (tmp_path / "club.toml").write_text("precious", "utf-8")
    result = run("new", tmp_path, *OPTIONS["metric"], *DATED)
    assert result.exit_code == 3
    assert [path.name for path in tmp_path.iterdir()] == ["club.toml"]
    assert (tmp_path / "club.toml").read_text("utf-8") == "precious"
