"""The tank card in words: the limits on paper, and what to do with a reading."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.shapes import Column, Fact, Table, Topic, WorkingOut
from waterkit.pages.view.workings import working_out
from waterkit.plan import SeasonPlan
from waterkit.quantities import CONDUCTIVITY, TEMPERATURE
from waterkit.tank.table import LimitRow
from waterkit.tank.workings import limit_working
from waterkit.water.limits import Limit, Use
from waterkit.water.meter import Meter, shown_us_cm

Shown = Callable[[float, float], float]
"""What a meter shows for an actual conductivity at a water temperature."""


def card(plan: SeasonPlan, figures: Figures) -> Topic:
    """The limits by temperature and use, what air alone does, and who may release a hold."""
    facts = (
        Fact("Up to good", "fill", "the water may be used"),
        Fact("Between good and act", "hold", f"only the {plan.club.people.release} may release it"),
        Fact("Above act", "do not fill", f"call the {plan.club.people.release}"),
        Fact(
            "Air alone does",
            _air_range(plan, figures),
            f"in an open tank, as {shown_by(plan)[0].name} shows it: no fault of the resin",
        ),
    )
    tables = (limits_at_25(plan, figures), *limit_tables(plan, figures))
    return Topic(
        "Tank card",
        facts,
        tables=tables,
        workings=_limit_workings(plan, figures),
        notes=(
            "Limits hold at 25 °C; colder water with the same salt conducts less. Look up the"
            " temperature of your water; between two rows the smaller limit holds.",
            "At the resin's outlet, where no air has reached the water, it should show less than"
            " air alone does.",
        ),
        cautions=(
            *cautions_at("tank", "treatment", "cleaners", "flooding", "pebbling", "people"),
            RULE,
        ),
        answer="Take a reading, look up the limit, then fill, hold, or leave the water alone.",
    )


def _limit_workings(plan: SeasonPlan, figures: Figures) -> tuple[WorkingOut, ...]:
    """How the first limit of the card's coldest row was worked out, for the first meter."""
    use, limit = next(iter(plan.club.limits.items()))
    working = limit_working(use, limit, plan.card[0], shown_by(plan)[0])
    return (working_out(working, plan.club, figures),)


def use_groups(plan: SeasonPlan) -> dict[tuple[Use, ...], Limit]:
    """Uses with the same limits share their columns."""
    groups: dict[tuple[float, float], list[Use]] = {}
    for use, limit in plan.club.limits.items():
        groups.setdefault((limit.good_us_cm, limit.act_us_cm), []).append(use)
    return {tuple(uses): plan.club.limits[uses[0]] for uses in groups.values()}


def shown_by(plan: SeasonPlan) -> tuple[Meter, ...]:
    """The club's meters; without any, one that corrects nothing."""
    return plan.club.meters or (Meter("a meter without compensation", "none"),)


def _air_range(plan: SeasonPlan, figures: Figures) -> str:
    meter = shown_by(plan)[0]
    shown = [float(shown_us_cm(row.air_us_cm, row.temperature_c, meter)) for row in plan.card]
    low = figures.number(min(shown), CONDUCTIVITY, 1)
    return f"{low} to {figures.text(max(shown), CONDUCTIVITY, 1)}"


def limits_at_25(plan: SeasonPlan, figures: Figures) -> Table:
    """The limits as the club set them, at 25 degC."""
    unit = figures.unit(CONDUCTIVITY)
    columns = (
        Column("Water for"),
        Column("Good up to", unit, "right"),
        Column("Do not fill above", unit, "right"),
    )
    rows = tuple(
        (
            figures.listed(list(uses)),
            figures.number(limit.good_us_cm, CONDUCTIVITY, 1),
            figures.number(limit.act_us_cm, CONDUCTIVITY, 1),
        )
        for uses, limit in use_groups(plan).items()
    )
    return Table("Limits at 25 °C", columns, rows)


