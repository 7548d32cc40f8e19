"""How the figures of the water were worked out: charge balance and load."""

from waterkit.water.analysis import SampleReport
from waterkit.water.checks import STANDARD_METHODS_1030
from waterkit.water.composition import CARBON, Load, Water, salts
from waterkit.water.ions import charge_sum_meq_l
from waterkit.working import COMMON_PRACTICE, Given, Note, Working


def balance_working(report: SampleReport) -> Working | None:
    """How the charge balance error of a sample was worked out; None where a sum is not told."""
    error = report.charge_balance_error_percent
    cations, anions = report.cation_sum_meq_l, report.anion_sum_meq_l
    if error is None or cations is None or anions is None:
        return None
    return Working(
        "charge balance error",
        "100 x (cations - anions) / (cations + anions), as measured",
        (
            Given("cations", cations, "meq/L", "measured"),
            Given("anions", anions, "meq/L", "measured"),
        ),
        error,
        "%",
        STANDARD_METHODS_1030,
    )


def load_working(water: Water, load: Load, notes: tuple[Note, ...] = ()) -> Working:
    """How the load of a water on the anion side of a resin was worked out."""
    strong = float(charge_sum_meq_l(salts(water), -1))
    carbon = float(water.mmol_l.get(CARBON, 0.0))
    silica = float(water.mmol_l.get("SiO2", 0.0))
    return Working(
        "load on the resin",
        "strong anions + inorganic carbon + silica, one equivalent for each mole of the last two",
        (
            Given("strong anions", strong, "meq/L", "worked out"),
            Given("inorganic carbon", carbon, "mmol/L", "worked out"),
            Given("silica", silica, "mmol/L", "worked out"),
        ),
        float(load.anion_meq_l),
        "meq/L",
        COMMON_PRACTICE,
        notes,
    )
