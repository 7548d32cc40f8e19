"""Whose figures a plan rests on: measured, quoted or assumed, the assumed ones first."""

from collections import defaultdict

from waterkit.club.schema import Figure
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.sentences import counted
from waterkit.pages.view.shapes import Column, Table, lean
from waterkit.pages.view.workings import sentence_case
from waterkit.plan import SeasonPlan
from waterkit.working import Basis

BASES: dict[Basis, str] = {
    "assumed": "Assumed: common practice or a guess; measure these or have them quoted first",
    "quoted": "Quoted: from a supplier, a label, a data sheet, or written without a word on it",
    "measured": "Measured: by the club or a laboratory",
}


def basis_tables(plan: SeasonPlan, figures: Figures) -> tuple[Table, ...]:
    """Every figure of the club by whose it is: assumed ones first, they move the answer most."""
    return tuple(
        _basis_table(basis, [f for f in plan.club.figures if f.basis == basis], figures)
        for basis in BASES
    )


def _basis_table(basis: Basis, members: list[Figure], figures: Figures) -> Table:
    columns = (
        Column("Figure"),
        Column("How many", align="right"),
        Column("Value", align="right"),
        Column("Low to high", align="right"),
        Column("Written in"),
        Column("Remark"),
    )
    groups: dict[str, list[Figure]] = defaultdict(list)
    for figure in members:
        groups[_name(figure)].append(figure)
    rows = tuple(_row(name, group, figures) for name, group in groups.items())
    title = f"{BASES[basis]} ({counted(len(rows), 'line')}, {counted(len(members), 'figure')})"
    caption = "A column of a table is one line here; its value then runs from least to most."
    return lean(Table(title, columns, rows, caption, folded=basis != "assumed"))


def _name(figure: Figure) -> str:
    """Where a figure belongs and what it is, in words; cells of one column share a name."""
    file, _, rest = figure.path.partition(":")
    if rest:
        return f"{sentence_case(file.partition('.')[0])}: {rest.rpartition(':')[2]}"
    part, *inner = figure.path.replace("_", " ").split(".")
    return f"{sentence_case(part)}: {', '.join(inner)}" if inner else sentence_case(part)


def _row(name: str, group: list[Figure], figures: Figures) -> tuple[str, ...]:
    return (
        name,
        str(len(group)) if len(group) > 1 else "",
        _values(group, figures),
        _range(group[0], figures) if len(group) == 1 else "",
        _where(group),
        "; ".join(dict.fromkeys(figure.note for figure in group if figure.note)),
    )


def _values(group: list[Figure], figures: Figures) -> str:
    if len({figure.unit for figure in group}) > 1:
        return "several units"
    least, most = (function(figure.value for figure in group) for function in (min, max))
    shown = figures.given(most, group[0].unit)
    return shown if least == most else f"{figures.given(least, group[0].unit)} to {shown}"


def _range(figure: Figure, figures: Figures) -> str:
    if figure.low is None and figure.high is None:
        return ""
    low, high = (figures.given(value, figure.unit) for value in (figure.low, figure.high))
    return f"{low} to {high}"


def _where(group: list[Figure]) -> str:
    """Where it stands, and the key where it has one: by that it can be written."""
    only = group[0]
    key = only.path if only.file == "club.toml" else ""
    if all(figure.line is None for figure in group):
        return f"nowhere yet: {key or only.file}"
    if len(group) > 1:
        return only.file
    return f"{only.file}:{only.line}" + (f", {key}" if key else "")
