"""The tank card in words: the limits on paper, and what to do with a reading."""

from dataclasses import dataclass, replace

from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import Figures, sign, with_unit
from waterkit.pages.view.shapes import UNKNOWN, Column, Fact, Table, Topic, WorkingOut
from waterkit.pages.view.verdict import resin_left, shown_number
from waterkit.pages.view.workings import sentence_case, working_out
from waterkit.plan import SeasonPlan
from waterkit.plan.carried import Carried
from waterkit.quantities import CONDUCTIVITY, TEMPERATURE, VOLUME
from waterkit.tank.baked import (
    LEAST_SLOPE,
    MILLION,
    SCALE,
    TENTHS,
    WARMEST_C,
    Baked,
    MeterRow,
    tenths_of,
)
from waterkit.tank.rules import LIKE_FEED
from waterkit.tank.table import CARD_TEMPERATURES_C
from waterkit.tank.workings import limit_working
from waterkit.units import convert
from waterkit.water.limits import Limit, Use
from waterkit.water.meter import Meter

UNCORRECTED = MeterRow(
    "a meter that corrects nothing", (MILLION,) * (WARMEST_C + 1), (0,) * (WARMEST_C + 1)
)
"""What the limits are told for where the club wrote no meter down."""
FILL, NOT_ABOVE, SUPPLY = "Fill up to", "Do not fill above", "Supply"
WHOLE_FROM = 100 * SCALE
"""From here on a supply is told in whole figures: it is known no better."""
IN_USE_C = (0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 15.0, 20.0, 25.0, 40.0, 50.0, 60.0)
"""Pebble and floods are laid with warm water too: common practice, no source."""


def card(plan: SeasonPlan, figures: Figures) -> Topic:
    """The limits by temperature and use, what air alone does, and who may release a hold."""
    carried, release = Carried(plan.club, plan.as_of), plan.club.people.release
    tables = (limits_at_25(plan, figures), *limit_tables(carried, figures))
    return Topic(
        "Tank card",
        (
            Fact("Up to the limit under 'fill up to'", "fill", "the water may be used"),
            Fact("Above it", "hold", f"only the {release} may release it"),
            Fact("Above 'do not fill above'", "do not fill", f"call the {release}"),
            _air(carried.table, meters_of(carried)[0][1], figures),
            *_stock(carried, figures),
        ),
        tables=tables,
        workings=_limit_workings(plan, carried, figures),
        notes=(
            "Limits hold at 25 °C; colder water with the same salt conducts less. Look up the"
            " temperature of your water; between two rows the smaller limit holds. Limits are"
            " rounded down.",
            "A little above 'fill up to' it may be nothing but air: read the DI outlet, where no"
            " air has reached the water. It should show less than air alone does.",
            *(() if plan.club.meters else (NO_METER,)),
        ),
        cautions=(
            *cautions_at("tank", "treatment", "cleaners", "flooding", "pebbling", "people"),
            RULE,
        ),
        answer="Take a reading, look up the limit, then fill, hold, or leave the water alone.",
    )


NO_METER = (
    "The club wrote no meter down: until it stands under [[meter]] in club.toml, how it corrects,"
    " every reading is on hold."
)


def _limit_workings(plan: SeasonPlan, carried: Carried, figures: Figures) -> tuple[WorkingOut, ...]:
    """How the first limit of the card's coldest row was worked out, for the first meter."""
    use, limit = next(iter(plan.club.limits.items()))
    meters, row = meters_of(carried)[0]
    working = limit_working(use, limit, plan.card[0], meters[0])
    good, _ = _limits(carried.table, row, use, tenths_of(plan.card[0].temperature_c))
    printed = with_unit(shown_number(good, row, figures), sign(row.unit))
    exact = with_unit(figures.fixed(float(working.result), 2), sign(row.unit))  # type: ignore[arg-type]
    told = f"{exact}, on the card rounded down to {printed}"
    return (replace(working_out(working, plan.club, figures), result=told),)


def use_groups(plan: SeasonPlan) -> dict[tuple[Use, ...], Limit]:
    """Uses with the same limits share a row."""
    groups: dict[tuple[float, float], list[Use]] = {}
    for use, limit in plan.club.limits.items():
        groups.setdefault((limit.good_us_cm, limit.act_us_cm), []).append(use)
    return {tuple(uses): plan.club.limits[uses[0]] for uses in groups.values()}


def meters_of(carried: Carried) -> tuple[tuple[list[Meter], MeterRow], ...]:
    """The club's meters, those that show the same together, each with its row of the table."""
    ways: dict[tuple[object, ...], list[Meter]] = {}
    for meter in carried.club.meters:
        corrects = (meter.coefficient_percent_per_c, meter.reference_c)
        way = (meter.compensation, meter.factor, meter.resolution_us_cm)
        ways.setdefault(way if way[0] == "none" else (*way, *corrects), []).append(meter)
    found = [(meters, carried.table.meters[meters[0].name]) for meters in ways.values()]
    return tuple(found) or (([Meter(UNCORRECTED.name, "none")], UNCORRECTED),)