def limit_tables(plan: SeasonPlan, figures: Figures) -> tuple[Table, ...]:
    """One table for each way of compensation among the club's meters; without meters, for none."""
    ways: dict[tuple[object, ...], list[Meter]] = {}
    for meter in shown_by(plan):
        way = (meter.compensation, meter.coefficient_percent_per_c, meter.reference_c)
        ways.setdefault(way if meter.compensation != "none" else ("none",), []).append(meter)
    return tuple(_limit_table(plan, figures, meters) for meters in ways.values())


def _limit_table(plan: SeasonPlan, figures: Figures, meters: list[Meter]) -> Table:
    unit, groups = figures.unit(CONDUCTIVITY), use_groups(plan)
    heads = [figures.listed(list(uses)) for uses in groups]
    columns = (
        Column("Water at", figures.unit(TEMPERATURE), "right"),
        Column("Air alone", unit, "right"),
        *(
            Column(f"{head}: {word}", unit, "right")
            for head in heads
            for word in ("good up to", "do not fill above")
        ),
    )

    def shown(actual: float, temperature_c: float) -> float:
        return float(shown_us_cm(actual, temperature_c, meters[0]))

    rows = tuple(_limit_row(row, list(groups), shown, figures) for row in plan.card)
    names = figures.listed([meter.name for meter in meters])
    return Table(f"What the {names} shows at the limit", columns, rows, _way(meters[0], figures))


def _limit_row(
    row: LimitRow, groups: list[tuple[Use, ...]], shown: Shown, figures: Figures
) -> tuple[str, ...]:
    t = row.temperature_c
    limits = [side[uses[0]] for uses in groups for side in (row.good_us_cm, row.act_us_cm)]
    return (
        figures.number(t, TEMPERATURE, 0),
        figures.number(shown(row.air_us_cm, t), CONDUCTIVITY, 1),
        *(figures.number(rounded_down(shown(limit, t)), CONDUCTIVITY, 1) for limit in limits),
    )


def rounded_down(limit_us_cm: float) -> float:
    """A limit to a tenth, never above what it is: rounding must not let water pass [uS/cm]."""
    return math.floor(limit_us_cm * 10 + 1e-6) / 10


def _way(meter: Meter, figures: Figures) -> str:
    reference = figures.text(meter.reference_c, TEMPERATURE, 0)
    if meter.compensation == "none":
        return "For a meter without temperature compensation: it shows what the water conducts."
    if meter.compensation == "linear":
        slope = figures.plain(meter.coefficient_percent_per_c)
        return f"For a meter that corrects to {reference} by {slope} % per °C."
    return f"For a meter that corrects to {reference} as for {meter.compensation}."


@dataclass(frozen=True, slots=True)
class Question:
    """One question at the tank: what is asked, where the meter is held, whose limits decide."""

    asked: str
    where: str
    limits: str


def questions(plan: SeasonPlan) -> tuple[Question, ...]:
    """The two questions, each with its own points."""
    strictest = min(plan.club.limits.items(), key=lambda entry: entry[1].good_us_cm)[0]
    return (
        Question(
            "May this water go into the tank?",
            "at the resin's outlet, while it runs",
            f"the strictest use that the tank will serve ({strictest})",
        ),
        Question(
            "May this water go onto the ice?",
            "in the tank, then at the hose end once the hose is flushed",
            "today's use",
        ),
    )


REFUSE = (
    "reads like the supply, or higher: something may be plumbed wrong",
    "smells, has a film or a colour, or is cloudy: a meter does not see oil or dirt",
)
"""When water must not be used, whatever the meter shows."""

DISBELIEVE = (
    "is hard to believe or jumps about",
    "was taken with a check standard that is out of date, or with a meter that failed its check",
    "comes from a meter of which nobody knows how it compensates for temperature",
    "was taken while the vessel or the hose was still being rinsed",
)
"""When a reading must not be believed."""


def log_rows(figures: Figures, count: int = 8) -> Table:
    """Rows to write readings in."""
    columns = (
        Column("Date and time"),
        Column("Point"),
        Column("Shown", figures.unit(CONDUCTIVITY)),
        Column("Water at", figures.unit(TEMPERATURE)),
        Column("Use"),
        Column("Answer"),
        Column("By"),
    )
    return Table("Rows to write in", columns, (("",) * len(columns),) * count, head=None)
