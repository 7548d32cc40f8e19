"""The drawings of a plan: each stands beside the table that holds its numbers."""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from waterkit.dates import ONE_DAY
from waterkit.pages.drawing import (
    GRID,
    INK,
    MAIN,
    QUIET,
    SECOND,
    SOFT,
    Chart,
    Curve,
    beside,
    curves,
    drawing,
    finished,
    frame,
    months,
    numbers,
)
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.season import LOST, by_week
from waterkit.plan import SeasonPlan
from waterkit.quantities import DEPTH, VOLUME
from waterkit.season.build import PlannedStep
from waterkit.water.limits import USES

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LONGEST_NAME = 30
APART_D = 9
"""Days that two marks must lie apart to be named each by itself."""


def resin_left(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """Litres that the lead vessel can still treat, day by day; None without a vessel."""
    if plan.resin is None or not plan.supply.days:
        return None
    days, changes = plan.supply.days, plan.supply.change_days()
    left = [_litres(float(value), figures) for value in plan.supply.resin_left[:, 0]]
    with drawing() as figure:
        axes = frame(figure)
        axes.step([day.toordinal() for day in days], left, where="post", color=MAIN, linewidth=2)
        axes.set_ylim(0, max(left) * 1.12 or 1.0)
        for first, last, label in clusters(changes):
            middle = (first.toordinal() + last.toordinal()) / 2
            beside(axes, middle, axes.get_ylim()[1], label, "center")
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


def clusters(days: Sequence[dt.date]) -> list[tuple[dt.date, dt.date, str]]:
    """Days that lie too close to name each: first and last day, and their numbers in words."""
    groups: list[list[int]] = []
    for number, day in enumerate(days):
        if groups and (day - days[groups[-1][-1]]).days < APART_D:
            groups[-1].append(number)
        else:
            groups.append([number])
    return [
        (
            days[group[0]],
            days[group[-1]],
            str(group[0] + 1) if len(group) == 1 else f"{group[0] + 1} to {group[-1] + 1}",
        )
        for group in groups
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
        axes = frame(figure, left=1.1, top=0.1)
        for row, litres in enumerate(reversed(asked.values())):
            _week_row(axes, row, mondays, litres)
            most = mondays[litres.index(max(litres))].toordinal()
            beside(axes, most, row + 0.5, figures.number(max(litres), VOLUME), "left")
        names = ["lost, hoses" if use == LOST else use for use in reversed(asked)]
        axes.set_yticks(range(len(asked)), names, va="bottom")
        axes.set_ylim(0, len(asked))
        axes.tick_params(axis="y", length=0)
        axes.spines["left"].set_visible(False)
        months(axes, mondays[0], mondays[-1] + 7 * ONE_DAY, figures)
        title = f"Treated water asked for, by week [{figures.unit(VOLUME)}]"
        most_week = max(weeks, key=lambda week: sum(week.asked.values()))
        description = (
            f"The week from {figures.week(most_week.week)} asks for most,"
            f" {figures.about(sum(most_week.asked.values()), VOLUME)} in all. Each use has its own"
            " row and its own scale; the number is that of its highest week."
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
        axes = frame(figure, left=2.4, right=0.7, top=0.1)
        for row, step in enumerate(steps):
            _step_row(axes, row, step, figures)
        axes.set_yticks(range(len(steps)), [_short(step.row.step) for step in steps])
        axes.set_ylim(len(steps) - 0.4, -0.6)
        axes.tick_params(axis="y", length=0)
        axes.spines["left"].set_visible(False)
        _day_names(axes, steps, figures)
        wet = sum(step.water.drawn_l for step in steps)
        description = (
            f"From {figures.moment(plan.start)} on, {len(steps)} steps with"
            f" {figures.about(wet, VOLUME)} of water: the bar is the whole step with its freezing"
            " and waiting, each mark in it the beginning of a pass, the number its water."
        )
        title = f"The build on the calendar, water drawn [{figures.unit(VOLUME)}]"
        return finished(figure, "build", title, description)


def _step_row(axes: "Axes", row: int, step: PlannedStep, figures: Figures) -> None:
    assert step.start is not None
    assert step.end is not None
    begin, end = _ordinal(step.start), _ordinal(step.end)
    axes.barh(row, end - begin, left=begin, height=0.62, color=SOFT, edgecolor=QUIET, linewidth=0.6)
    axes.vlines([_ordinal(m) for m in step.passes], row - 0.31, row + 0.31, color=MAIN, linewidth=2)
    if step.water.drawn_l > 0:
        words = figures.number(step.water.drawn_l, VOLUME)
        axes.annotate(words, (end, row), xytext=(4, 0), textcoords="offset points", va="center")


def _day_names(axes: "Axes", steps: Sequence[PlannedStep], figures: Figures) -> None:
    from babel.dates import format_skeleton

    first = min(step.start.date() for step in steps if step.start)
    last = max(step.end.date() for step in steps if step.end)
    stride = max(((last - first).days + 1) // 7, 1)
    days = range(first.toordinal(), last.toordinal() + 1, stride)
    names = [
        format_skeleton("MMMd", dt.date.fromordinal(day), locale=figures.locale) for day in days
    ]
    axes.set_xticks(list(days), names)
    axes.grid(axis="x")


def _ordinal(moment: dt.datetime) -> float:
    return moment.toordinal() + (moment.hour + moment.minute / 60) / 24


def _short(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}…"


def thickness(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """The ice at the end of each week; None without weeks of play."""
    weeks = plan.weeks
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
            f" {figures.text(weeks[-1].ice_mm, DEPTH)}."
        )
        return finished(figure, "thickness", title, description)


def cash_by_month(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """What is paid in each month; None where nothing is."""
    paid = plan.totals.cash_by_month
    if not paid:
        return None
    with drawing(5.6, 0.42 * len(paid) + 0.3) as figure:
        axes = frame(figure, left=1.5, right=1.2, top=0.1, bottom=0.1)
        sums = [float(amount) for amount in paid.values()]
        axes.barh(range(len(sums)), sums, height=0.6, color=SECOND)
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
        title = f"Cash by month [{figures.currency}]"
        return finished(figure, "cash", title, description)


def _litres(litres: float, figures: Figures) -> float:
    return max(figures.shown(litres, VOLUME) or 0.0, 0.0)


Draw = Callable[[SeasonPlan, Figures], Chart | None]

DRAWINGS: Mapping[str, Draw] = {
    "weeks": water_by_week,
    "changeouts": resin_left,
    "build": build_timeline,
    "thickness": thickness,
    "cash": cash_by_month,
}
"""The drawing that belongs beside a table, by the table's name."""
