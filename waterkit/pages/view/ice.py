"""The ice in words: layers, pebble."""

import datetime as dt

from waterkit.dates import ONE_DAY, iso_week
from waterkit.ice.workings import freezing_working, litres_working
from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.season import build_answer
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import Column, Fact, Table, Topic, WorkingOut, lean
from waterkit.pages.view.workings import sentence_case, working_out
from waterkit.plan import SeasonPlan
from waterkit.quantities import DEPTH, FLOW, HOURS, VOLUME
from waterkit.season.build import PlannedStep
from waterkit.season.demand import PebbleWeek
from waterkit.season.workings import (
    pebble_week_working,
    plant_working,
    start_working,
    thinnest_working,
)
from waterkit.working import Working


def layers(plan: SeasonPlan, figures: Figures) -> Topic:
    """The layer plan: litres, thickness, hours, dates."""
    drawn = sum(step.water.drawn_l for step in plan.steps)
    facts = (
        Fact("Water drawn", figures.text(drawn, VOLUME), "all steps, with what is lost"),
        Fact("Ice built", figures.text(plan.ice_mm, DEPTH), "before any scraping"),
        Fact(
            "The plant freezes",
            figures.about(plan.freezing.litres_per_hour, FLOW),
            f"{plan.freezing.basis}, all sheets together",
            _plant_working(plan, figures),
        ),
    )
    notes = (*plan.freezing.notes, *(note for step in plan.steps for note in step.water.notes))
    return Topic(
        "Layers",
        facts,
        sentences(plan.build_findings, figures),
        (_timeline(plan, figures),),
        _layer_workings(plan, figures),
        notes=sentences(notes, figures),
        cautions=(*cautions_at("plant", "flooding", "burners"), RULE),
        answer=_layers_answer(plan, figures),
    )


def _plant_working(plan: SeasonPlan, figures: Figures) -> WorkingOut:
    club = plan.club
    water_c = club.source.temperature_on(club.season.first_draw)
    return working_out(plant_working(club.chiller, plan.freezing, water_c), club, figures)


def _layers_answer(plan: SeasonPlan, figures: Figures) -> str:
    first_draw = figures.date(plan.club.season.first_draw)
    if plan.start is None:
        return f"Every step is done; the first draw is on {first_draw}."
    if plan.start.date() < plan.as_of:
        told = build_answer(plan, figures)
        return f"{sentence_case(told)}; the first draw is on {first_draw}."
    return (
        f"Begin on {figures.moment(plan.start)} at the latest, and the ice is ready for the first"
        f" draw on {first_draw}."
    )


def _layer_workings(plan: SeasonPlan, figures: Figures) -> tuple[WorkingOut, ...]:
    """How the start was found, and the litres and hours of the step that takes most water."""
    found: list[Working] = []
    if plan.start is not None:
        found.append(start_working(plan.steps, plan.club.season, plan.start))
    wet = [step for step in plan.steps if step.row.kind != "white" and not step.done]
    most = max(wet, key=lambda step: step.water.drawn_l, default=None)
    if most is not None and most.water.drawn_l > 0:
        found.append(litres_working(most.row, most.water, plan.club.rink))
        found.append(freezing_working(most.water, most.hours, plan.freezing))
    return tuple(working_out(working, plan.club, figures) for working in found)


def _timeline(plan: SeasonPlan, figures: Figures) -> Table:
    columns = (
        Column("Step"),
        Column("Water for"),
        Column("Passes", align="right"),
        Column("Drawn", figures.unit(VOLUME), "right"),
        Column("Water on ice", figures.unit(DEPTH), "right"),
        Column("Ice", figures.unit(DEPTH), "right"),
        Column("Putting on", figures.unit(HOURS), "right"),
        Column("Freezing", figures.unit(HOURS), "right"),
        Column("Begins"),
        Column("Ready"),
    )
    rows = tuple(_step_row(step, figures) for step in plan.steps)
    caption = (
        "All passes and all sheets of a step. Drawn counts what is lost beside the ice. Freezing is"
        " what the plant needs for the water; a step's own minimum wait may be longer."
    )
    return Table("Build, step by step", columns, rows, caption, name="build")


