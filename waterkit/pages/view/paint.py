"""The white in words: batches, whole bags, checking, cover, spraying, colours and lines."""

from waterkit.ice.batches import Batch, WholeBags
from waterkit.ice.workings import mix_working, powder_working
from waterkit.pages.view import paint_tables
from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import NBSP, Figures
from waterkit.pages.view.sentences import counted, sentences
from waterkit.pages.view.shapes import UNKNOWN, Column, Fact, Table, Topic, WorkingOut
from waterkit.pages.view.workings import working_out
from waterkit.plan import SeasonPlan
from waterkit.plan.mixing import Mixing, mixing
from waterkit.quantities import DENSITY, MASS, PAINT_RATIO, PERCENT, VOLUME

NO_BAG = "no offer says what a bag holds"
LEAST_LEFT_L = 0.5
"""Less than that in the tank is not worth a word."""


def paint(plan: SeasonPlan, figures: Figures) -> Topic:
    """The white: powder and water in which batches, whether it covers, colours and lines."""
    white, painting, mixed = plan.paint, plan.painting, mixing(plan)
    if white is None or painting is None or mixed is None:
        nothing = Fact("Batches", "none", "the layer plan has no white to come")
        marks = () if plan.club.lacks("colours") else (paint_tables.markings(plan, figures),)
        return Topic("White paint", (nothing,), tables=marks, answer="There is no white to mix.")
    told = plan.paint_findings
    marks_notes = () if plan.club.lacks("colours") else plan.markings.notes
    remarks = [n for n in (*white.notes, *painting.notes, *marks_notes) if n not in told]
    return Topic(
        "White paint",
        _facts(plan, mixed, figures),
        sentences(plan.paint_findings, figures),
        _tables(plan, mixed, figures),
        _workings(plan, mixed, figures),
        notes=(*sentences(remarks, figures), *_where_it_goes(plan, mixed, figures)),
        cautions=(*cautions_at("powder", "mixing", "spraying", "wash-out"), RULE),
        answer=f"Mix {figures.text(mixed.powder_kg, MASS)} of {plan.club.white.powder} into"
        f" {figures.text(mixed.water_l, VOLUME)} of water,"
        f" in {counted(len(mixed.batches), 'batch', 'batches')}.",
    )


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


def _facts(plan: SeasonPlan, mixed: Mixing, figures: Figures) -> tuple[Fact, ...]:
    assert plan.paint is not None
    bags, ratio = mixed.whole.bags if mixed.whole else plan.paint.bags, mixed.white.ratio
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


def ratio_number(kg_l: float, figures: Figures) -> str:
    """A ratio without its unit, to the same digits."""
    return ratio_text(kg_l, figures).partition(NBSP)[0]


def _tables(plan: SeasonPlan, mixed: Mixing, figures: Figures) -> tuple[Table, ...]:
    found = [
        _on_cards(mixed, figures),
        _beside(plan, mixed, figures),
        paint_tables.check(plan, figures),
        paint_tables.cover(plan, figures),
        paint_tables.spraying(plan, figures),
        None if plan.club.lacks("colours") else paint_tables.markings(plan, figures),
        paint_tables.dust(plan, figures),
    ]
    return tuple(table for table in found if table is not None)


def _workings(plan: SeasonPlan, mixed: Mixing, figures: Figures) -> tuple[WorkingOut, ...]:
    """How the mix in all and the powder of the first batch were worked out."""
    assert plan.paint is not None
    assert plan.painting is not None
    white = plan.club.white
    found = (
        mix_working(plan.paint, white, plan.painting.area_m2),
        *(powder_working(batch, mixed.white) for batch in mixed.batches[:1]),
    )
    return tuple(working_out(working, plan.club, figures) for working in found)


def _on_cards(mixed: Mixing, figures: Figures) -> Table:
    """The batches that the cards tell, and what the whole bags among them cost."""
    of_water = mixed.white.ratio.per == "water"
    whole = f"{whole_bags_words(mixed.whole, figures)} " if mixed.whole else ""
    way = _TO_WATER if of_water else _TO_MARK
    return _batches("Batches", mixed.batches, of_water, figures, f"{whole}{way}")


def _batches(
    title: str, batches: tuple[Batch, ...], of_water: bool, figures: Figures, caption: str
) -> Table:
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
        for batch in batches
    )
    return Table(title, columns, rows, caption)


_TO_WATER = (
    "Powder goes into measured water. Do not fill up to the mark for the water once the powder is"
    " in: powder takes room of its own, and the mix would come out too strong."
)
_TO_MARK = (
    "Powder goes into part of the water, then water up to the mark, what was left in the tank"
    " counted. Do not measure all of the water beforehand: powder takes room of its own, and the"
    " mix would come out too thin."
)


def _beside(plan: SeasonPlan, mixed: Mixing, figures: Figures) -> Table | None:
    """The other way: weighed beside cards of whole bags, in whole bags beside cards that weigh."""
    assert plan.paint is not None
    of_water, whole = plan.club.white.ratio.per == "water", plan.paint.in_whole_bags
    if mixed.whole:
        title, caption = "The same at the ratio asked for, weighed", "The cards take whole bags."
        return _batches(title, plan.paint.batches, of_water, figures, caption)
    if whole is None:
        return None
    caption = f"{whole_bags_words(whole, figures)} The cards weigh."
    return _batches("The same without weighing", whole.batches, of_water, figures, caption)


def _where_it_goes(plan: SeasonPlan, mixed: Mixing, figures: Figures) -> tuple[str, ...]:
    assert plan.paint is not None
    left_l = plan.paint.left_over_l + (mixed.whole.more_mix_l if mixed.whole else 0.0)
    on_ice = f"{figures.about(plan.paint.on_ice_l, VOLUME)} of mix reaches the ice"
    lost = f"{figures.about(plan.paint.lost_l, VOLUME)} is lost beside it"
    if left_l < LEAST_LEFT_L:
        return (f"{on_ice}, {lost}.",)
    left = f"{figures.about(left_l, VOLUME)} stays in the tank and is discarded"
    return (f"{on_ice}, {lost}, {left}.",)
