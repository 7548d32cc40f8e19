"""The season in words: supply against demand, changeouts, what somebody must act on."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from waterkit.dates import iso_week
from waterkit.ice.workings import built_working
from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import UNKNOWN, Figures
from waterkit.pages.view.sentences import counted, is_or_are, sentences
from waterkit.pages.view.shapes import Column, Fact, Table, Topic, WorkingOut, lean
from waterkit.pages.view.workings import working_out
from waterkit.plan import SeasonPlan
from waterkit.quantities import DEPTH, VOLUME
from waterkit.season.workings import changes_working, treated_water_working
from waterkit.water.limits import USES

NO_RANGE = "the spread of the season is not worked out by this version yet"


def season(plan: SeasonPlan, figures: Figures) -> Topic:
    """Whether the water will be there: made, used, short, changed."""
    supply = plan.supply
    changes = supply.change_days() if plan.resin else ()
    made = working_out(treated_water_working(supply), plan.club, figures) if supply.days else None
    facts = (
        Fact(
            "Treated water",
            figures.text(float(supply.litres_di[0]), VOLUME),
            "rinsing included",
            made,
        ),
        Fact(
            "Resin vessels to change",
            figures.plain(len(changes)) if plan.resin else UNKNOWN,
            f"first on {figures.date(changes[0])}" if changes else "",
            _changes_working(plan, figures),
        ),
        Fact(
            "Ice built",
            figures.text(plan.ice_mm, DEPTH),
            "before any scraping",
            working_out(built_working([step.water for step in plan.steps]), plan.club, figures),
        ),
    )
    return Topic(
        "Season",
        facts,
        sentences((*plan.supply_findings, *plan.build_findings), figures),
        (weeks(plan, figures), changeouts(plan, figures), balance(plan, figures)),
        notes=sentences((*plan.feed.notes, *plan.feed.completed.notes, *plan.defaults), figures),
        cautions=(*cautions_at("treatment", "people"), RULE),
        answer=_answer(plan, figures),
    )


def _changes_working(plan: SeasonPlan, figures: Figures) -> WorkingOut | None:
    if plan.resin is None or plan.resin.litres_to_change is None or not plan.supply.days:
        return None
    working = changes_working(plan.supply, plan.resin.litres_to_change)
    return working_out(working, plan.club, figures)


def _answer(plan: SeasonPlan, figures: Figures) -> str:
    """Whether the water will be there, and when the build has to begin."""
    short = plan.supply.first_short()
    water = (
        "There is water enough on every day that is left of the season"
        if short is None
        else f"Water runs short on {figures.date(short)}"
    )
    return f"{water}{_uncounted(plan)}; {build_answer(plan, figures)}."


def _uncounted(plan: SeasonPlan) -> str:
    """What the water is told without: steps that should have begun before this day."""
    late = sum(step.start is not None and step.start.date() < plan.as_of for step in plan.steps)
    if not late or plan.as_of > plan.club.season.first_draw:
        return ""
    return f", not counting {counted(late, 'step')} of the build that should have begun by now"


def build_answer(plan: SeasonPlan, figures: Figures) -> str:
    """When the build has to begin, or how it stands."""
    if plan.start is None:
        return "the ice is built"
    if plan.as_of > plan.club.season.first_draw:
        to_come = sum(not step.done for step in plan.steps)
        return f"of the build, {counted(to_come, 'step')} {is_or_are(to_come)} not marked done"
    if plan.start.date() < plan.as_of:
        return f"the build should have begun on {figures.moment(plan.start)}"
    return f"begin the build on {figures.moment(plan.start)} at the latest"


@dataclass(frozen=True, slots=True)
class Week:
    """One week: water asked for by use [L], made, short, and the resin's litres left at its end."""

    week: str
    asked: Mapping[str, float]
    made: float
    short: float
    resin_left: float
    changes: int


LOST = "lost"
"""Where the week's losses, rinsing and hose water are counted."""
USE_NAMES: Mapping[str, str] = {
    **{use: use.capitalize() for use in USES},
    "pebble": "Pebble on the ice",
    LOST: "Lost, hoses",
}
"""What each column of the week is called."""