def _step_row(step: PlannedStep, figures: Figures) -> tuple[str, ...]:
    water, hours = step.water, step.hours
    wet = water.drawn_l > 0
    freezes = wet and water.freezes
    return (
        step.row.step,
        (water.use or "any water") if wet else "",
        str(water.passes) if wet else "",
        figures.number(water.drawn_l, VOLUME) if wet else "",
        figures.fine(water.depth_mm_water, DEPTH) if freezes else "",
        figures.fine(water.ice_mm, DEPTH) if freezes else "",
        figures.number(hours.apply_h, HOURS) if wet else "",
        figures.number(hours.freeze_h, HOURS) if freezes else "",
        "done" if step.done else figures.moment(step.start),
        figures.day(step.end.date()) if step.done and step.end else figures.moment(step.end),
    )


def pebble(plan: SeasonPlan, figures: Figures) -> Topic:
    """Pebble and scraping by week, and the thickness of the ice."""
    weeks = plan.weeks
    litres = sum(week.litres for week in weeks)
    busiest = max(weeks, key=lambda week: week.litres, default=None)
    thinnest = min(weeks, key=lambda week: week.ice_mm, default=None)
    facts = (
        Fact("Draws", figures.plain(sum(week.draws for week in weeks))),
        Fact(
            "Busiest week",
            figures.text(busiest.litres if busiest else None, VOLUME),
            f"from {figures.week(busiest.week)}" if busiest else "",
            _week_working(plan, busiest, figures) if busiest else None,
        ),
        Fact(
            "Thinnest ice",
            figures.text(thinnest.ice_mm if thinnest else None, DEPTH),
            f"at the end of the week from {figures.week(thinnest.week)}" if thinnest else "",
            _thinnest_working(plan, figures) if weeks else None,
        ),
        Fact("Ice at the end", figures.text(weeks[-1].ice_mm if weeks else None, DEPTH)),
    )
    return Topic(
        "Pebble and scraping",
        facts,
        tables=(_weeks(plan, figures),),
        notes=(
            "Thickness is a mean over the sheets, reckoned from the layer plan and not measured:"
            " wear is deeper where it is played most, so measure it.",
        ),
        cautions=cautions_at("pebbling", "people"),
        answer=f"Pebbling and scraping take {figures.text(litres, VOLUME)} of treated water over"
        " the season, with what stays in cans and hoses.",
    )


def _thinnest_working(plan: SeasonPlan, figures: Figures) -> WorkingOut:
    return working_out(thinnest_working(plan.weeks, plan.ice_mm), plan.club, figures)


def _week_working(plan: SeasonPlan, week: PebbleWeek, figures: Figures) -> WorkingOut:
    rink, rules = plan.club.rink, plan.club.pebble
    working = pebble_week_working(week, plan.plays, plan.ice_days, rink, rules)
    return working_out(working, plan.club, figures)


def _weeks(plan: SeasonPlan, figures: Figures) -> Table:
    litres, depth = figures.unit(VOLUME), figures.unit(DEPTH)
    columns = (
        Column("Week from"),
        Column("Draws", align="right"),
        Column("Pebble drawn", litres, "right"),
        Column("Re-levelling", litres, "right"),
        Column("Ice added", depth, "right"),
        Column("Ice scraped", depth, "right"),
        Column("Ice at its end", depth, "right"),
    )
    rows = tuple(_week_row(week, figures) for week in every_week(plan.weeks))
    caption = "Pebble drawn counts what stays in cans and hoses and is lost beside the ice."
    return lean(Table("Water and ice by week", columns, rows, caption, name="thickness"))


def _week_row(week: PebbleWeek, figures: Figures) -> tuple[str, ...]:
    return (
        figures.week(week.week),
        str(week.draws or ""),
        figures.number(week.litres, VOLUME) if week.litres else "",
        figures.number(week.relevel_litres, VOLUME) if week.relevel_litres else "",
        figures.fine(week.ice_added_mm, DEPTH) if week.ice_added_mm else "",
        figures.fine(week.ice_removed_mm, DEPTH) if week.ice_removed_mm else "",
        figures.number(week.ice_mm, DEPTH),
    )


def every_week(weeks: tuple[PebbleWeek, ...]) -> tuple[PebbleWeek, ...]:
    """Weeks in a row: one without play between others keeps the ice as it was."""
    found: list[PebbleWeek] = []
    for week in weeks:
        while found and (next_week := iso_week(_monday(found[-1]) + 7 * ONE_DAY)) != week.week:
            found.append(PebbleWeek(next_week, 0, 0.0, 0.0, 0.0, 0.0, found[-1].ice_mm))
        found.append(week)
    return tuple(found)


def _monday(week: PebbleWeek) -> dt.date:
    return dt.date.fromisoformat(f"{week.week}-1")
