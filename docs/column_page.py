"""How well the bed as a column converges: litres to a mark against cells and parcels."""

from dataclasses import replace
from functools import cache

from docs.tables import MADE, table
from waterkit.pages.drawing import Curve, curves, drawing, finished, frame
from waterkit.treatment.bed import CELLS, Bed, FeedWater
from waterkit.treatment.breakthrough import ColumnRun
from waterkit.treatment.column import PARCELS_PER_CELL, run_column
from waterkit.treatment.ion_exchange import Endpoint

FEED = FeedWater(
    {"Na": 1.2, "K": 0.1, "Ca": 2.4, "Mg": 1.0, "Cl": 1.5, "SO4": 0.6, "C": 5.8, "SiO2": 0.3}, 10.0
)
BED = Bed(0.19, 0.195, 0.4)
"""One litre of mixed resin, and a hard well at 10 degC."""
NUMBERS_OF_CELLS = (5, 10, 20, 40, 80)
PARCELS = (3.5, 7.0, 14.0, 28.0, 56.0)
MARKS = {
    "silica 0.1 mg/L": Endpoint("silica", 0.1),
    "1 uS/cm": Endpoint("conductivity", 1.0),
    "10 uS/cm": Endpoint("conductivity", 10.0),
}
INK = {"--ink": "#1c2530", "--main": "#1d4f7c", "--second": "#8a4b08", "--line": "#c9ced4"}


@cache
def _run(cells: int, parcels: float) -> ColumnRun:
    return run_column([replace(BED, cells=cells)], FEED, litres=30.0, parcels_per_cell=parcels)


def litres(cells: int, parcels: float) -> tuple[float, ...]:
    """Litres to each mark."""
    run = _run(cells, parcels)
    return tuple(run.litres_to(mark).litres_l or float("nan") for mark in MARKS.values())


def column_page() -> str:
    """The page: what the column is, and two tables of how it converges."""
    by_cells = {cells: litres(cells, PARCELS_PER_CELL) for cells in NUMBERS_OF_CELLS}
    by_parcels = {parcels: litres(CELLS, parcels) for parcels in PARCELS}
    marks = tuple(f"{name} [L]" for name in MARKS)

    def rows(found: dict[int, tuple[float, ...]] | dict[float, tuple[float, ...]]) -> str:
        told = ((f"{key:g}", *(f"{value:.2f}" for value in each)) for key, each in found.items())
        return table(("number", *marks), told)

    return f"""# The bed as a column

{MADE}
{_HEAD}
## Cells

A bed is cut into {CELLS} cells unless somebody asks for another number. More of them make its
fronts sharper, as a longer bed does; a real bed is never as sharp as very many cells. Litres that
leave one litre of mixed resin until a mark is passed, with {PARCELS_PER_CELL:g} parcels to a cell:

{rows(by_cells)}
![Litres to two marks against the number of cells](column.svg)

## Parcels

Water goes through the cells in parcels; a parcel may be larger than the water in a cell, because
each step is solved implicitly. {PARCELS_PER_CELL:g} of them bring what one cell can take. With
{CELLS} cells:

{rows(by_parcels)}"""


def column_drawing() -> str:
    """The litres to each mark against the number of cells, as a drawing that stands by itself."""
    found = [litres(cells, PARCELS_PER_CELL) for cells in NUMBERS_OF_CELLS]
    lines = [
        Curve(name, list(NUMBERS_OF_CELLS), [each[place] for each in found])
        for place, name in enumerate(MARKS)
        if name != "1 uS/cm"  # it lies on the line of 10 uS/cm
    ]
    with drawing(3.4) as figure:
        axes = frame(figure, left=0.9, right=0.3, bottom=0.55)
        curves(axes, lines)
        axes.set_xscale("log", base=2)
        axes.set_xticks(NUMBERS_OF_CELLS, [str(cells) for cells in NUMBERS_OF_CELLS])
        axes.set_xlabel("cells")
        axes.set_ylabel("litres to the mark [L]")
        title = "Litres of one litre of resin against the number of cells"
        chart = finished(figure, "column", title, "Two marks; the lines flatten to the right.")
    svg = chart.svg.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
    for name, colour in (*INK.items(), ("--sans", "sans-serif"), ("--paper", "#ffffff")):
        svg = svg.replace(f"var({name})", colour)
    return svg + "\n"


_HEAD = """\
A vessel of mixed resin is reckoned as equilibrium cells in a row. Each cell holds water and two
resins, in H and OH form at first; each parcel of water that enters it is brought to equilibrium
with both (Gaines and Thomas; activities; water, carbonic and silicic acid; charges balance),
hands on its water, and keeps what the resins took. Nothing else is in it: how slowly ions find
their way into the beads, channels, fouling and age are left out, so that a real bed lets go
earlier and less sharply. Therefore the model gives the shape of a run, and the litres come from
what the club learned or from the rating.

It is compared with PHREEQC (package phreeqc 1.1.1, database phreeqc.dat with the same constants
and with silicate conducting) on 13 waters, beds of all three orders, and 10, 20 and 40 cells:
litres to every mark within 1 %, plateaus below 50 uS/cm within 3 %
(`tests/treatment/test_breakthrough.py`; the curves were recorded once with
`tests/reference/column_curves.py` and are made again in the slow tests), and with its published
example 11 (`tests/published/phreeqc-example-11.toml`).
"""