def _air(table: Baked, row: MeterRow, figures: Figures) -> Fact:
    shown = [
        table.shown(row, table.at(table.air_in_use, tenths), tenths)
        for tenths, _ in _temperatures(figures)
        if _usable(table, row, tenths)
    ]
    low, high = (shown_number(end(shown, default=0), row, figures) for end in (min, max))
    text = f"{low} to {with_unit(high, sign(row.unit))}"
    name = row.name if row is UNCORRECTED else f"the {row.name}"
    return Fact(
        "Air alone does", text, f"in an open tank, as {name} shows it: no fault of the resin"
    )


def _stock(carried: Carried, figures: Figures) -> tuple[Fact, ...]:
    """What tank and resin still give, as of the day of the card."""
    gives = f"the full tank gives {figures.text(carried.known.tank_l, VOLUME)}"
    day = f"as of {figures.date(carried.as_of)}"
    found = tuple(
        replace(fact, remark=", ".join(filter(None, (fact.remark, day, gives))))
        for fact in resin_left(carried.at_tank, figures)
    )
    return found or (Fact("Resin left", UNKNOWN, gives),)


DOUBTS = ("", "never-checked", "meter-drifts")
"""What is wrong with a meter without holding its readings."""


def meter_tables(plan: SeasonPlan, figures: Figures) -> tuple[Table, ...]:
    """How long each meter is believed; nothing where the club wrote none down."""
    carried = Carried(plan.club, plan.as_of)
    columns = (Column("Meter"), Column("Standard holds until"), Column("Check counts until"))
    rows = tuple(
        (
            name,
            figures.date(belief.standard_until),
            (figures.date(belief.checked_until) if belief.checked_until else "never checked")
            + (": hold" if belief.on(plan.as_of) not in DOUBTS else ""),
        )
        for name, belief in carried.beliefs.items()
    )
    told = "After either day its readings are on hold, until it is checked with a fresh standard."
    return (Table("Meters", columns, rows, told),) if rows else ()


def limits_at_25(plan: SeasonPlan, figures: Figures) -> Table:
    """The limits as the club set them, at 25 degC."""
    unit = figures.unit(CONDUCTIVITY)
    columns = (Column("Water for"), Column(FILL, unit, "right"), Column(NOT_ABOVE, unit, "right"))
    rows = tuple(
        (
            figures.listed(list(uses)),
            figures.number(limit.good_us_cm, CONDUCTIVITY, 1),
            figures.number(limit.act_us_cm, CONDUCTIVITY, 1),
        )
        for uses, limit in use_groups(plan).items()
    )
    return Table("The club's limits, at 25 °C", columns, rows)


def limit_tables(carried: Carried, figures: Figures) -> tuple[Table, ...]:
    """A table for each job and each way in which the club's meters show the same water."""
    tables = []
    for meters, row in meters_of(carried):
        by = figures.listed([meter.name for meter in meters])
        by = by if row is UNCORRECTED else f"the {by}"
        feed = carried.known.feed_25
        jobs = [
            _limit_table(carried.table, row, job, by, figures, feed) for job in _jobs(carried.table)
        ]
        tables += [replace(jobs[0], caption=f"{jobs[0].caption} {way_of(meters[0], figures)}"),
                   *jobs[1:]]  # fmt: skip
    return tuple(tables)


@dataclass(frozen=True, slots=True)
class Job:
    """Jobs that one table of the card serves, and whether air is in their water."""

    uses: tuple[Use, ...]
    open_: bool
    filling: bool = False


def _jobs(table: Baked) -> tuple[Job, ...]:
    """Filling the tank, then the uses, those with the same limits together."""
    groups: dict[tuple[int, int], list[Use]] = {}
    for use, pair in table.limits.items():
        groups.setdefault(pair, []).append(use)
    uses = (Job(tuple(group), table.open_) for group in groups.values())
    return (Job((table.into_tank,), open_=False, filling=True), *uses)


def _limit_table(
    table: Baked, row: MeterRow, job: Job, by: str, figures: Figures, feed_25: int | None = None
) -> Table:
    unit = sign(row.unit)
    names = "Filling the tank" if job.filling else sentence_case(figures.listed(list(job.uses)))
    degrees = CARD_TEMPERATURES_C if job.filling else IN_USE_C
    lines = [
        (*_line(table, row, job, place, figures), _supply(table, row, feed_25, place, figures))
        for place in _temperatures(figures, degrees)
    ]
    heads = ["Water at", "Air alone", FILL, NOT_ABOVE, SUPPLY]
    holds = any(line[2] != line[3] for line in lines)
    supplied = job.filling and feed_25 is not None
    places = [0, *([1] if job.open_ else []), 2, *([3] if holds else []), *([4] * supplied)]
    columns = tuple(
        Column(heads[place], unit if place else figures.unit(TEMPERATURE), "right")
        for place in places
    )
    where = "At the DI outlet." if job.filling else "In the tank or at the hose end."
    told = where if holds else f"{where} Above it do not fill: for this there is no hold."
    rows = tuple(tuple(line[place] for place in places) for line in lines)
    return Table(f"{names}, by {by}", columns, rows, told, name="limits")


