"""The run of one vessel in words: its points with what to do at each, and how it ends."""

import math
from collections.abc import Iterator

from waterkit.pages.view.figures import Figures
from waterkit.pages.view.sentences import analyte
from waterkit.pages.view.shapes import Column, Table
from waterkit.plan import SeasonPlan
from waterkit.plan.bed import METER_SHOWS, SILICA_SHOWS, PointKey, RunPoint
from waterkit.quantities import CONDUCTIVITY, MASS_CONCENTRATION, MASS_G, PH, VOLUME
from waterkit.treatment.breakthrough import ColumnRun
from waterkit.treatment.vessel_run import AtChange
from waterkit.water.composition import CARBON
from waterkit.water.meter import Meter, shown_us_cm

NOT_BY_THE_METER = (
    "Silica and carbon dioxide come through before the meter shows anything: change by litres,"
    " by a silica test or by lead and lag, not by the meter alone."
)
LEFT_OUT = (
    "The model is an ideal bed: how slowly ions find their way into the beads, channels through the"
    " bed, fouling and age are not in it. A real bed lets go earlier and less sharply."
)
POINTS: dict[PointKey, tuple[str, str]] = {
    "rinse": (
        "Rinsed in.",
        "Drain what came so far. Take a reading at the outlet and write it down; then fill.",
    ),
    "change": ("The club's change.", "Change the vessel now and write the change down."),
    "silica": ("Silica begins to show.", "A test kit shows it; the meter {meter}."),
    "meter": ("The meter begins to move.", "Stop filling from this vessel."),
    "limit": ("Past what the strictest use takes.", "Do not fill from this vessel."),
    "rated end": ("The end that was planned with.", "Do not fill from this vessel."),
    "peak": ("Crest of the silica wave.", "Do not fill: old silica leaves the bed all at once."),
    "acid": ("Strong acid leaves.", "Shut it: do not touch this water, do not fill."),
    "caustic": ("Caustic leaves.", "Shut it: do not touch this water, do not fill."),
    "spent": ("Half as bad as the feed.", "Do not fill: one side of the bed is spent."),
}
AFTER = "If it was not changed: "
_BEYOND_STEPS = 100.0
"""Above that a reading's decimals tell nobody anything [uS/cm]."""
_SHOWS_NOTHING = 1.0
"""Below that a meter shows next to nothing [uS/cm]."""


def meter_of(plan: SeasonPlan) -> Meter:
    """The meter that a run is told for: the club's first, else one that corrects nothing."""
    plan.club.need("meters")
    return plan.club.meters[0] if plan.club.meters else Meter("a meter without correction", "none")


def points(plan: SeasonPlan, figures: Figures) -> Table:
    """What the volunteer sees and does at each point of the run; numbered for the drawing."""
    meter = meter_of(plan)
    conductivity = figures.unit(CONDUCTIVITY)
    columns = (
        Column("Point"),
        Column("Through", figures.unit(VOLUME), "right"),
        Column("At 25 °C", conductivity, "right"),
        Column(f"{meter.name} shows", conductivity, "right"),
        Column("Silica", figures.unit(MASS_CONCENTRATION), "right"),
        Column("pH", "", "right"),
    )
    rows = tuple(
        _point(number, point, plan, meter, figures)
        for number, point in enumerate(plan.run_points, start=1)
    )
    caption = (
        "At the outlet of this vessel, counted from fresh, the water in its pores with it. The"
        " numbers stand in the drawing."
    )
    told = dict(enumerate(what_to_do(plan.run_points)))
    return Table("The run of one vessel", columns, rows, caption, name="breakthrough", groups=told)


def what_to_do(found: tuple[RunPoint, ...]) -> Iterator[str]:
    """What each point is, and what somebody does at it, before the club's change and after it."""
    changed = next((p.leaving.litres_l for p in found if p.key == "change"), math.inf)
    for point in found:
        name, action = POINTS[point.key]
        shows = point.leaving.conductivity_25_us_cm >= _SHOWS_NOTHING
        action = action.format(meter="shows it too" if shows else "does not")
        if point.leaving.litres_l > changed:
            action = AFTER + action[:1].lower() + action[1:]
        yield f"{name} {action}"


