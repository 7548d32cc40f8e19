"""Checks of published examples about water: each works out what a case expects from its inputs."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.test_published import Answers, Case

from waterkit import units
from waterkit.treatment.softening import exchanged_meq_l
from waterkit.water import checks, ions
from waterkit.water.carbonate import open_to_air
from waterkit.water.conductance import conductivity_us_cm
from waterkit.water.conductivity import pure_water, standard_methods_conductivity
from waterkit.water.density import water_density_kg_l
from waterkit.water.equilibria import log_henry, log_k1, log_k2, p_kw, water_ion_product
from waterkit.water.meter import natural_water_factor
from waterkit.water.speciation import speciate


def check_convert(case: "Case") -> "Answers":
    """One quantity in another unit."""
    number, unit = units.split_number(case.text("from"))
    return {"to": (units.parse_number(number), units.check_spelling(unit))}


def check_hardness_equivalents(case: "Case") -> "Answers":
    """A mass of CaCO3 per volume as equivalents."""
    meq_l = float(ions.equivalents_from_caco3(case.quantity("as_caco3", "mg/L")))
    return {"equivalents": (meq_l, "meq/L")}


def check_bed_volumes(case: "Case") -> "Answers":
    """A flow through a volume of resin, in bed volumes per hour."""
    return {"per_hour": case.quantity("flow", "L/h") / case.quantity("resin", "L")}


def check_standard_methods_2510(case: "Case") -> "Answers":
    """The steps of the calculation; its last step also from the activity factor as printed."""
    result = standard_methods_conductivity(case.table("ions", "mmol/L"))
    k0 = float(result.k0_us_cm)
    return {
        "k0": (k0, "uS/cm"),
        "ionic_strength": (float(result.ionic_strength_mol_l), "mol/L"),
        "activity_factor": float(result.activity_factor),
        "conductivity_by_printed_factor": (k0 * case.number("printed_factor") ** 2, "uS/cm"),
    }


def check_charge_balance(case: "Case") -> "Answers":
    """The rule that holds for an anion sum, and whether two sums pass it."""
    cations, anions = case.quantity("cations", "meq/L"), case.quantity("anions", "meq/L")
    check = checks.balance_checks(cations, anions)[0]
    return {
        "difference": (check.value, check.unit),
        "limit": (check.high, check.unit),
        "result": "passed" if check.passed else "failed",
    }


def check_analysis(case: "Case") -> "Answers":
    """Charge balance, and conductivity at 20 degC by both methods, of a whole analysis in mg/L."""
    masses = case.table("ions", "mg/L")
    amounts = {key: float(ions.to_mmol_l(mass, key)) for key, mass in masses.items()}
    cations = float(ions.charge_sum_meq_l(amounts, +1))
    anions = float(ions.charge_sum_meq_l(amounts, -1))
    at_25 = float(standard_methods_conductivity(amounts).conductivity_us_cm)
    return {
        "charge_balance": (checks.charge_balance_error_percent(cations, anions) or 0.0, "%"),
        "at_20_degc": (at_25 / float(natural_water_factor(20.0)), "uS/cm"),
        "house_at_20_degc": (_house(amounts, case.number("ph"), 20.0), "uS/cm"),
    }


def _house(amounts: dict[str, float], ph: float, celsius: float) -> float:
    """Conductivity by the house model; alkalinity is the hydrogen carbonate."""
    found = speciate(amounts, amounts.get("HCO3", 0.0), celsius, ph=ph)
    return float(conductivity_us_cm(found))


def check_salt_conductivity(case: "Case") -> "Answers":
    """Conductivity at 25 degC of one salt in water without carbon dioxide."""
    amounts = case.table("ions", "mmol/L")
    found = speciate(amounts, 0.0, 25.0, total_carbon_mmol_l=0.0)
    return {"conductivity": (float(conductivity_us_cm(found)), "uS/cm")}


def check_natural_conductivity(case: "Case") -> "Answers":
    """Conductivity at 25 degC of a natural water by the house model."""
    amounts = case.table("ions", "mmol/L")
    return {"conductivity": (_house(amounts, case.number("ph"), 25.0), "uS/cm")}


def check_softener_balance(case: "Case") -> "Answers":
    """Calcium that softening resin holds, and the litres of water that a litre of it softens."""
    calcium = case.quantity("calcium", "meq/L")
    held = exchanged_meq_l(
        case.quantity("capacity", "meq/L"), calcium, case.quantity("sodium", "meq/L"),
        case.number("sodium_over_calcium"),
    )  # fmt: skip
    litres = case.quantity("rounded", "meq/L") / calcium
    return {"held": (float(held), "meq/L"), "litres_by_rounded": litres}


def check_warming(case: "Case") -> "Answers":
    """How much more a water conducts at 25 degC than at its own temperature, kept closed."""
    celsius, amounts = case.quantity("temperature", "degC"), case.table("ions", "mmol/L")
    found = speciate(amounts, amounts["HCO3"], celsius, ph=case.number("ph"))
    warm = speciate(amounts, amounts["HCO3"], 25.0, total_carbon_mmol_l=found.total_carbon_mmol_l)
    return {"factor": float(conductivity_us_cm(warm)) / float(conductivity_us_cm(found))}


def check_pure_water_in_air(case: "Case") -> "Answers":
    """Pure water in air against the most that a rule allows at that temperature."""
    celsius = case.quantity("temperature", "degC")
    air = float(open_to_air(celsius, case.quantity("co2", "ppm")).conductivity_us_cm)
    most = case.quantity("most", "uS/cm")
    return {"result": "passed" if air <= most else "failed"}


def check_carbonate_constants(case: "Case") -> "Answers":
    """Constants of carbonic acid and water at one temperature."""
    celsius = case.quantity("temperature", "degC")
    return {
        "pkh": -float(log_henry(celsius)),
        "pk1": -float(log_k1(celsius)),
        "pk2": -float(log_k2(celsius)),
    }


def check_water_ionization(case: "Case") -> "Answers":
    """pKw at a temperature and a density."""
    celsius, density = case.quantity("temperature", "degC"), case.quantity("density", "kg/L")
    return {"pkw": float(p_kw(celsius, density))}


def check_ion_product(case: "Case") -> "Answers":
    """pKw at a temperature and atmospheric pressure."""
    from math import log10

    return {"pkw": -log10(float(water_ion_product(case.quantity("temperature", "degC"))))}


def check_natural_water_factor(case: "Case") -> "Answers":
    """Factor of natural water at one temperature."""
    return {"factor": float(natural_water_factor(case.quantity("temperature", "degC")))}


def check_water_density(case: "Case") -> "Answers":
    """Density of water at one temperature."""
    celsius = case.quantity("temperature", "degC")
    return {"density": (float(water_density_kg_l(celsius)), "kg/L")}


def check_pure_water(case: "Case") -> "Answers":
    """Conductivity of pure water at one temperature."""
    celsius = case.quantity("temperature", "degC")
    return {"conductivity": (float(pure_water(celsius)), "uS/cm")}


def check_air(case: "Case") -> "Answers":
    """Pure water in equilibrium with air."""
    air = open_to_air(case.quantity("temperature", "degC"), case.quantity("co2", "ppm"))
    return {"ph": float(air.ph), "conductivity": (float(air.conductivity_us_cm), "uS/cm")}
