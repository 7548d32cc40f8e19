"""The resin in words: litres by each way to know them, and the run of the bed point by point."""

from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.run_words import LEFT_OUT, behind, named, points, story
from waterkit.pages.view.sentences import endpoints, sentences
from waterkit.pages.view.shapes import Column, Fact, Table, Topic
from waterkit.pages.view.workings import working_out
from waterkit.plan import SeasonPlan
from waterkit.quantities import (
    CHARGE,
    EQUIVALENTS,
    PERCENT,
    VOLUME,
)
from waterkit.treatment.ion_exchange import ResinRun, Vessel
from waterkit.treatment.vessel_run import AtChange, VesselRun
from waterkit.working import Note

NOTHING_LEARNED = (Note("capacity-not-learned"),)
NEVER_MIND = 0.005
"""Share of a resin below which what it holds is not named."""


def resin(plan: SeasonPlan, figures: Figures) -> Topic:
    """What one fresh vessel treats, how its run ends, and when it is changed."""
    run, vessel, bed = plan.resin, plan.vessel, plan.bed
    cautions = (*cautions_at("resin", "changeout"), RULE)
    if run is None or vessel is None:
        nothing = Fact("Vessel", "none", "no vessel stands in the lead or alone")
        return Topic("Resin", (nothing,), cautions=cautions, answer="No resin is planned with.")
    known = plan.learned.of(vessel)
    told = (bed,) if isinstance(bed, Note) else bed.notes if bed else ()
    told = (*(known.notes if known else NOTHING_LEARNED), *plan.learned.notes, *told)
    tables = [_by_way(plan, run, figures)]
    words: tuple[str, ...] = ()
    if isinstance(bed, VesselRun):
        tables.append(points(plan, figures))
        words = (*story(bed.run, figures), *behind(plan.at_change, figures))
        tables += [_held(plan.at_change, figures)] if plan.at_change else []
    notes = sentences((*run.notes, *told, *_of_silica(plan)), figures)
    return Topic(
        "Resin",
        _resin_facts(plan, run, vessel.vessel, figures),
        sentences(plan.resin_findings, figures),
        tables=tuple(tables),
        notes=(*words, *notes, *([LEFT_OUT] if words else [])),
        cautions=cautions,
        answer=_answer(plan, run, figures),
    )


def _answer(plan: SeasonPlan, run: ResinRun, figures: Figures) -> str:
    if run.litres_to_change is None:
        return "Nothing in this water loads the resin: no litres wear it out."
    litres = figures.about(run.litres_to_change, VOLUME)
    return f"Change the vessel after {litres}: {_mark(plan, run, figures)}."


def _of_silica(plan: SeasonPlan) -> tuple[Note, ...]:
    """That silica was not measured, which the whole end of a run stands on."""
    notes = plan.feed.completed.notes
    return tuple(note for note in notes if note.key == "silica-assumed")


def _resin_facts(
    plan: SeasonPlan, run: ResinRun, vessel: str, figures: Figures
) -> tuple[Fact, ...]:
    changes = plan.supply.change_days()
    return (
        Fact(
            "To the end of its run",
            figures.about(run.litres_to_exhaustion, VOLUME),
            vessel,
            next((working_out(each, plan.club, figures) for each in run.workings), None),
        ),
        Fact("Limiting side", run.limiting, figures.text(run.load_meq_l, EQUIVALENTS) + " to take"),
        Fact("Capacity", figures.text(run.capacity_eq, CHARGE)),
        Fact(
            "Changes this season",
            figures.plain(len(changes)),
            f"first on {figures.date(changes[0])}" if changes else "",
        ),
    )


def _mark(plan: SeasonPlan, run: ResinRun, figures: Figures) -> str:
    """The marks of the club that can tell when to change; those that never come are left out."""
    blind = {
        (note.values["watched"], note.values["value"])
        for note in run.notes
        if note.key in ("mark-below-fresh-resin", "mark-not-reached")
    }
    marks = [mark for mark in plan.club.changeout.at if (mark.watched, mark.value) not in blind]
    if not marks:
        return "at the end of its run"
    first = ", whichever comes first" if len(marks) > 1 else ""
    return f"at {endpoints(marks, figures)}{first}"


def _by_way(plan: SeasonPlan, run: ResinRun, figures: Figures) -> Table:
    """The same litres by rating, by learning and by the model, and which of them is used."""
    unit = figures.unit(VOLUME)
    columns = (
        Column("What one fresh vessel treats, by"),
        Column("To the end of its run", unit, "right"),
        Column("Low to high", unit, "right"),
        Column("Used for"),
    )
    bed, learned, rated = plan.bed, plan.learned_litres, plan.by_rating
    model = bed.by_model.litres_l if isinstance(bed, VesselRun) else None
    used = "season and purchases"
    rows = [(_way(plan.vessel), _litres(rated, figures), "", "" if learned else used)]
    if learned:
        low, high = (figures.number(litres, VOLUME) for litres in (learned.low_l, learned.high_l))
        span = f"{low} to {high}"
        rows.append(("learning from the log", figures.number(learned.median_l, VOLUME), span, used))
    rows.append(("a model of the bed", figures.number(model, VOLUME), "", "the shape of the run"))
    caption = ""
    if isinstance(bed, VesselRun):
        ratio = figures.text(100.0 * bed.trusted_over_model, PERCENT, 0)
        same = "to the same end" if bed.scaled_at_end else "until one side is full"
        caption = f"What is planned with is {ratio} of what the model gives {same}."
    shown = columns if learned else (*columns[:2], columns[3])
    cut = rows if learned else [(row[0], row[1], row[3]) for row in rows]
    return Table("Ways to the same figure", shown, tuple(cut), caption)


def _way(vessel: Vessel | None) -> str:
    """How the litres that nobody learned are known."""
    if vessel is None or vessel.rated_eq_l is not None:
        return "rating"
    return "totals" if vessel.cation_total_eq_l is not None else "a common rating, assumed"


def _litres(run: ResinRun | None, figures: Figures) -> str:
    return figures.number(run.litres_to_exhaustion if run else None, VOLUME)


def _held(found: AtChange, figures: Figures) -> Table:
    """What both resins of the lead hold when it is changed."""
    columns = (Column("Resin"), Column("Holds"), Column("Share", figures.unit(PERCENT), "right"))
    rows = tuple(
        (
            name if place == 0 else "",
            _form(key, place),
            figures.number(100.0 * share, PERCENT, 0),
        )
        for name, held in (("cation", found.cation_held), ("anion", found.anion_held))
        for place, (key, share) in enumerate(held.items())
        if place == 0 or share > NEVER_MIND
    )
    return Table("The lead when it is changed", columns, rows, folded=True)


def _form(key: str, place: int) -> str:
    return "still fresh" if place == 0 else named(key)