def _line(
    table: Baked, row: MeterRow, job: Job, place: tuple[int, str], figures: Figures
) -> tuple[str, str, str, str]:
    """A temperature, and what the meter shows there for air and the two limits."""
    tenths, told = place
    if not _usable(table, row, tenths):
        return told, UNKNOWN, UNKNOWN, UNKNOWN
    good, act = _limits(table, row, job.uses[0], tenths)
    air = table.shown(row, table.at(table.air_in_use, tenths), tenths)
    most = max(act, air) if job.open_ else act
    air_told, good_told, most_told = (shown_number(one, row, figures) for one in (air, good, most))
    return told, air_told, good_told, most_told


def _supply(
    table: Baked, row: MeterRow, feed_25: int | None, place: tuple[int, str], figures: Figures
) -> str:
    """What the meter shows in the supply at a temperature."""
    tenths, _ = place
    if feed_25 is None or not _usable(table, row, tenths):
        return UNKNOWN
    shown = table.shown(row, table.from_25(feed_25, tenths), tenths)
    if shown < WHOLE_FROM:
        return shown_number(shown, row, figures)
    return figures.number(shown // SCALE, CONDUCTIVITY, 0)


def _limits(table: Baked, row: MeterRow, use: Use, tenths: int) -> tuple[int, int]:
    """Good and act as the meter shows them."""
    good, act = (
        table.shown(row, table.from_25(limit, tenths), tenths) for limit in table.limits[use]
    )
    return good, act


def _usable(table: Baked, row: MeterRow, tenths: int) -> bool:
    return table.at(row.slope, tenths) >= LEAST_SLOPE and tenths <= row.warmest * TENTHS


def _temperatures(
    figures: Figures, degrees: tuple[float, ...] = CARD_TEMPERATURES_C
) -> list[tuple[int, str]]:
    """Whole degrees of the shown unit, as tenths of 1 degC and as they are printed."""
    found = []
    for celsius in degrees:
        whole = float(round(figures.shown(celsius, TEMPERATURE) or 0.0))
        spelling = TEMPERATURE.us if figures.display == "us" else TEMPERATURE.metric
        core = float(convert(whole, spelling, TEMPERATURE.unit))
        found.append((tenths_of(core), figures.fixed(whole, 0)))
    return found


def way_of(meter: Meter, figures: Figures) -> str:
    """How a meter turns what it finds into what it shows, in words."""
    reference = figures.text(meter.reference_c, TEMPERATURE, 0)
    shows = f" It shows {figures.plain(meter.factor)} ppm for 1 µS/cm." if meter.factor else ""
    if meter.compensation == "none":
        return f"The meter corrects nothing: it shows what the water conducts.{shows}"
    if meter.compensation == "linear":
        slope = figures.plain(meter.coefficient_percent_per_c)
        return f"The meter corrects to {reference} by {slope} % per °C.{shows}"
    return f"The meter corrects to {reference} as for {meter.compensation}.{shows}"


@dataclass(frozen=True, slots=True)
class Question:
    """One question at the tank: what is asked, where the meter is held, whose limits decide."""

    asked: str
    where: str
    limits: str


def questions(plan: SeasonPlan) -> tuple[Question, ...]:
    """The two questions, each with its own points."""
    strictest = Carried(plan.club, plan.as_of).table.into_tank
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


def refuse(plan: SeasonPlan) -> tuple[str, ...]:
    """When water must not be used, whatever the meter shows."""
    feed_25 = Carried(plan.club, plan.as_of).known.feed_25
    times, over = LIKE_FEED
    told = "" if feed_25 is None else (
        f", from {times}/{over} of the figure under '{SUPPLY}' on ('Filling the tank')"
    )  # fmt: skip
    return (
        f"reads like the supply, or higher{told}: something may be plumbed wrong",
        "smells, has film, colour or flakes, or is cloudy: a meter does not see oil or dirt",
    )


DISBELIEVE = (
    "is 0: the cell may be dry, or the last digit too coarse",
    "is hard to believe or jumps about",
    "was taken with a check standard that is out of date, or with a meter that failed its check",
    "comes from a meter of which nobody knows how it compensates for temperature",
    "was taken while the vessel or the hose was still being rinsed",
)
"""When a reading must not be believed."""


def log_rows(figures: Figures, count: int = 8) -> Table:
    """Rows to write readings in, with the columns of readings.csv."""
    columns = (
        Column("time"),
        Column("point"),
        Column("conductivity", figures.unit(CONDUCTIVITY)),
        Column("temperature", figures.unit(TEMPERATURE)),
        Column("meter"),
        Column("compensation"),
        Column("reference", figures.unit(TEMPERATURE)),
        Column("treated total", figures.unit(VOLUME)),
        Column("use"),
        Column("vessel"),
        Column("by"),
        Column("note"),
    )
    return Table("Rows to write in", columns, (("",) * len(columns),) * count, head=None)
