"""The water in words: the supply checked, what each process leaves, the resin."""

from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import Figures, sign
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import Column, Fact, Table, Topic
from waterkit.pages.view.water_details import details
from waterkit.pages.view.workings import working_out
from waterkit.plan import SeasonPlan
from waterkit.plan.supply_water import of_sample
from waterkit.quantities import (
    CONDUCTIVITY,
    EQUIVALENTS,
    MASS_CONCENTRATION,
    PERCENT,
    PH,
    Quantity,
)  # fmt: skip
from waterkit.treatment.train import ProcessResult
from waterkit.water.analysis import SampleReport
from waterkit.water.composition import dissolved_mg_l
from waterkit.water.ions import SPECIES
from waterkit.water.workings import balance_working, load_working

IN_FORCE = "planned with"
TRACE_MG_L = 0.1
PROCESS_NAMES = {
    "filter": "sediment filter", "carbon": "carbon filter", "softener": "softener",
    "reverse osmosis": "reverse osmosis", "bought in": "water bought in", "di": "fresh resin",
    "tank": "tank",
}  # fmt: skip
_MEASURES: tuple[tuple[str, Quantity, str], ...] = (
    ("Cations", EQUIVALENTS, "cation_sum_meq_l"),
    ("Anions", EQUIVALENTS, "anion_sum_meq_l"),
    ("Charge balance error", PERCENT, "charge_balance_error_percent"),
    ("Dissolved solids, calculated", MASS_CONCENTRATION, "tds_calculated_mg_l"),
    ("Conductivity at 25 °C, measured", CONDUCTIVITY, "conductivity_measured_us_cm"),
    ("Conductivity at 25 °C, calculated", CONDUCTIVITY, "conductivity_calculated_us_cm"),
    ("… by Standard Methods 2510", CONDUCTIVITY, "conductivity_standard_methods_us_cm"),
    ("Hardness as CaCO₃", MASS_CONCENTRATION, "hardness_mg_l_caco3"),
    ("Alkalinity as CaCO₃", MASS_CONCENTRATION, "alkalinity_mg_l_caco3"),
    ("Free carbon dioxide", MASS_CONCENTRATION, "carbon_dioxide_mg_l"),
)


def water(plan: SeasonPlan, figures: Figures) -> Topic:
    """The supply's samples checked, the processes, the load on the resin."""
    report = in_force(plan)
    told = of_sample(report.assumptions, report.measured) if _blended(plan) else report.assumptions
    notes = (*plan.feed.notes, *plan.feed.completed.notes, *told)
    process_notes = tuple(note for process in plan.processes for note in process.notes)
    checked = checks(report, figures)
    return Topic(
        "Water",
        _water_facts(plan, report, figures),
        tables=(
            samples(plan, figures),
            *([checked] if checked.rows else []),
            processes(plan, figures),
            *details(plan, report, figures),
        ),
        workings=tuple(
            working_out(working, plan.club, figures)
            for process in plan.processes
            for working in process.workings
        ),
        notes=sentences((*notes, *process_notes), figures),
        cautions=(*cautions_at("treatment"), RULE),
        answer=_water_answer(report, figures),
    )


def _blended(plan: SeasonPlan) -> bool:
    return any(note.key == "blended" for note in plan.feed.notes)


def _water_answer(report: SampleReport, figures: Figures) -> str:
    failed = [_times(check.name) for check in report.checks if not check.passed]
    planned = f"The season is planned with sample {report.sample} of {figures.day(report.date)};"
    doubtful = any(note.key == "hard-to-believe" for note in report.assumptions)
    if failed:
        return f"{planned} outside its range is {figures.listed(failed)}."
    if doubtful:
        return f"{planned} something in it is hard to believe: see the notes."
    if not report.checks:
        return f"{planned} nothing can check it."
    if not _is_balance_checked(report):
        return f"{planned} its charge balance could not be checked: a main ion is missing."
    return f"{planned} every check of it passes."


def _is_balance_checked(report: SampleReport) -> bool:
    return any(check.name == "charge balance" for check in report.checks)


