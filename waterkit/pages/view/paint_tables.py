"""Tables beside the batches: checking, cover, spraying, colours and lines, dust limits.

Each row is one figure with its unit and a remark.
"""

import math
from collections.abc import Iterable

from waterkit.ice.batches import USUAL_GRAMS_M2
from waterkit.ice.checking import TOLERANCE_PERCENT, JugTest
from waterkit.ice.cover import Cover, Range
from waterkit.ice.exposure import dust_limits
from waterkit.ice.hiding import HIDDEN, WHITE_GROUND
from waterkit.ice.marking_needs import MarkingNeeds, yarn_m
from waterkit.ice.markings import (
    WHEELCHAIR_FROM_CENTRE_M,
    WHEELCHAIR_LINE_M,
    WHEELCHAIR_LINES,
    guard_places_m,
)
from waterkit.pages.view.figures import Figures, with_unit
from waterkit.pages.view.sentences import from_to
from waterkit.pages.view.shapes import Column, Table
from waterkit.plan import SeasonPlan
from waterkit.plan.mixing import mixing
from waterkit.quantities import (
    AREA,
    AREAL_MASS,
    AREAL_VOLUME,
    DUST,
    LENGTH,
    MASS_G,
    NUMBER,
    PACE,
    PERCENT,
    SCATTERING,
    VOLUME,
    Quantity,
)  # fmt: skip

Row = tuple[str, str, str]
RINGS = {
    "ring_12": "12-foot ring",
    "ring_8": "8-foot ring",
    "ring_4": "4-foot ring",
    "button": "button",
}


def _of_rows(title: str, rows: Iterable[Row], caption: str = "") -> Table:
    columns = (Column("What"), Column("How much", align="right"), Column("Remark"))
    return Table(title, columns, tuple(rows), caption)


def check(plan: SeasonPlan, figures: Figures) -> Table | None:
    """What the same jug should show with water and with mix."""
    mixed, white = mixing(plan), plan.club.white
    jug = mixed.jug if mixed else None
    if jug is None or white.jug_l is None:
        return None
    size = figures.given(white.jug_l, "L")
    within = figures.text(math.ceil(10.0 * jug.uncertain_percent) / 10.0, PERCENT, 1)
    tolerance = figures.text(TOLERANCE_PERCENT, PERCENT, 0)
    most = figures.text(TOLERANCE_PERCENT + jug.uncertain_percent, PERCENT, 0)
    tells = (
        f"a batch between the two weights is at most {most} off, {tolerance} as read"
        if jug.tells
        else f"too coarse for {tolerance}: between the two weights nobody can tell, count the bags"
    )
    expected, low, high = go_on(jug, figures)
    between = "Go on" if jug.tells else "Nobody can tell"
    rows = (
        ("Mix weighs more than water by", expected, f"jug of {size}"),
        (f"{between} from", low, "less: the batch is thin"),
        (f"{between} up to", high, "more: the batch is thick"),
        ("Jug and scale tell the ratio within", within, tells),
    )
    caption = "Count the bags first. Then weigh the same jug, full to the same mark, with both."
    return _of_rows("Checking a batch", rows, caption)


def go_on(jug: JugTest, figures: Figures) -> tuple[str, str, str]:
    """What the jug should show, from and up to: rounded to the side on which nothing is done."""
    expected, low, high = (
        figures.shown(grams, MASS_G) or 0.0 for grams in (jug.expected_g, jug.low_g, jug.high_g)
    )
    decimals = sum(expected < limit for limit in (100.0, 5.0))
    step = 10.0**decimals
    rounded = (expected, math.ceil(low * step) / step, math.floor(high * step) / step)
    unit = figures.unit(MASS_G)
    words = [with_unit(figures.fixed(each, decimals), unit) for each in rounded]
    return words[0], words[1], words[2]


def cover(plan: SeasonPlan, figures: Figures) -> Table | None:
    """Whether the coats hide the slab: coats with a test patch, grams without."""
    if plan.painting is None or plan.paint is None:
        return None
    found, white = plan.painting.cover, plan.club.white
    low, high = (figures.text(grams, AREAL_MASS) for grams in USUAL_GRAMS_M2)
    rows: list[Row] = [
        (
            f"Powder of all {white.coats} coats",
            figures.text(plan.paint.grams_per_m2, AREAL_MASS),
            f"common practice is {low} to {high}",
        ),
        ("Powder of one coat", figures.text(found.coat_g_m2, AREAL_MASS), ""),
    ]
    return _of_rows("Will it cover", [*rows, *_by_patch(found, white.coats, figures)])


def _by_patch(found: Cover, planned: int, figures: Figures) -> Iterable[Row]:
    if found.outcome != "told":
        patch = "the test patch leaves it open"
        why = patch if found.outcome == "cannot tell" else "it takes the club's own test patch"
        yield "Coats that hide the slab", "cannot be told", why
        return
    assert found.grams_m2 is not None
    assert found.contrast is not None
    assert found.scattering_m2_g is not None
    coats, ratio = from_to(str(found.coats_low), str(found.coats_high)), figures.plain(HIDDEN)
    ground = figures.text(100 * WHITE_GROUND, PERCENT, 0)
    yield (
        "Coats that hide the slab",
        str(found.coats),
        f"{coats}: contrast ratio {ratio} of the slab to a ground of {ground}",
    )
    yield ("Powder for that", *_ranged(found.grams_m2, AREAL_MASS, figures))
    value, low, high = (
        figures.number(share, NUMBER, 3)
        for share in (found.contrast.value, found.contrast.low, found.contrast.high)
    )
    yield f"Contrast ratio of the planned {planned} coats", value, f"{low} to {high}"
    yield ("Scattering coefficient", *_ranged(found.scattering_m2_g, SCATTERING, figures))


