"""The walls of the house: layers, owners of libraries, records, documented formulas, file sizes."""

import ast
import dataclasses
import importlib
import inspect
import pkgutil
import re
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import get_type_hints

import pytest
from importlinter.cli import lint_imports

import waterkit
from waterkit.quantities import REGISTER, find_quantity

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "waterkit"
FORMULA_ROOMS = ("water", "treatment", "ice")
ROOMS_WITH_QUANTITIES = (*FORMULA_ROOMS, "season", "tank")
MOST_LINES = 400
CORE_UNITS = {quantity.unit for quantity in REGISTER} | {"1"}
MODULES = sorted(PACKAGE.rglob("*.py"))


def test_imports_run_down_and_each_library_has_one_owner(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "path", [str(ROOT), *sys.path])
    status = lint_imports(str(ROOT / "pyproject.toml"), no_cache=True, no_logo=True)
    assert status == 0, capsys.readouterr().out


# Command modules load click, the standard library and each other; all else inside the callback.
# (rich is the command line's own; test_startup sees to it that no help loads it.)

LIGHT = {"click", "rich", "waterkit.errors", "waterkit.cli"}


def _imports_at_module_level(body: list[ast.stmt]) -> Iterator[str]:
    for statement in body:
        if isinstance(statement, ast.Import):
            yield from (alias.name for alias in statement.names)
        elif isinstance(statement, ast.ImportFrom):
            module = statement.module or ""
            inside = module in ("waterkit", "waterkit.cli")
            yield from (f"{module}.{alias.name}" if inside else module for alias in statement.names)
        elif isinstance(statement, ast.If) and "TYPE_CHECKING" not in ast.unparse(statement.test):
            yield from _imports_at_module_level([*statement.body, *statement.orelse])
        elif isinstance(statement, ast.Try):
            yield from _imports_at_module_level(statement.body)


def _is_light(name: str) -> bool:
    if name.partition(".")[0] in sys.stdlib_module_names or name == "waterkit.__version__":
        return True
    return any(name == light or name.startswith(f"{light}.") for light in LIGHT)


COMMAND_MODULES = sorted((PACKAGE / "cli").rglob("*.py"))


def test_there_are_command_modules() -> None:
    assert COMMAND_MODULES


@pytest.mark.parametrize("path", COMMAND_MODULES, ids=lambda path: str(path.stem))
def test_a_command_module_loads_nothing_heavy(path: Path) -> None:
    names = _imports_at_module_level(ast.parse(path.read_text("utf-8")).body)
    assert [name for name in names if not _is_light(name)] == []


def test_a_heavy_import_at_module_level_would_be_seen() -> None:
    code = "import click\nif True:\n    from waterkit.club import read_club\nimport numpy as np\n"
    names = _imports_at_module_level(ast.parse(code).body)
    assert [name for name in names if not _is_light(name)] == ["waterkit.club", "numpy"]


# Sizes.