def _point(
    number: int, point: RunPoint, plan: SeasonPlan, meter: Meter, figures: Figures
) -> tuple[str, ...]:
    leaving = point.leaving
    shown = float(
        shown_us_cm(leaving.conductivity_us_cm, float(plan.reaching.temperature_c), meter)
    )
    steps = max(0, -math.floor(math.log10(meter.resolution_us_cm)))
    return (
        str(number),
        figures.number(leaving.litres_l, VOLUME),
        figures.fine(leaving.conductivity_25_us_cm, CONDUCTIVITY),
        figures.number(shown, CONDUCTIVITY, 0 if shown > _BEYOND_STEPS else steps),
        figures.fine(leaving.silica_mg_l, MASS_CONCENTRATION),
        figures.number(leaving.ph, PH),
    )


def story(run: ColumnRun, figures: Figures) -> tuple[str, ...]:
    """In which order things come through, acid, caustic and silica among them."""
    return (_order(run, figures), *_acid(run, figures), *_silica(run, figures), *_warning(run))


def _order(run: ColumnRun, figures: Figures) -> str:
    names = [named(key) for key, _ in run.leaving_order]
    first, then = names[:1], names[1:]
    match run.order:
        case "anion-first":
            order = f"The anion side is spent first: {first[0]} comes first"
            return f"{order}, then {figures.listed(then)}." if then else f"{order}."
        case "cation-first":
            most = figures.number(float(run.ph.max()), PH)
            return (
                f"The cation side is spent first: {first[0]} comes first, as caustic of up to pH"
                f" {most}, and the meter jumps at once."
            )
        case "together":
            return "Both sides are spent together: the meter jumps once anything comes through."
    return "Nothing comes through as long as the run was followed."


def _acid(run: ColumnRun, figures: Figures) -> Iterator[str]:
    if run.mineral_acid_l is not None:
        least = figures.number(float(run.ph.min()), PH)
        yield (
            f"From {figures.about(run.mineral_acid_l, VOLUME)} on, strong acid leaves, down to pH"
            f" {least}: such water eats metal and concrete, and burns."
        )


def _silica(run: ColumnRun, figures: Figures) -> Iterator[str]:
    wave = run.silica_wave
    if wave.grams_g > 0 and wave.peak_mg_l > wave.feed_mg_l:
        blind = run.at(wave.peak_at_l).conductivity_25_us_cm < _SHOWS_NOTHING
        meter = ", and the meter shows next to nothing of it" if blind else ""
        yield (
            f"Silica leaves in a wave of up to {figures.about(wave.peak_mg_l, MASS_CONCENTRATION)},"
            f" where the feed has {figures.text(wave.feed_mg_l, MASS_CONCENTRATION)}:"
            f" {figures.about(wave.grams_g, MASS_G)} of it above the feed's strength{meter}."
        )
    if wave.peak_mg_l > wave.soluble_mg_l:
        soluble = figures.about(wave.soluble_mg_l, MASS_CONCENTRATION)
        yield f"Of that silica, what is above {soluble} does not stay dissolved."


def _warning(run: ColumnRun) -> Iterator[str]:
    """Not by the meter alone, where silica is there before the meter shows anything."""
    silica, meter = (run.litres_to(mark).litres_l for mark in (SILICA_SHOWS, METER_SHOWS))
    if silica is not None and (meter is None or silica < meter):
        yield NOT_BY_THE_METER


def behind(found: AtChange | None, figures: Figures) -> Iterator[str]:
    """What leaves a fresh lag when the lead is changed."""
    if found is not None and found.vessels > 1:
        shown = figures.fine(found.outlet.conductivity_25_us_cm, CONDUCTIVITY)
        yield (
            f"When the lead is changed, a fresh lag behind it still gives {shown}"
            f" {figures.unit(CONDUCTIVITY)} at 25 °C and"
            f" {figures.about(found.outlet.silica_mg_l, MASS_CONCENTRATION)} of silica."
        )


def named(key: str) -> str:
    """What a bed takes, by its English name; all carbon counts as one."""
    return "bicarbonate with carbon dioxide" if key == CARBON else analyte(key)
