"""The water in more detail: what fouls, what may fall out, what a sheet leaves open."""

from waterkit.pages.view.figures import Figures, sign
from waterkit.pages.view.sentences import analyte
from waterkit.pages.view.shapes import UNKNOWN, Column, Table, lean
from waterkit.pages.view.workings import sentence_case
from waterkit.plan import SeasonPlan
from waterkit.quantities import FLOW, PERCENT, RELATIVE, VOLUME
from waterkit.treatment.membrane import HIGHEST_LOOKED_AT
from waterkit.water.analysis import SampleReport
from waterkit.water.saturation import Saturation

_MINERALS = ("calcite", "gypsum", "silica")


def details(plan: SeasonPlan, report: SampleReport, figures: Figures) -> tuple[Table, ...]:
    """The tables that have something to say."""
    found = (fouling(report, figures), scale(plan, report, figures), left_open(report, figures))
    return tuple(table for table in found if table.rows)


def fouling(report: SampleReport, figures: Figures) -> Table:
    """What clogs or harms membranes and resin, where it was measured."""
    columns = (
        Column("Fouling"),
        Column("Unit"),
        Column("Measured", align="right"),
        Column("At most", align="right"),
        Column("Its range"),
    )
    rows = tuple(
        (
            check.name,
            sign(check.unit),
            figures.plain(check.value),
            figures.plain(check.high),
            "within" if check.passed else "outside",
        )
        for check in report.fouling
    )
    marks = frozenset(row for row, check in enumerate(report.fouling) if not check.passed)
    caption = "Limits of common practice for water on its way to a membrane or to resin."
    return Table("What clogs membrane and resin", columns, rows, caption, marks)


def scale(plan: SeasonPlan, report: SampleReport, figures: Figures) -> Table:
    """Saturation of the supply and of each concentrate, with what a membrane makes of it."""
    columns = (
        Column("Saturation index"),
        *(Column(mineral, align="right") for mineral in _MINERALS),
        Column("Makes", figures.unit(FLOW), "right"),
        Column("Recovery", figures.unit(PERCENT), "right"),
        Column("Highest without scale", figures.unit(PERCENT), "right"),
    )
    rows = [("supply", *_indices(report.saturation, figures), *[""] * 3)]
    for result in plan.processes:
        if result.saturation is not None and result.output_l_h is not None:
            rows.append((
                f"concentrate of the {result.process}",
                *_indices(result.saturation, figures),
                figures.number(float(result.output_l_h), FLOW),
                figures.number(100.0 * float(result.recovery), PERCENT),
                _highest(float(result.highest_recovery or 0.0), figures),
            ))  # fmt: skip
    caption = (
        "Above 0 it may fall out as scale, below 0 it stays dissolved; at the water's temperature."
    )
    return lean(Table("Scale", columns, tuple(rows), caption))


def _highest(recovery: float, figures: Figures) -> str:
    """The highest recovery without scale; it is not looked for beyond a limit."""
    told = figures.number(100.0 * recovery, PERCENT)
    return f"{told} or more" if recovery >= HIGHEST_LOOKED_AT else told


def _indices(found: Saturation, figures: Figures) -> tuple[str, ...]:
    values = (float(getattr(found, mineral)) for mineral in _MINERALS)
    return tuple(figures.fixed(v, 2) if v > float("-inf") else UNKNOWN for v in values)


def left_open(report: SampleReport, figures: Figures) -> Table:
    """What the sheet does not tell, the test that is most worth paying for first."""
    volume = figures.unit(VOLUME)
    columns = (
        Column("Not measured"),
        Column("Unit"),
        Column("Low", align="right"),
        Column("Taken", align="right"),
        Column("High", align="right"),
        Column("Litres if low", volume, "right"),
        Column("As taken", volume, "right"),
        Column("Litres if high", volume, "right"),
    )
    rows = tuple(
        (
            sentence_case(analyte(unknown.analyte)),
            sign(unknown.unit),
            *(figures.plain(v) for v in (unknown.low, unknown.likely, unknown.high)),
            _litres(unknown.litres_at_low_l, unknown.litres_at_low_percent, figures),
            figures.number(unknown.litres_likely_l, VOLUME),
            _litres(unknown.litres_at_high_l, unknown.litres_at_high_percent, figures),
        )
        for unknown in report.unknowns
    )
    caption = (
        "Litres of a fresh vessel in the lead to its rated end, by its rating or totals, on what"
        " the train makes of this water, and how they would change; the test most worth paying for"
        " first."
    )
    return lean(Table("What the sheet leaves open", columns, rows, caption))


def _litres(litres: float | None, percent: float, figures: Figures) -> str:
    """Litres and by how much they would change; the change alone where no vessel is known."""
    change = figures.text(percent, RELATIVE)
    return change if litres is None else f"{figures.number(litres, VOLUME)} ({change})"