@pytest.mark.parametrize(
    "path",
    [*MODULES, *sorted((ROOT / "tests").rglob("*.py")), *sorted((ROOT / "docs").glob("*.py"))],
    ids=lambda path: path.relative_to(ROOT).as_posix(),
)
def test_no_file_is_longer_than_people_read(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= MOST_LINES


# Records.


def _module_names() -> list[str]:
    found = pkgutil.walk_packages(waterkit.__path__, "waterkit.")
    return [module.name for module in found if module.name != "waterkit.__main__"]


def _records() -> Iterator[type]:
    for name in _module_names():
        for value in vars(importlib.import_module(name)).values():
            if isinstance(value, type) and value.__module__ == name:
                yield from [value] if dataclasses.is_dataclass(value) else []


def _hints(record: type) -> dict[str, object]:
    """Type hints of a record; those that only a type checker can read stay text."""
    try:
        return get_type_hints(record, include_extras=True)
    except NameError:
        return inspect.get_annotations(record)


def _misnamed(record: type) -> list[str]:
    wrong = []
    for name, hint in _hints(record).items():
        quantity = find_quantity(hint)
        if quantity is None or not quantity.suffix:
            continue
        plain = name.rstrip("_").removesuffix("_caco3")  # what a mass may be counted as
        if not f"_{plain}".endswith(f"_{quantity.suffix}"):
            wrong.append(f"{record.__name__}.{name} holds {quantity.name} [{quantity.unit}]")
    return wrong


def test_a_field_that_holds_a_quantity_ends_in_its_unit() -> None:
    records = list(_records())
    assert records
    assert [fault for record in records for fault in _misnamed(record)] == []


def test_records_cannot_be_changed() -> None:
    thawed = [
        record.__qualname__
        for record in _records()
        if not record.__dataclass_params__.frozen  # type: ignore[attr-defined]
        and not record.__name__.startswith("_")
    ]
    assert thawed == []


# Docstrings of functions that take or give quantities.


@dataclass(frozen=True)
class Function:
    """One public function as its file shows it."""

    module: Path
    owner: str
    node: ast.FunctionDef

    @property
    def name(self) -> str:
        where = self.module.relative_to(PACKAGE).with_suffix("").as_posix().replace("/", ".")
        return ".".join(filter(None, (where, self.owner, self.node.name)))

    @property
    def parameters(self) -> dict[str, str]:
        """Names and annotations, without self."""
        given = self.node.args
        every = [*given.posonlyargs, *given.args, *given.kwonlyargs]
        return {
            each.arg: ast.unparse(each.annotation).strip("'\"") if each.annotation else ""
            for each in every
            if each.arg not in ("self", "cls")
        }

    @property
    def returns(self) -> str:
        return ast.unparse(self.node.returns).strip("'\"") if self.node.returns else ""


def _functions(rooms: tuple[str, ...]) -> Iterator[Function]:
    for room in rooms:
        for path in sorted((PACKAGE / room).rglob("*.py")):
            for node in ast.parse(path.read_text("utf-8")).body:
                if isinstance(node, ast.FunctionDef):
                    yield Function(path, "", node)
                elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                    inner = (each for each in node.body if isinstance(each, ast.FunctionDef))
                    yield from (Function(path, node.name, each) for each in inner)


def holds_quantity(annotation: str) -> bool:
    """Whether an annotation holds plain numbers that need a unit."""
    return re.search(r"\b(float|Numeric|NDArray)\b", annotation) is not None


def _takes_quantities(function: Function) -> bool:
    annotations = [*function.parameters.values(), function.returns]
    return not function.node.name.startswith("_") and any(map(holds_quantity, annotations))


SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}$", re.MULTILINE)
LAST_UNIT = re.compile(r"\[([^\[\]]+)\]\.?$")


def sections_of(docstring: str) -> dict[str, str]:
    """The text of each numpydoc section."""
    parts = SECTION.split(docstring)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def entries_of(section: str) -> dict[str, str]:
    """What each entry of a section says: ``a, b : float`` with its indented description."""
    entries: dict[str, str] = {}
    for entry in re.split(r"\n(?=\S)", section.strip("\n")):
        head, _, description = entry.partition("\n")
        for name in head.partition(" : ")[0].split(","):
            entries[name.strip().lstrip("*")] = " ".join(description.split())
    return entries


def _unit_fault(label: str, description: str) -> list[str]:
    found = LAST_UNIT.search(description)
    if found is None:
        return [f"{label}: its description does not end in a unit such as [mg/L]"]
    if found.group(1) not in CORE_UNITS:
        return [f"{label}: [{found.group(1)}] is not a core unit of the register"]
    return []


def faults_of(function: Function, with_references: bool) -> list[str]:
    """What the docstring of a function lacks."""
    docstring = ast.get_docstring(function.node) or ""
    sections = sections_of(docstring)
    if not any(map(holds_quantity, function.parameters.values())) and "Returns" not in sections:
        return _short_form_faults(function, docstring)
    faults = _parameter_faults(function, entries_of(sections.get("Parameters", "")))
    if holds_quantity(function.returns):
        returned = entries_of(sections.get("Returns", ""))
        faults += [fault for head, text in returned.items() for fault in _unit_fault(head, text)]
        if not sections.get("Returns"):
            faults.append("has no Returns section")
    if with_references and not function.owner and not sections.get("References", "").strip():
        faults.append("has no References section")
    return faults