def _water_facts(plan: SeasonPlan, report: SampleReport, figures: Figures) -> tuple[Fact, ...]:
    load, completed = plan.load, plan.feed.completed
    loaded = load_working(plan.reaching, load, completed.notes)
    balance = balance_working(report)
    return (
        Fact("Hardness as CaCO₃", figures.text(report.hardness_mg_l_caco3, MASS_CONCENTRATION)),
        Fact(
            "Load on the resin",
            figures.text(float(load.anion_meq_l), EQUIVALENTS),
            "anions with CO₂ and silica; cations "
            + figures.text(float(load.cation_meq_l), EQUIVALENTS),
            working_out(loaded, plan.club, figures),
        ),
        Fact(
            "Charge balance error",
            figures.text(report.charge_balance_error_percent, PERCENT),
            "of the sample as measured" if _is_balance_checked(report) else "a main ion is missing",
            working_out(balance, plan.club, figures) if balance else None,
        ),
    )


def in_force(plan: SeasonPlan) -> SampleReport:
    """The report on the sample that the season is planned with."""
    name = plan.feed.in_force.sample
    return next(report for report in plan.feed.reports if report.sample == name)


def samples(plan: SeasonPlan, figures: Figures) -> Table:
    """The water sheet: each sample a column, as measured."""
    reports = plan.feed.reports
    columns = (
        Column("As measured"),
        Column("Unit"),
        *(Column(_sample_head(report, plan, figures), align="right") for report in reports),
    )
    rows = tuple(
        (
            name,
            figures.unit(quantity),
            *(figures.number(getattr(report, field), quantity) for report in reports),
        )
        for name, quantity, field in _MEASURES
    )
    caption = (
        "Calculated conductivity counts ion pairs and is of the completed water. The sums and the"
        " balance count what the laboratory measured, nothing completed."
    )
    return Table("Samples of the supply", columns, rows, caption)


def _sample_head(report: SampleReport, plan: SeasonPlan, figures: Figures) -> str:
    mark = f" ({IN_FORCE})" if report.sample == plan.feed.in_force.sample else ""
    return f"{report.sample}, {figures.day(report.date)}{mark}"


def _times(name: str) -> str:
    return name.replace(" x ", " × ")


def checks(report: SampleReport, figures: Figures) -> Table:
    """The checks on the sample in force; those that fail stand out."""
    columns = (
        Column("Check"),
        Column("Unit"),
        Column("Value", align="right"),
        Column("Low", align="right"),
        Column("High", align="right"),
        Column("Its range"),
    )
    rows = tuple(
        (
            _times(check.name),
            sign(check.unit),
            *(figures.plain(value) for value in (check.value, check.low, check.high)),
            "within" if check.passed else "outside",
        )
        for check in report.checks
    )
    marks = frozenset(row for row, check in enumerate(report.checks) if not check.passed)
    return Table(f"Checks on {report.sample}", columns, rows, "", marks)


def processes(plan: SeasonPlan, figures: Figures) -> Table:
    """What leaves each process: each process a column, each ion a row."""
    results = plan.processes
    unit = figures.unit(MASS_CONCENTRATION)
    columns = (
        Column("What leaves"),
        Column("Unit"),
        *(Column(PROCESS_NAMES[result.process], align="right") for result in results),
    )
    rows: list[tuple[str, ...]] = [
        _process_row("Conductivity at 25 °C", CONDUCTIVITY, plan, figures),
        _process_row("pH", PH, plan, figures),
    ]
    masses = [_by_name(result) for result in results]
    for name in dict.fromkeys(name for mass in masses for name in mass):
        if max(mass.get(name, 0.0) for mass in masses) < TRACE_MG_L:
            continue
        cells = (figures.number(mass.get(name), MASS_CONCENTRATION) for mass in masses)
        rows.append((name, unit, *cells))
    caption = (
        "The sample planned with, completed, as each process leaves it. What stays"
        f" below {figures.text(TRACE_MG_L, MASS_CONCENTRATION)} everywhere is left out."
    )
    return Table("What leaves each process", columns, tuple(rows), caption)


def _by_name(result: ProcessResult) -> dict[str, float]:
    """What is dissolved in the water that leaves a process, by its English name [mg/L]."""
    dissolved = dissolved_mg_l(result.water_out)
    return {SPECIES[key].name: float(amount) for key, amount in dissolved.items()}


def _process_row(
    name: str, quantity: Quantity, plan: SeasonPlan, figures: Figures
) -> tuple[str, ...]:
    cells = (figures.fine(_of(result, quantity), quantity) for result in plan.processes)
    return (name, figures.unit(quantity), *cells)


def _of(result: ProcessResult, quantity: Quantity) -> float:
    if quantity is PH:
        return float(result.water_out.ph)
    return float(result.conductivity_us_cm)
