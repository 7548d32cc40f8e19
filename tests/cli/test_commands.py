"""Every command: exit status, what goes to stdout and stderr, and the keys of its JSON."""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from waterkit.cli import main

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "data" / "demo-club"
AS_OF = ("--as-of", "2027-08-15")
KEYS = {
    "water": {"samples", "processes", "load"},
    "layers": {"steps", "litres_total", "ice_mm_total", "start", "rules_broken"},
    "paint": {"batches", "powder_kg", "water_l", "bags"},
    "pebble": {"weeks", "litres_total"},
    "resin": {
        "limiting", "load_meq_l", "capacity_eq", "litres_to_exhaustion", "litres_to_change",
        "litres_by", "breakthrough", "litres_to", "model",
    },
    "season": {
        "days", "first_short", "changeouts", "spare_vessels", "litres_di", "litres_feed", "spread",
    },
    "buy": {"lines", "total", "currency"},
}  # fmt: skip


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def answer(command: str, folder: Path = DEMO) -> dict[str, Any]:
    result = run(command, folder, *AS_OF, "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


@pytest.fixture
def spoilt(tmp_path: Path) -> Path:
    """The demo with one error in its offers."""
    folder = tmp_path / "club"
    shutil.copytree(DEMO, folder)
    offers = (folder / "offers.csv").read_text("utf-8").splitlines()
    head = offers[0].split(",")
    row = offers[1].split(",")
    row[head.index("price")] = "a lot"
    offers[1] = ",".join(row)
    (folder / "offers.csv").write_text("\n".join(offers) + "\n", "utf-8")
    return folder


@pytest.mark.parametrize("command", KEYS)
def test_json_has_its_keys_and_a_reason_for_each_null(command: str) -> None:
    found = answer(command)
    assert KEYS[command] <= found.keys()
    assert found["problems"] == []
    for path in nulls(found):
        assert path in found["reasons"], path
    assert all(found["reasons"].values())


def nulls(part: object, path: str = "") -> list[str]:
    if part is None:
        return [path]
    if isinstance(part, dict):
        found = [nulls(value, f"{path}.{key}" if path else key) for key, value in part.items()]
    elif isinstance(part, list):
        found = [nulls(value, f"{path}.{number}") for number, value in enumerate(part)]
    else:
        return []
    return [path for paths in found for path in paths]


@pytest.mark.parametrize("command", KEYS)
def test_notes_are_the_same_on_the_terminal_and_as_json(command: str, tmp_path: Path) -> None:
    for name in ("club.toml", "water-tests.csv"):
        shutil.copy(DEMO / name, tmp_path / name)
    words = " ".join(run(command, tmp_path, *AS_OF).stdout.split())
    for note in answer(command, tmp_path)["notes"]:
        assert " ".join(note.split()) in words


@pytest.mark.parametrize("command", KEYS)
def test_the_terminal_answers_in_words(command: str) -> None:
    result = run(command, DEMO, *AS_OF)
    assert result.exit_code == 0
    assert result.stderr == ""
    assert len(result.stdout.splitlines()) > 5
    assert "nan" not in result.stdout.split()


@pytest.mark.parametrize("command", KEYS)
def test_an_error_in_the_folder_is_exit_1_and_stops_only_what_needs_it(
    command: str, spoilt: Path
) -> None:
    result = run(command, spoilt, *AS_OF)
    assert result.exit_code == 1
    assert "offers.csv:2: price: 'a lot' is not" in result.stderr
    assert bool(result.stdout) is (command != "buy")
    as_json = run(command, spoilt, *AS_OF, "--json")
    assert as_json.exit_code == 1
    found = json.loads(as_json.stdout)
    assert (KEYS[command] <= found.keys()) is (command != "buy")
    (problem,) = found["problems"]
    assert (problem["file"], problem["line"], problem["field"]) == ("offers.csv", 2, "price")


def test_paint_cards_do_not_need_the_offers_but_their_bags_do(spoilt: Path) -> None:
    found = json.loads(run("paint", spoilt, *AS_OF, "--json").stdout)
    assert found["powder_kg"] == answer("paint")["powder_kg"]
    assert found["bags"] is None


def test_without_a_rink_nothing_can_be_answered(spoilt: Path) -> None:
    text = (spoilt / "club.toml").read_text("utf-8")
    (spoilt / "club.toml").write_text(text.replace("sheets = 3", "sheets = 'three'"), "utf-8")
    result = run("paint", spoilt, *AS_OF)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "sheets" in result.stderr


def test_a_page_says_what_stands_in_its_way(spoilt: Path, tmp_path: Path) -> None:
    result = run("report", spoilt, "-o", tmp_path / "pages", *AS_OF)
    assert result.exit_code == 1
    treasurer = (tmp_path / "pages" / "treasurer.html").read_text("utf-8")
    assert "Not answered until this is mended" in treasurer
    assert "offers.csv:2" in treasurer
    season = (tmp_path / "pages" / "season.html").read_text("utf-8")
    assert "Not answered" not in season


def test_check_is_silent_on_the_demo() -> None:
    result = run("check", DEMO)
    assert (result.exit_code, result.output) == (0, "")


def test_check_tells_problems_on_stdout(spoilt: Path) -> None:
    result = run("check", spoilt)
    assert result.exit_code == 1
    assert result.stderr == ""
    assert result.stdout.startswith("offers.csv:2: price: ")


def test_strict_makes_a_finding_exit_1() -> None:
    late = ("buy", DEMO, "--as-of", "2027-10-01")
    assert run(*late).exit_code == 0
    assert run(*late, "--strict").exit_code == 1


def test_wrong_usage_is_exit_2() -> None:
    assert run("water", DEMO, "--as-of", "tomorrow").exit_code == 2
    assert run("nonsense").exit_code == 2


def test_new_writes_the_demo_and_refuses_to_overwrite(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    assert run("new", folder, "--demo").exit_code == 0
    assert run("check", folder).exit_code == 0
    (folder / "stock.csv").write_text("precious\n", "utf-8")
    again = run("new", folder, "--demo")
    assert again.exit_code == 3
    assert (folder / "stock.csv").read_text("utf-8") == "precious\n"


def test_report_writes_its_pages_and_names_them(tmp_path: Path) -> None:
    result = run("report", DEMO, "-o", tmp_path / "pages", *AS_OF)
    assert result.exit_code == 0
    names = {Path(line).name for line in result.stdout.splitlines()}
    assert {"treasurer.html", "paint-cards.html", "tank-card.html", "season.html"} <= names
    assert names == {path.name for path in (tmp_path / "pages").iterdir()}


def test_a_folder_that_is_a_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "pages").write_text("in the way", "utf-8")
    result = run("report", DEMO, "-o", tmp_path / "pages", *AS_OF)
    assert result.exit_code == 3
    assert "Traceback" not in result.output


def test_a_missing_folder_is_a_problem(tmp_path: Path) -> None:
    result = run("check", tmp_path / "nowhere")
    assert result.exit_code == 1
    assert "club.toml" in result.stdout


def test_layers_json_adds_up() -> None:
    found = answer("layers")
    assert sum(step["litres"] for step in found["steps"]) == pytest.approx(found["litres_total"])
    assert found["ice_mm_total"] == pytest.approx(
        sum(step["depth_mm_water"] for step in found["steps"]) * 1.0907, rel=1e-4
    )


def test_paint_json_adds_up() -> None:
    found = answer("paint")
    assert sum(batch["powder_kg"] for batch in found["batches"]) == pytest.approx(
        found["powder_kg"], abs=0.0005
    )
    assert sum(batch["water_l"] for batch in found["batches"]) == pytest.approx(
        found["water_l"], abs=0.0005
    )


def test_paint_judges_a_batch_and_exits_by_it() -> None:
    asked = ("paint", DEMO, *AS_OF, "--batch", "1")
    thin = run(*asked, "--jug", "330 g")
    assert (thin.exit_code, "Thin: add" in thin.stdout) == (0, True)
    assert run(*asked, "--jug", "330 g", "--strict").exit_code == 1
    assert run(*asked, "--powder", "30 kg", "--strict").exit_code == 0
    found = json.loads(run(*asked, "--jug", "330 g", "--json").stdout)
    assert (found["batch"], found["by"], found["outcome"]) == (1, "jug", "thin")
    wrong = run(*asked, "--jug", "330")
    assert (wrong.exit_code, "--jug: '330' has no unit" in wrong.stderr) == (2, True)
    told = json.loads(run(*asked, "--json").stdout)
    assert [problem["field"] for problem in told["problems"]] == ["--batch"]


def test_season_json_keeps_the_water() -> None:
    found = answer("season")
    balance = found["balance"]
    made = balance["start_l"] + balance["made_l"]
    assert made == pytest.approx(
        balance["used_l"] + balance["lost_l"] + balance["left_l"], rel=1e-9
    )
    assert found["litres_feed"] >= found["litres_di"]


def test_money_is_a_decimal_string() -> None:
    found = answer("buy")
    assert isinstance(found["total"]["likely"], str)
    goods = sum(float(line["cost"]) for line in found["lines"] if line["cost"])
    assert float(found["total"]["likely"]) >= goods