def by_week(plan: SeasonPlan) -> tuple[Week, ...]:
    """The season's days gathered into weeks; ``asked`` holds each use, then what is lost."""
    supply, days = plan.supply, plan.supply.days
    names = [iso_week(day) for day in days]
    gathered = []
    for name in dict.fromkeys(names):
        rows = [row for row, week in enumerate(names) if week == name]
        asked = plan.demand.loc[[days[row] for row in rows]].sum()
        uses: dict[str, float] = {use: float(asked[use]) for use in USES}
        lost = float(asked["loss"] + asked["hose"])
        gathered.append(
            Week(
                name,
                {**uses, LOST: lost},
                float(supply.made[rows, 0].sum()),
                float(supply.short[rows, 0].sum()),
                float(supply.resin_left[rows[-1], 0]),
                int(supply.changes[rows, 0].sum()),
            )
        )
    return tuple(gathered)


def balance(plan: SeasonPlan, figures: Figures) -> Table:
    """Where the treated water of the season comes from and goes."""
    supply = plan.supply
    has_days = bool(supply.days)
    amounts = (
        ("In the tank at the start", float(supply.start[0, 0]) if has_days else 0.0),
        ("Made, rinsing included", float(supply.made[:, 0].sum())),
        ("Used on the ice", float(supply.used[:, 0].sum())),
        ("Lost: rinsing, hoses, beside the ice", float(supply.lost[:, 0].sum())),
        ("Left in the tank at the end", float(supply.left[-1, 0]) if has_days else 0.0),
    )
    columns = (Column("Treated water"), Column("Season", figures.unit(VOLUME), "right"))
    rows = tuple((name, figures.number(litres, VOLUME)) for name, litres in amounts)
    return Table("Water balance", columns, rows, "Start and made together are used, lost and left.")


def weeks(plan: SeasonPlan, figures: Figures) -> Table:
    """Water asked for and made by week; weeks that run short stand out."""
    unit = figures.unit(VOLUME)
    columns = (
        Column("Week from"),
        *(Column(name, unit, "right") for name in USE_NAMES.values()),
        Column("Made", unit, "right"),
        Column("Short", unit, "right"),
        Column("Resin left", unit, "right"),
        Column("Vessels changed", align="right"),
    )
    gathered = by_week(plan)
    rows = tuple(_week_row(week, plan, figures) for week in gathered)
    marks = frozenset(row for row, week in enumerate(gathered) if week.short > 0)
    caption = (
        "The uses and the losses are what the week asks of the tank; made includes rinsing. Resin"
        " left is what the lead vessel can still treat when the week ends."
    )
    table = Table("Water asked for and made, by week", columns, rows, caption, marks, name="weeks")
    return lean(table)


def _week_row(week: Week, plan: SeasonPlan, figures: Figures) -> tuple[str, ...]:
    def litres(value: float) -> str:
        told = figures.number(max(value, 0.0), VOLUME)
        return "" if told == "0" else told

    return (
        figures.week(week.week),
        *(litres(value) for value in week.asked.values()),
        litres(week.made),
        f"short {figures.number(week.short, VOLUME)}" if week.short > 0 else "",
        figures.number(max(week.resin_left, 0.0), VOLUME) if plan.resin else "",
        str(week.changes) if plan.resin and week.changes else "",
    )


def changeouts(plan: SeasonPlan, figures: Figures) -> Table:
    """The days on which the lead vessel is changed."""
    days = plan.supply.change_days() if plan.resin and plan.vessel else ()
    position = plan.vessel.position if plan.vessel else ""
    unit = figures.unit(VOLUME)
    columns = (
        Column("Changeout"),
        Column("Likely on"),
        Column("Position"),
        Column("Left the day before", unit, "right"),
        Column("Left that evening", unit, "right"),
    )
    rows = tuple(
        (str(number), figures.date(day), position, *_around(day, plan, figures))
        for number, day in enumerate(days, start=1)
    )
    caption = (
        "What the lead vessel can still treat before and after; week by week it stands above."
        if rows
        else "No vessel has to be changed in what is left of the season."
    )
    return Table("Changeouts", columns, rows, caption, name="changeouts")


def _around(day: dt.date, plan: SeasonPlan, figures: Figures) -> tuple[str, str]:
    """What is left in the lead vessel on the evening before a day and on that of the day."""
    left, row = plan.supply.resin_left[:, 0], plan.supply.days.index(day)
    before = figures.number(float(left[row - 1]), VOLUME) if row else ""
    return before, figures.number(float(left[row]), VOLUME)