def _ranged(found: Range, quantity: Quantity, figures: Figures) -> tuple[str, str]:
    low, high = (figures.number(value, quantity) for value in (found.low, found.high))
    return figures.text(found.value, quantity), f"{low} to {high}"


def spraying(plan: SeasonPlan, figures: Figures) -> Table | None:
    """Passes, pace and minutes of a coat."""
    if plan.painting is None:
        return None
    spray, sheet = plan.painting.spray, plan.club.rink.sheet_length_m
    rows = (
        ("Lanes", str(spray.lanes), f"one every {figures.text(spray.lane_m, LENGTH)} of width"),
        (
            "One pass at the club's pace",
            figures.text(spray.pass_l_m2, AREAL_VOLUME, 3),
            "on the ice",
        ),
        ("The same, all of the area", figures.text(spray.pass_l, VOLUME), "leaves the boom"),
        ("Passes for a coat", str(spray.passes), f"at {figures.text(spray.pace_m_s, PACE)}"),
        ("A sheet takes", f"{figures.plain(sheet / spray.pace_m_s)} s", "at that pace"),
        ("Or one pass for a coat", figures.text(spray.single_pace_m_s, PACE), "if anybody can"),
        ("A coat takes", figures.text(spray.coat_l, VOLUME), "leaves the boom"),
        ("Spraying a coat", figures.span(spray.spray_h), "turning and refilling come on top"),
        (
            "The plant needs for a coat",
            figures.span(spray.frozen_h),
            "by the layer plan; the next goes on when the one before is frozen",
        ),
    )
    return _of_rows("Spraying a coat", rows)


def markings(plan: SeasonPlan, figures: Figures) -> Table:
    """Colour, yarn, tape and marks for all sheets as measured."""
    needs, rink, colours = plan.markings, plan.club.rink, plan.club.colours
    spare = figures.text(colours.spare_percent, PERCENT, 0)
    one = figures.text(yarn_m(colours, rink), LENGTH, 1)
    lines: list[Row] = [
        ("Yarn, thin lines", figures.text(needs.yarn_m, LENGTH, 0), f"{one} a sheet"),
        ("Tape, hog lines", figures.text(needs.hog_tape_m, LENGTH, 0), "two across each sheet"),
        ("Tape, edges", figures.text(needs.edge_tape_m, LENGTH, 0), "where it is laid"),
    ]
    sheets = f"{rink.sheets} sheet{'' if rink.sheets == 1 else 's'}"
    size = " by ".join(figures.text(v, LENGTH) for v in (rink.sheet_length_m, rink.sheet_width_m))
    caption = f"For {sheets} of {size}; {spare} of spare is in colour, yarn and tape."
    rows = (*_houses(needs, colours.coats, figures), *lines, *_other_games(plan, figures))
    return _of_rows("Colours and lines", rows, caption)


def _houses(needs: MarkingNeeds, coats: int, figures: Figures) -> Iterable[Row]:
    if needs.discs:
        yield "Discs of fabric", str(needs.discs), "one a house"
    for ring in needs.rings:
        area = figures.text(ring.area_m2, AREA)
        litres = figures.text(ring.litres_l, VOLUME, 2)
        name = RINGS[ring.ring]
        yield f"{name}, {ring.colour}", litres, f"{area} in all houses, {coats} coats, no spare"
    for colour, litres_l in needs.litres.items():
        yield (
            f"Colour in all, {colour}",
            figures.text(litres_l, VOLUME, 1),
            "spare included; what is bought follows the rate in items.csv",
        )


def _other_games(plan: SeasonPlan, figures: Figures) -> Iterable[Row]:
    if plan.markings.marks:
        places = [figures.number(metres, LENGTH) for metres in guard_places_m()]
        where = f"{figures.listed(places)} {figures.unit(LENGTH)} from the tee line"
        yield "Marks of mixed doubles", str(plan.markings.marks), where
    if plan.club.colours.wheelchair:
        length = figures.text(WHEELCHAIR_LINE_M, LENGTH)
        aside = figures.given(WHEELCHAIR_FROM_CENTRE_M, LENGTH.unit)
        count = WHEELCHAIR_LINES * plan.club.rink.sheets
        yield (
            "Wheelchair lines",
            str(count),
            f"{length} each, outer edge {aside} from the centre line; in the yarn above",
        )


def dust(plan: SeasonPlan, figures: Figures) -> Table:
    """Limits for the powder's dust in the air, under whose they are."""
    limits = sorted(dust_limits(plan.club.white.powder), key=lambda limit: limit.source.key)
    columns = (Column("Powder"), Column("Dust"), Column("Limit", figures.unit(DUST), "right"))
    rows = tuple(
        (
            limit.powder,
            f"{limit.dust}: leave at once" if limit.danger else limit.dust,
            figures.number(limit.mg_m3, DUST, 1 if limit.mg_m3 % 1 else 0),
        )
        for limit in limits
    )
    bodies = [limit.source for limit in limits]
    groups = {n: body.text for n, body in enumerate(bodies) if body not in bodies[:n]}
    caption = (
        "The data sheet and local law decide; powder with quartz falls under far lower limits."
    )
    return Table("Dust in the air", columns, rows, caption, groups=groups)
