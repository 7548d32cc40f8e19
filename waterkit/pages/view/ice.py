"""The ice in words: layers, white paint, pebble."""

from waterkit.ice.workings import (
    freezing_working,
    litres_working,
    mix_working,
    powder_working,
)
from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import UNKNOWN, Figures
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import Column, Fact, Table, Topic, WorkingOut
from waterkit.pages.view.workings import working_out
from waterkit.plan import SeasonPlan
from waterkit.quantities import DENSITY, DEPTH, FLOW, HOURS, MASS, PAINT_RATIO, VOLUME
from waterkit.season.build import PlannedStep
from waterkit.season.demand import PebbleWeek
from waterkit.season.workings import pebble_week_working, start_working
from waterkit.working import Working


def layers(plan: SeasonPlan, figures: Figures) -> Topic:
    """The layer plan: litres, thickness, hours, dates."""
    drawn = sum(step.water.drawn_l for step in plan.steps)
    facts = (
        Fact("Water drawn", figures.about(drawn, VOLUME), "all steps, with what is lost"),
        Fact("Ice built", figures.text(plan.ice_mm, DEPTH), "before any scraping"),
        Fact(
            "The plant freezes",
            figures.about(plan.freezing.litres_per_hour, FLOW),
            f"{plan.freezing.basis}, all sheets together",
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


def _layers_answer(plan: SeasonPlan, figures: Figures) -> str:
    first_draw = figures.date(plan.club.season.first_draw)
    if plan.start is None:
        return f"Every step is done; the first draw is on {first_draw}."
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
    return (
        step.row.step,
        (water.use or "any water") if wet else UNKNOWN,
        str(water.passes) if wet else UNKNOWN,
        figures.number(water.drawn_l, VOLUME) if wet else UNKNOWN,
        figures.fine(water.depth_mm_water, DEPTH) if wet and water.freezes else UNKNOWN,
        figures.fine(water.ice_mm, DEPTH) if wet and water.freezes else UNKNOWN,
        figures.number(hours.apply_h, HOURS) if wet else UNKNOWN,
        figures.number(hours.freeze_h, HOURS) if wet and water.freezes else UNKNOWN,
        "done" if step.done else figures.moment(step.start),
        figures.day(step.end.date()) if step.done and step.end else figures.moment(step.end),
    )


def paint(plan: SeasonPlan, figures: Figures) -> Topic:
    """The white: how much powder and water, in which batches."""
    white = plan.paint
    if white is None:
        nothing = Fact("Batches", "none", "the layer plan has no white to come")
        return Topic("White paint", (nothing,), answer="There is no white to mix.")
    ratio = plan.club.white.ratio
    bags = UNKNOWN if white.bags is None else figures.plain(white.bags)
    facts = (
        Fact("Bags", bags, "" if white.bags else "no offer says what a bag holds"),
        Fact(
            "Ratio",
            figures.text(ratio.value_kg_l, PAINT_RATIO, 3 if figures.display == "metric" else 2),
            f"powder in a litre of {ratio.per}"
            if figures.display == "metric"
            else f"powder in a US gallon of {ratio.per}",
        ),
    )
    return Topic(
        "White paint",
        facts,
        tables=(_batches(plan, figures),),
        workings=_paint_workings(plan, figures),
        notes=(*sentences(white.notes, figures), *_paint_words(plan, figures)),
        cautions=(*cautions_at("powder", "mixing", "spraying", "wash-out"), RULE),
        answer=f"Mix {figures.text(white.powder_kg, MASS)} of {plan.club.white.powder} into"
        f" {figures.text(white.water_l, VOLUME)} of water,"
        f" in {len(white.batches)} batch{'' if len(white.batches) == 1 else 'es'}.",
    )


def _paint_workings(plan: SeasonPlan, figures: Figures) -> tuple[WorkingOut, ...]:
    """How the mix in all and the powder of the first batch were worked out."""
    assert plan.paint is not None
    white = plan.club.white
    painted = [s for s in plan.steps if s.row.kind == "white" and not s.done]
    found = (
        mix_working(plan.paint, white, sum(step.water.area_m2 for step in painted)),
        *(powder_working(batch, white) for batch in plan.paint.batches[:1]),
    )
    return tuple(working_out(working, plan.club, figures) for working in found)


def _batches(plan: SeasonPlan, figures: Figures) -> Table:
    assert plan.paint is not None
    columns = (
        Column("Batch"),
        Column("Measured water", figures.unit(VOLUME), "right"),
        Column("Powder", figures.unit(MASS), "right"),
        Column("Whole bags", align="right"),
        Column("Weighed beside them", figures.unit(MASS), "right"),
        Column("Mix", figures.unit(VOLUME), "right"),
        Column("Density", figures.unit(DENSITY), "right"),
    )
    rows = tuple(
        (
            str(batch.batch),
            figures.number(batch.water_l, VOLUME, 1),
            figures.number(batch.powder_kg, MASS, 2),
            UNKNOWN if batch.whole_bags is None else str(batch.whole_bags),
            figures.number(batch.weighed_kg, MASS, 2),
            figures.number(batch.mix_l, VOLUME, 1),
            figures.number(batch.density_kg_l, DENSITY),
        )
        for batch in plan.paint.batches
    )
    caption = (
        "Powder goes into measured water. Do not fill up to the mark for the water once the powder"
        " is in: powder takes room of its own, and the mix would come out too strong."
    )
    return Table("Batches", columns, rows, caption)


def _paint_words(plan: SeasonPlan, figures: Figures) -> tuple[str, ...]:
    assert plan.paint is not None
    return (
        f"{figures.about(plan.paint.on_ice_l, VOLUME)} of mix reaches the ice,"
        f" {figures.about(plan.paint.lost_l, VOLUME)} is lost beside it,"
        f" {figures.about(plan.paint.left_over_l, VOLUME)} stays in the tank.",
        f"{figures.plain(plan.paint.grams_per_m2)} g of powder on each square metre, all coats."
        " Whether that hides the slab depends on the powder: try a test patch.",
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
            figures.about(busiest.litres if busiest else None, VOLUME),
            f"from {figures.week(busiest.week)}" if busiest else "",
            _week_working(plan, busiest, figures) if busiest else None,
        ),
        Fact(
            "Thinnest ice",
            figures.text(thinnest.ice_mm if thinnest else None, DEPTH),
            f"at the end of the week from {figures.week(thinnest.week)}" if thinnest else "",
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
        answer=f"Pebbling and scraping take {figures.about(litres, VOLUME)} of treated water over"
        " the season, with what stays in cans and hoses.",
    )


def _week_working(plan: SeasonPlan, week: PebbleWeek, figures: Figures) -> WorkingOut:
    rink, rules = plan.club.rink, plan.club.pebble
    working = pebble_week_working(week, plan.plays, plan.ice_days, rink, rules)
    return working_out(working, plan.club, figures)


def _weeks(plan: SeasonPlan, figures: Figures) -> Table:
    litres, depth = figures.unit(VOLUME), figures.unit(DEPTH)
    columns = (
        Column("Week from"),
        Column("Draws", align="right"),
        Column("Pebble water", litres, "right"),
        Column("Re-levelling", litres, "right"),
        Column("Ice added", depth, "right"),
        Column("Ice scraped", depth, "right"),
        Column("Ice at its end", depth, "right"),
    )
    rows = tuple(
        (
            figures.week(week.week),
            str(week.draws),
            figures.number(week.litres, VOLUME),
            figures.number(week.relevel_litres, VOLUME),
            figures.fine(week.ice_added_mm, DEPTH),
            figures.fine(week.ice_removed_mm, DEPTH),
            figures.number(week.ice_mm, DEPTH),
        )
        for week in plan.weeks
    )
    return Table("Water and ice by week", columns, rows, name="thickness")
