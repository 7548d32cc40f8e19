"""Whose figures a plan rests on: measured, quoted or assumed, the assumed ones first."""

from collections import defaultdict

from waterkit.club.schema import Figure
from waterkit.pages.view.figures import UNKNOWN, Figures
from waterkit.pages.view.shapes import Column, Table
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
        Column("Rows", align="right"),
        Column("Value", align="right"),
        Column("Low to high", align="right"),
        Column("Written in"),
        Column("Remark"),
    )
    groups: dict[str, list[Figure]] = defaultdict(list)
    for figure in members:
        groups[_name(figure)].append(figure)
    rows = tuple(_row(name, group, figures) for name, group in groups.items())
    caption = "A column of a table is one line here; its value then runs from least to most."
    return Table(BASES[basis], columns, rows, caption, folded=basis != "assumed")


def _name(figure: Figure) -> str:
    """A key of club.toml as it is; a cell of a table without the name of its row."""
    file, _, rest = figure.path.partition(":")
    return f"{file}: {rest.rpartition(':')[2]}" if rest else figure.path


def _row(name: str, group: list[Figure], figures: Figures) -> tuple[str, ...]:
    return (
        name,
        str(len(group)) if len(group) > 1 else "",
        _values(group, figures),
        _range(group[0], figures) if len(group) == 1 else UNKNOWN,
        _where(group),
        "; ".join(dict.fromkeys(figure.note for figure in group if figure.note)) or UNKNOWN,
    )


def _values(group: list[Figure], figures: Figures) -> str:
    if len({figure.unit for figure in group}) > 1:
        return "several units"
    least, most = (function(figure.value for figure in group) for function in (min, max))
    shown = figures.given(most, group[0].unit)
    return shown if least == most else f"{figures.given(least, group[0].unit)} to {shown}"


def _range(figure: Figure, figures: Figures) -> str:
    if figure.low is None and figure.high is None:
        return UNKNOWN
    low, high = (figures.given(value, figure.unit) for value in (figure.low, figure.high))
    return f"{low} to {high}"


def _where(group: list[Figure]) -> str:
    if all(figure.line is None for figure in group):
        return "nowhere: a default"
    only = group[0]
    return f"{only.file}:{only.line}" if len(group) == 1 else only.file
