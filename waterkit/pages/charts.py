"""The drawings of a plan: each stands beside the table that holds its numbers."""

import datetime as dt
import math
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from waterkit.dates import ONE_DAY
from waterkit.pages.drawing import (
    GRID,
    HALO,
    INK,
    MAIN,
    QUIET,
    SECOND,
    Chart,
    Curve,
    beside,
    curves,
    cut,
    drawing,
    finished,
    frame,
    months,
    numbers,
)
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.ice import every_week
from waterkit.pages.view.season import LOST, USE_NAMES, by_week
from waterkit.plan import SeasonPlan
from waterkit.quantities import CONDUCTIVITY, DEPTH, MASS_CONCENTRATION, VOLUME, Quantity
from waterkit.season.build import PlannedStep
from waterkit.treatment.breakthrough import ColumnRun
from waterkit.treatment.vessel_run import VesselRun
from waterkit.water.limits import USES

if TYPE_CHECKING:
    from matplotlib.axes import Axes

NAMES_IN = 2.4
"""Room for the names of steps [inch]."""
MOST_DAYS = 6
"""So many days of a build are named at most."""
APART_D, ROWS, ROW_PT = 8, 4, 13
"""Days that two marks must lie apart to be named in one row; rows of names, their height [pt]."""


def resin_left(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """Litres that the lead vessel can still treat, day by day; None without a vessel."""
    if plan.resin is None or not plan.supply.days:
        return None
    days, changes = plan.supply.days, plan.supply.change_days()
    left = [_litres(float(value), figures) for value in plan.supply.resin_left[:, 0]]
    with drawing() as figure:
        axes = frame(figure, top=0.3 + ROWS * ROW_PT / 72)
        axes.step([day.toordinal() for day in days], left, where="post", color=MAIN, linewidth=2)
        axes.set_ylim(0, max(left) * 1.12 or 1.0)
        for middle, row, label in staggered(changes):
            beside(axes, middle, axes.get_ylim()[1], label, "center", rise=5 + ROW_PT * row)
        for day in changes:
            axes.axvline(day.toordinal(), color=INK, linestyle=(0, (4, 3)), linewidth=1)
        numbers(axes, figures)
        months(axes, days[0], days[-1], figures)
        title = f"Resin left in the lead vessel, by day [{figures.unit(VOLUME)}]"
        listed = ", ".join(figures.day(day) for day in changes) or "none"
        description = (
            f"From {figures.text(plan.supply.resin_left[0, 0], VOLUME)} on {figures.day(days[0])}"
            " the line falls as water is made and jumps up at each changeout (dashed, by its"
            f" number): {listed}."
        )
        return finished(figure, "resin", title, description)


def staggered(days: Sequence[dt.date]) -> list[tuple[float, int, str]]:
    """Where each of some days in order is named by its number: place, row of words, words.

    Close ones stand in rows above each other; where all rows are full, a name takes one more in.
    """
    placed: list[tuple[list[int], int]] = []
    for number, day in enumerate(days):
        near = [group for group in placed if (day - days[group[0][-1]]).days < APART_D]
        free = [row for row in range(ROWS) if row not in {taken for _, taken in near}]
        if free:
            placed.append(([number], free[0]))
        else:
            near[-1][0].append(number)
    return [
        (
            sum(days[number].toordinal() for number in group) / len(group),
            row,
            str(group[0] + 1) if len(group) == 1 else f"{group[0] + 1} to {group[-1] + 1}",
        )
        for group, row in placed
    ]


def water_by_week(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """Water that each week asks for, a row for each use; None where nothing is asked."""
    weeks = by_week(plan)
    asked = {
        use: litres
        for use in (*USES, LOST)
        if max((litres := [week.asked[use] for week in weeks]), default=0.0) > 0
    }
    if not asked:
        return None
    mondays = [dt.date.fromisoformat(f"{week.week}-1") for week in weeks]
    with drawing(height=0.55 * len(asked) + 0.45) as figure:
        axes = frame(figure, left=1.7, top=0.1)
        for row, litres in enumerate(reversed(asked.values())):
            _week_row(axes, row, mondays, litres)
            most = mondays[litres.index(max(litres))].toordinal()
            beside(axes, most, row + 0.5, figures.number(max(litres), VOLUME), "left")
        names = [USE_NAMES[use].lower() for use in reversed(asked)]
        axes.set_yticks(range(len(asked)), names, va="bottom")
        axes.set_ylim(0, len(asked))
        axes.tick_params(axis="y", length=0)
        axes.spines["left"].set_visible(False)
        months(axes, mondays[0], mondays[-1] + 7 * ONE_DAY, figures)
        unit = figures.unit(VOLUME)
        title = f"Treated water asked for, by week, each use on its own scale [{unit}]"
        most_week = max(weeks, key=lambda week: sum(week.asked.values()))
        description = (
            f"The week from {figures.week(most_week.week)} asks for most,"
            f" {figures.text(sum(most_week.asked.values()), VOLUME)} in all. Bars of different rows"
            " cannot be compared by eye: the number is what the highest week of its use takes."
        )
        return finished(figure, "weeks", title, description)


def _week_row(axes: "Axes", row: int, mondays: Sequence[dt.date], litres: Sequence[float]) -> None:
    scale = 0.5 / max(litres)
    axes.axhline(row, color=GRID, linewidth=0.8)
    axes.bar(
        [monday.toordinal() + 3 for monday in mondays],
        [value * scale for value in litres],
        bottom=row,
        width=5.6,
        color=MAIN,
    )


def build_timeline(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """The steps of the build on the calendar, each pass a mark; None where nothing is to come."""
    steps = [step for step in plan.steps if step.start is not None and step.end is not None]
    if not steps:
        return None
    with drawing(height=0.24 * len(steps) + 0.5) as figure:
        axes = frame(figure, left=NAMES_IN + 0.1, right=0.7, top=0.1)
        for row, step in enumerate(steps):
            _step_row(axes, row, step, figures)
        axes.set_yticks(range(len(steps)), [cut(step.row.step, NAMES_IN) for step in steps])
        axes.set_ylim(len(steps) - 0.4, -0.6)
        axes.tick_params(axis="y", length=0)
        axes.spines["left"].set_visible(False)
        _day_names(axes, steps, figures)
        wet = sum(step.water.drawn_l for step in steps)
        description = (
            f"From {figures.moment(plan.start)} on, {len(steps)} steps with"
            f" {figures.text(wet, VOLUME)} of water: each mark is the beginning of a pass, the"
            " hairline behind the last one reaches to the end of its freezing and waiting, the"
            " number is the water of the step."
        )
        title = f"The build, day by day, water drawn [{figures.unit(VOLUME)}]"
        return finished(figure, "build", title, description)


def _step_row(axes: "Axes", row: int, step: PlannedStep, figures: Figures) -> None:
    assert step.start is not None
    assert step.end is not None
    begin, end = _ordinal(step.start), _ordinal(step.end)
    axes.hlines(row, begin, end, color=QUIET, linewidth=1)
    axes.vlines([_ordinal(m) for m in step.passes], row - 0.31, row + 0.31, color=MAIN, linewidth=2)
    if step.water.drawn_l > 0:
        words = figures.number(step.water.drawn_l, VOLUME)
        axes.annotate(
            words, (end, row), xytext=(4, 0), textcoords="offset points", va="center", bbox=HALO
        )


def _day_names(axes: "Axes", steps: Sequence[PlannedStep], figures: Figures) -> None:
    first = min(step.start.date() for step in steps if step.start)
    last = max(step.end.date() for step in steps if step.end)
    stride = math.ceil(((last - first).days + 1) / MOST_DAYS)
    days = range(first.toordinal(), last.toordinal() + 1, stride)
    names = [figures.brief(dt.date.fromordinal(day)) for day in days]
    axes.set_xticks(list(days), names)
    axes.grid(axis="x")


def _ordinal(moment: dt.datetime) -> float:
    return moment.toordinal() + (moment.hour + moment.minute / 60) / 24


def thickness(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """The ice at the end of each week; None without weeks of play."""
    weeks = every_week(plan.weeks)
    if not weeks:
        return None
    ends = [dt.date.fromisoformat(f"{week.week}-7") for week in weeks]
    ice = [figures.shown(week.ice_mm, DEPTH) or 0.0 for week in weeks]
    thinnest = ice.index(min(ice))
    with drawing(height=2.6) as figure:
        axes = frame(figure)
        x = [float(day.toordinal()) for day in ends]
        curves(axes, [Curve(figures.number(weeks[-1].ice_mm, DEPTH), x, ice)])
        if thinnest != len(ice) - 1:
            low = figures.number(weeks[thinnest].ice_mm, DEPTH)
            beside(axes, x[thinnest], ice[thinnest], f"thinnest {low}", "left")
        room = max((max(ice) - min(ice)) / 2, 0.1 * max(ice))
        axes.set_ylim(min(ice) - room, max(ice) + room)
        numbers(axes, figures)
        months(axes, ends[0], ends[-1], figures)
        title = f"Ice at the end of each week [{figures.unit(DEPTH)}]"
        description = (
            f"The ice begins at {figures.text(plan.ice_mm, DEPTH)}, is thinnest in the week from"
            f" {figures.week(weeks[thinnest].week)} with"
            f" {figures.text(weeks[thinnest].ice_mm, DEPTH)}, and ends at"
            f" {figures.text(weeks[-1].ice_mm, DEPTH)}. The upright axis does not begin at 0."
        )
        return finished(figure, "thickness", title, description)


def cash_by_month(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """What is paid in each month; None where nothing is."""
    paid = plan.totals.cash_by_month
    if not paid:
        return None
    with drawing(0.42 * len(paid) + 0.3) as figure:
        axes = frame(figure, left=1.7, right=1.3, top=0.1, bottom=0.1)
        sums = [float(amount) for amount in paid.values()]
        axes.barh(range(len(sums)), sums, height=0.6, color=MAIN)
        for row, (amount, number) in enumerate(zip(paid.values(), sums, strict=True)):
            axes.annotate(
                figures.cents(amount), (number, row), xytext=(4, 0), textcoords="offset points",
                va="center",
            )  # fmt: skip
        axes.set_yticks(range(len(sums)), [figures.month(month) for month in paid])
        axes.set_ylim(len(sums) - 0.5, -0.5)
        axes.set_xticks([])
        axes.tick_params(axis="y", length=0)
        axes.spines["bottom"].set_visible(False)
        most = max(paid, key=lambda month: paid[month])
        description = (
            f"Payments fall in {len(paid)} month{'' if len(paid) == 1 else 's'}; most is paid in"
            f" {figures.month(most)}, {figures.money(paid[most])}."
        )
        title = f"What is paid in which month [{figures.currency}]"
        return finished(figure, "cash", title, description)


def breakthrough(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """The end of one vessel's run: conductivity above, silica below, the points of the table."""
    bed, litres = plan.bed, [point.leaving.litres_l for point in plan.run_points]
    if not isinstance(bed, VesselRun) or not litres:
        return None
    first, last = _end_of_run(litres, float(bed.run.litres[-1]))
    with drawing(height=4.6) as figure:
        for row, quantity in enumerate((CONDUCTIVITY, MASS_CONCENTRATION)):
            axes = frame(figure, top=0.5 + 2.15 * row, bottom=0.5 + 2.1 * (1 - row))
            _leaving(axes, bed.run, quantity, figures)
            axes.set_xlim(_litres(first, figures), _litres(last, figures))
            axes.xaxis.set_major_formatter(lambda value, _position: figures.plain(value))
            for label, at in near(litres, (last - first) / 40):
                if at < first:
                    continue
                x = _litres(at, figures)
                axes.axvline(x, color=INK, linestyle=(0, (4, 3)), linewidth=1)
                beside(axes, x, axes.get_ylim()[1], label, "center")
        title = f"The end of the run of one vessel, by litres through [{figures.unit(VOLUME)}]"
        description = (
            f"From {figures.about(first, VOLUME)} to {figures.about(last, VOLUME)}: above"
            f" conductivity at 25 °C [{figures.unit(CONDUCTIVITY)}], below silica"
            f" [{figures.unit(MASS_CONCENTRATION)}]. The dashed lines carry the numbers of the"
            " table."
        )
        return finished(figure, "breakthrough", title, description)


def _end_of_run(litres: Sequence[float], most: float) -> tuple[float, float]:
    """From a little before the change or the first sign of the end to a little behind the last."""
    late = [value for value in litres if value > litres[-1] / 2]
    room = max(late[-1] - late[0], 0.05 * late[-1])
    return max(0.0, late[0] - 0.25 * room), min(late[-1] + 0.25 * room, most)


def _leaving(axes: "Axes", run: ColumnRun, quantity: Quantity, figures: Figures) -> None:
    """What leaves a bed, in one of the two panels; its unit stands at the top."""
    of_meter = quantity is CONDUCTIVITY
    values = run.conductivity_25_us_cm if of_meter else run.silica_mg_l
    x = [_litres(float(value), figures) for value in run.litres]
    y = [figures.shown(float(value), quantity) or 0.0 for value in values]
    axes.plot(x, y, color=MAIN if of_meter else SECOND, linewidth=2)
    if of_meter:
        axes.set_yscale("log")
    else:
        axes.set_ylim(bottom=0)
    numbers(axes, figures)
    name = "conductivity" if of_meter else "silica"
    axes.set_ylabel(f"{name} [{figures.unit(quantity)}]")


def near(values: Sequence[float], apart: float) -> list[tuple[str, float]]:
    """Rising values with their numbers; those that lie too close share one place."""
    groups: list[list[int]] = []
    for number, value in enumerate(values):
        if groups and value - values[groups[-1][-1]] < apart:
            groups[-1].append(number)
        else:
            groups.append([number])
    return [
        (
            str(group[0] + 1) if len(group) == 1 else f"{group[0] + 1} to {group[-1] + 1}",
            sum(values[number] for number in group) / len(group),
        )
        for group in groups
    ]


def _litres(litres: float, figures: Figures) -> float:
    return max(figures.shown(litres, VOLUME) or 0.0, 0.0)


Draw = Callable[[SeasonPlan, Figures], Chart | None]

DRAWINGS: Mapping[str, Draw] = {
    "weeks": water_by_week,
    "changeouts": resin_left,
    "build": build_timeline,
    "thickness": thickness,
    "cash": cash_by_month,
    "breakthrough": breakthrough,
}
"""The drawing that belongs beside a table, by the table's name."""
