"""The white in words: batches, whole bags, checking, cover, spraying, colours and lines."""

from waterkit.ice.batches import WholeBags
from waterkit.ice.workings import mix_working, powder_working
from waterkit.pages.view import paint_tables
from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import UNKNOWN, Column, Fact, Table, Topic, WorkingOut
from waterkit.pages.view.workings import working_out
from waterkit.plan import SeasonPlan
from waterkit.quantities import DENSITY, MASS, PAINT_RATIO, PERCENT, VOLUME

NO_BAG = "no offer says what a bag holds"


def paint(plan: SeasonPlan, figures: Figures) -> Topic:
    """The white: powder and water in which batches, whether it covers, colours and lines."""
    white, painting = plan.paint, plan.painting
    if white is None or painting is None:
        nothing = Fact("Batches", "none", "the layer plan has no white to come")
        marks = () if plan.club.lacks("colours") else (paint_tables.markings(plan, figures),)
        return Topic("White paint", (nothing,), tables=marks, answer="There is no white to mix.")
    told = plan.paint_findings
    marks_notes = () if plan.club.lacks("colours") else plan.markings.notes
    remarks = [n for n in (*white.notes, *painting.notes, *marks_notes) if n not in told]
    return Topic(
        "White paint",
        _facts(plan, figures),
        sentences(plan.paint_findings, figures),
        _tables(plan, figures),
        _workings(plan, figures),
        notes=(*sentences(remarks, figures), *_where_it_goes(plan, figures)),
        cautions=(*cautions_at("powder", "mixing", "spraying", "wash-out"), RULE),
        answer=f"Mix {figures.text(white.powder_kg, MASS)} of {plan.club.white.powder} into"
        f" {figures.text(white.water_l, VOLUME)} of water,"
        f" in {counted(len(white.batches), 'batch', 'batches')}.",
    )


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun: ``1 batch``, ``2 batches``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def whole_bags_words(whole: WholeBags, figures: Figures) -> str:
    """What the white costs that nobody weighs for: in ratio, in left-over, in batches."""
    bags, batches = counted(whole.bags, "bag"), counted(len(whole.batches), "batch", "batches")
    costs = []
    if percent := round(abs(whole.ratio_percent), 1):
        way = "more" if whole.ratio_percent > 0 else "less"
        costs.append(f"{figures.text(percent, PERCENT)} {way} powder in each litre than planned")
    if whole.more_mix_l > 0:
        costs.append(f"{figures.text(whole.more_mix_l, VOLUME)} of mix too much, to be discarded")
    if whole.more_batches > 0:
        costs.append(counted(whole.more_batches, "batch more", "batches more"))
    if not costs:
        return f"Without weighing: {bags} in {batches}, just as planned."
    little = " That costs little." if whole.costs_little else ""
    return f"Without weighing: {bags} in {batches}. It costs {figures.listed(costs)}.{little}"


def _facts(plan: SeasonPlan, figures: Figures) -> tuple[Fact, ...]:
    assert plan.paint is not None
    bags, ratio = plan.paint.bags, plan.club.white.ratio
    litre = "litre" if figures.display == "metric" else "US gallon"
    return (
        Fact(
            "Bags", UNKNOWN if bags is None else figures.plain(bags), NO_BAG if bags is None else ""
        ),
        Fact("Ratio", ratio_text(ratio.value_kg_l, figures), f"powder in a {litre} of {ratio.per}"),
    )


def ratio_text(kg_l: float, figures: Figures) -> str:
    """A ratio with its unit, to three digits or so."""
    return figures.text(kg_l, PAINT_RATIO, 3 if figures.display == "metric" else 2)


def _tables(plan: SeasonPlan, figures: Figures) -> tuple[Table, ...]:
    found = [
        _batches(plan, figures),
        _whole_bags(plan, figures),
        paint_tables.check(plan, figures),
        paint_tables.cover(plan, figures),
        paint_tables.spraying(plan, figures),
        None if plan.club.lacks("colours") else paint_tables.markings(plan, figures),
        paint_tables.dust(plan, figures),
    ]
    return tuple(table for table in found if table is not None)


def _workings(plan: SeasonPlan, figures: Figures) -> tuple[WorkingOut, ...]:
    """How the mix in all and the powder of the first batch were worked out."""
    assert plan.paint is not None
    assert plan.painting is not None
    white = plan.club.white
    found = (
        mix_working(plan.paint, white, plan.painting.area_m2),
        *(powder_working(batch, white) for batch in plan.paint.batches[:1]),
    )
    return tuple(working_out(working, plan.club, figures) for working in found)


def _batches(plan: SeasonPlan, figures: Figures) -> Table:
    assert plan.paint is not None
    of_water = plan.club.white.ratio.per == "water"
    litres = figures.unit(VOLUME)
    columns = (
        Column("Batch"),
        Column("Measured water" if of_water else "Fill up to", litres, "right"),
        Column("Powder", figures.unit(MASS), "right"),
        Column("Whole bags", align="right"),
        Column("Weighed beside them", figures.unit(MASS), "right"),
        Column("Mix", litres, "right"),
        Column("Density", figures.unit(DENSITY), "right"),
    )
    rows = tuple(
        (
            str(batch.batch),
            figures.number(batch.water_l if of_water else batch.mark_l, VOLUME, 1),
            figures.number(batch.powder_kg, MASS, 2),
            UNKNOWN if batch.whole_bags is None else str(batch.whole_bags),
            figures.number(batch.weighed_kg, MASS, 2),
            figures.number(batch.mix_l, VOLUME, 1),
            figures.number(batch.density_kg_l, DENSITY),
        )
        for batch in plan.paint.batches
    )
    return Table("Batches", columns, rows, _TO_WATER if of_water else _TO_MARK)


_TO_WATER = (
    "Powder goes into measured water. Do not fill up to the mark for the water once the powder is"
    " in: powder takes room of its own, and the mix would come out too strong."
)
_TO_MARK = (
    "Powder goes into part of the water, then water up to the mark, what was left in the tank"
    " counted. Do not measure all of the water beforehand: powder takes room of its own, and the"
    " mix would come out too thin."
)


def _whole_bags(plan: SeasonPlan, figures: Figures) -> Table | None:
    assert plan.paint is not None
    whole = plan.paint.in_whole_bags
    if whole is None:
        return None
    of_water = plan.club.white.ratio.per == "water"
    columns = (
        Column("Batch"),
        Column("Measured water" if of_water else "Fill up to", figures.unit(VOLUME), "right"),
        Column("Whole bags", align="right"),
        Column("Mix", figures.unit(VOLUME), "right"),
    )
    rows = tuple(
        (
            str(batch.batch),
            figures.number(batch.water_l if of_water else batch.mark_l, VOLUME, 1),
            str(batch.whole_bags),
            figures.number(batch.mix_l, VOLUME, 1),
        )
        for batch in whole.batches
    )
    words = whole_bags_words(whole, figures)
    return Table("The same without weighing", columns, rows, f"{words} The cards weigh.")


def _where_it_goes(plan: SeasonPlan, figures: Figures) -> tuple[str, ...]:
    assert plan.paint is not None
    return (
        f"{figures.about(plan.paint.on_ice_l, VOLUME)} of mix reaches the ice,"
        f" {figures.about(plan.paint.lost_l, VOLUME)} is lost beside it,"
        f" {figures.about(plan.paint.left_over_l, VOLUME)} stays in the tank and is discarded.",
    )