def _parameter_faults(function: Function, documented: Mapping[str, str]) -> list[str]:
    faults = []
    for name, annotation in function.parameters.items():
        if name not in documented:
            faults.append(f"{name}: not in the Parameters section")
        elif holds_quantity(annotation):
            faults += _unit_fault(name, documented[name])
    unknown = set(documented) - set(function.parameters) - {""}
    return faults + [f"{name}: is documented, but is no parameter" for name in sorted(unknown)]


def _short_form_faults(function: Function, docstring: str) -> list[str]:
    """What takes records only tells the unit in its first line, or by the suffix of its name."""
    suffixes = tuple(f"_{quantity.suffix}" for quantity in REGISTER if quantity.suffix)
    if f"_{function.node.name}".endswith(suffixes):
        return []
    return _unit_fault(function.node.name, docstring.partition("\n")[0])


DOCUMENTED = [each for each in _functions(ROOMS_WITH_QUANTITIES) if _takes_quantities(each)]


def test_every_formula_room_has_functions_to_check() -> None:
    rooms = {function.module.relative_to(PACKAGE).parts[0] for function in DOCUMENTED}
    assert set(FORMULA_ROOMS) <= rooms


@pytest.mark.parametrize("function", DOCUMENTED, ids=lambda function: function.name)
def test_a_function_with_quantities_tells_their_units_and_its_source(function: Function) -> None:
    room = function.module.relative_to(PACKAGE).parts[0]
    assert faults_of(function, with_references=room in FORMULA_ROOMS) == []


def test_a_docstring_with_faults_is_found_out() -> None:
    code = '''
def depth(volume_l: "Numeric", area_m2: float, wait_h: float) -> "Numeric":
    """Depth.

    Parameters
    ----------
    volume_l, area_m2 : float
        Volume over area [gallons].
    other : int
        Not there.

    Returns
    -------
    float
        Depth.
    """
'''
    node = ast.parse(code).body[0]
    assert isinstance(node, ast.FunctionDef)
    faults = faults_of(Function(PACKAGE / "ice" / "x.py", "", node), with_references=True)
    assert faults == [
        "volume_l: [gallons] is not a core unit of the register",
        "area_m2: [gallons] is not a core unit of the register",
        "wait_h: not in the Parameters section",
        "other: is documented, but is no parameter",
        "float: its description does not end in a unit such as [mg/L]",
        "has no References section",
    ]


# Tests mirror the package.

ROOMS = sorted(path.parent.name for path in PACKAGE.glob("*/__init__.py"))
NAMED_TESTS = [
    path for room in [*ROOMS, ""] for path in sorted((ROOT / "tests" / room).glob("test_*.py"))
]
ABOUT_THE_WHOLE = {"architecture", "startup", "docs", "hand_check", "packaging", "published"}
ABOUT_MANY = {
    "cli/test_commands.py",  # each command is one thin module: they are tried together
    "club/test_demo_club.py",  # the folder, not the module that writes it
    "club/test_fault_folders.py",  # each fault goes through the whole reader
    "club/test_spreadsheets.py",  # files as a spreadsheet program saves them
    "pages/test_tank_card.py",  # the one page with a script, at work
    "pages/test_tank_card_form.py",  # the same, as somebody types into it
}


@pytest.mark.parametrize(
    "path", NAMED_TESTS, ids=lambda path: path.relative_to(ROOT / "tests").as_posix()
)
def test_a_test_file_is_named_after_a_module(path: Path) -> None:
    folder = path.parent.relative_to(ROOT / "tests").as_posix()
    name = path.stem.removeprefix("test_")
    room = PACKAGE if folder == "." else PACKAGE / folder
    about_the_whole = folder == "." and name in ABOUT_THE_WHOLE
    about_many = path.relative_to(ROOT / "tests").as_posix() in ABOUT_MANY
    assert about_the_whole or about_many or (room / f"{name}.py").exists() or (room / name).is_dir()


def test_tests_stand_in_rooms_of_the_house() -> None:
    folders = {
        path.relative_to(ROOT / "tests").parts[0]
        for path in (ROOT / "tests").glob("*/**/test_*.py")
    }
    assert folders <= {*ROOMS, "benchmarks"}
