"""The hand check: the demo's water followed from the test sheet to the price of a draw.

Each step names its formula and its inputs; the figure is the program's own, worked out when the
page is made. ``tests/hand-check.toml`` holds the same figures worked out by hand.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from docs.tables import MADE, table
from waterkit.club import read_club
from waterkit.ice.freezing import ICE_DENSITY_KG_L, ice_mm
from waterkit.ice.layers import StepWater
from waterkit.ice.pebble import drawn_litres, pebble_litres, sheets_in_use
from waterkit.plan import SeasonPlan, plan_season
from waterkit.purchasing.price import WATER_DRIVERS
from waterkit.water.analysis import charge_balance_error_percent
from waterkit.water.carbonate import CarbonateSpecies, carbonate_species
from waterkit.water.composition import speciation_of
from waterkit.water.conductivity import ionic_strength_mol_l
from waterkit.water.density import water_density_kg_l
from waterkit.water.equilibria import davies, log_k1, log_k2
from waterkit.water.ions import SPECIES

DEMO = Path(__file__).parent.parent / "data" / "demo-club"
AS_OF = dt.date(2027, 8, 15)
FLOOD = "base floods"
SHEET = {
    "Ca": "98 mg/L", "Mg": "24 mg/L", "Na": "17 mg/L", "K": "2.1 mg/L", "NH4": "half of 0.05 mg/L",
    "Fe": "half of 0.02 mg/L", "Mn": "0.006 mg/L", "Cl": "30 mg/L", "SO4": "46 mg/L",
    "NO3": "14 mg/L", "F": "0.14 mg/L",
}  # fmt: skip
"""What the test sheet says of each ion."""


@dataclass(frozen=True, slots=True)
class Step:
    """One figure on the way: its formula in words, its inputs as printed, and what it comes to."""

    key: str
    figure: str
    formula: str
    inputs: str
    value: float
    unit: str
    decimals: int


@dataclass(frozen=True, slots=True)
class Part:
    """Some steps that belong together."""

    heading: str
    steps: tuple[Step, ...]


def demo_plan() -> SeasonPlan:
    """The plan of the demo as of the day of its samples."""
    return plan_season(read_club(DEMO), AS_OF)


def parts(plan: SeasonPlan) -> tuple[Part, ...]:
    """The whole way, in order."""
    return (
        Part("From mg/L to charges", tuple(_charges(plan))),
        Part("Is the sheet believable?", tuple(_balance(plan))),
        Part("Carbon dioxide, from pH and alkalinity", tuple(_carbon(plan))),
        Part("The load on the resin", tuple(_load(plan))),
        Part("What a vessel gives", tuple(_vessel(plan))),
        Part("One base flood", tuple(_flood(plan))),
        Part("Pebble of one league draw", tuple(_draw(plan))),
        Part("What it costs", tuple(_price(plan))),
    )


def steps(plan: SeasonPlan) -> dict[str, Step]:
    """Every step by its key."""
    return {step.key: step for part in parts(plan) for step in part.steps}


def _charges(plan: SeasonPlan) -> Iterator[Step]:
    sample = plan.feed.in_force
    for key, told in SHEET.items():
        amount, charge = sample.mmol_l[key], abs(SPECIES[key].charge)
        name, mass = SPECIES[key].name, SPECIES[key].molar_mass_g_mol
        yield Step(
            f"{key}_mmol_l", f"{name}, amount", "mass / molar mass", f"{told}; {mass:g} g/mol",
            amount, "mmol/L", 5,
        )  # fmt: skip
        yield Step(
            f"{key}_meq_l", f"{name}, charge", "amount x charge", f"charge {charge}",
            amount * charge, "meq/L", 5,
        )  # fmt: skip
    yield Step(
        "alkalinity_meq_l", "alkalinity", "mass as CaCO3 / half the molar mass of CaCO3",
        "280 mg/L; 50.04 g/eq", sample.alkalinity_meq_l or 0.0, "meq/L", 3,
    )  # fmt: skip


def _balance(plan: SeasonPlan) -> Iterator[Step]:
    report = next(r for r in plan.feed.reports if r.measured is plan.feed.in_force)
    cations, anions = report.cation_sum_meq_l or 0.0, report.anion_sum_meq_l or 0.0
    yield Step(
        "cation_sum_meq_l", "sum of cations", "add up the charges",
        "calcium, magnesium, sodium, potassium, ammonium, iron, manganese", cations, "meq/L", 3,
    )  # fmt: skip
    yield Step(
        "anion_sum_meq_l", "sum of anions", "alkalinity + charges of the others",
        "chloride, sulfate, nitrate, fluoride", anions, "meq/L", 3,
    )  # fmt: skip
    yield Step(
        "balance_percent", "charge balance", "100 x (cations - anions) / (cations + anions)",
        "both sums", charge_balance_error_percent(cations, anions) or 0.0, "%", 2,
    )  # fmt: skip


def _carbonate(plan: SeasonPlan) -> tuple[float, CarbonateSpecies]:
    """Ionic strength of the ions as measured [mol/L], and the carbonate if none formed pairs."""
    water = plan.feed.completed.water
    alkalinity = water.alkalinity_meq_l
    ions = {key: water.mmol_l[key] for key in SHEET}
    strength = float(ionic_strength_mol_l({**ions, "HCO3": alkalinity}))
    found = carbonate_species(alkalinity, water.ph, water.temperature_c, strength)
    return strength, found


def _carbon(plan: SeasonPlan) -> Iterator[Step]:
    water = plan.feed.completed.water
    celsius = water.temperature_c
    strength, found = _carbonate(plan)
    paired = speciation_of(water)
    yield Step(
        "ionic_strength_mol_l", "ionic strength",
        "half the sum of amount x charge squared, alkalinity as hydrogen carbonate",
        "amounts in mol/L", strength, "mol/L", 5,
    )  # fmt: skip
    yield Step(
        "log_k1", "log K1 of carbonic acid", "Plummer and Busenberg (1982)", "9.8 degC = 282.95 K",
        float(log_k1(celsius)), "1", 3,
    )  # fmt: skip
    yield Step(
        "log_k2", "log K2 of carbonic acid", "Plummer and Busenberg (1982)", "282.95 K",
        float(log_k2(celsius)), "1", 3,
    )  # fmt: skip
    yield Step(
        "activity", "activity coefficient of a single charge",
        "log g = -A (sqrt I / (1 + sqrt I) - 0.3 I)", "A = 0.498 at 10 degC; the ionic strength",
        float(davies(1, celsius, strength)), "1", 3,
    )  # fmt: skip
    yield Step(
        "co2_alone_mmol_l", "carbon dioxide, if no ions formed pairs",
        "hydrogen carbonate x g x 10^-pH / K1; hydrogen carbonate is alkalinity - 2 x carbonate",
        "pH 7.4", float(found.co2), "mmol/L", 3,
    )  # fmt: skip
    yield Step(
        "hco3_mmol_l", "hydrogen carbonate that is free",
        "alkalinity - 2 x carbonate - what calcium and magnesium hold in pairs",
        "constants of the pairs: database of PHREEQC", float(paired.mmol_l["HCO3"]), "mmol/L", 2,
    )  # fmt: skip
    yield Step(
        "co2_mmol_l", "carbon dioxide", "as above, from the free hydrogen carbonate", "pH 7.4",
        float(paired.co2_mmol_l), "mmol/L", 3,
    )  # fmt: skip
    yield Step(
        "co2_mg_l", "carbon dioxide, mass", "amount x molar mass", "44.01 g/mol",
        float(paired.co2_mmol_l) * SPECIES["CO2"].molar_mass_g_mol, "mg/L", 1,
    )  # fmt: skip
    yield Step(
        "carbon_mmol_l", "total inorganic carbon",
        "carbon dioxide + hydrogen carbonate + carbonate, free and in pairs", "the lines above",
        float(water.mmol_l["C"]), "mmol/L", 2,
    )  # fmt: skip


def _load(plan: SeasonPlan) -> Iterator[Step]:
    load = plan.feed.load
    yield Step(
        "silica_mmol_l", "silica", "mass / molar mass", "14 mg/L as SiO2; 60.08 g/mol",
        float(plan.feed.completed.water.mmol_l["SiO2"]), "mmol/L", 3,
    )  # fmt: skip
    yield Step(
        "load_cation_meq_l", "load on the cation resin", "sum of the cations", "as above",
        float(load.cation_meq_l), "meq/L", 2,
    )  # fmt: skip
    yield Step(
        "load_anion_meq_l", "load on the anion resin",
        "chloride + sulfate + nitrate + fluoride + total carbon + silica",
        "one equivalent for each mole of carbon and of silica", float(load.anion_meq_l), "meq/L", 2,
    )  # fmt: skip


def _vessel(plan: SeasonPlan) -> Iterator[Step]:
    assert plan.resin is not None
    assert plan.vessel is not None
    yield Step(
        "rated_eq_l", "rating in equivalents",
        "kilograins of CaCO3 in a cubic foot, in grams per litre, / 50.04",
        "9 kgr/ft3; 64.79891 mg in a grain, 28.31685 L in a cubic foot",
        plan.vessel.rated_eq_l or 0.0, "eq/L", 4,
    )  # fmt: skip
    yield Step(
        "capacity_eq", "capacity of the vessel", "rating x resin", "102 L of mixed resin",
        plan.resin.capacity_eq, "eq", 2,
    )  # fmt: skip
    yield Step(
        "litres_to_exhaustion", "water to the rated end", "1000 x capacity / anion load",
        "the rating counts total anions with CO2 and silica",
        plan.resin.litres_to_exhaustion or 0.0, "L", -1,
    )  # fmt: skip
    yield Step(
        "litres_to_change", "water to the change", "nine tenths of it", "90 % of rated litres",
        plan.resin.litres_to_change or 0.0, "L", -1,
    )  # fmt: skip


def _flood_water(plan: SeasonPlan) -> StepWater:
    return next(step.water for step in plan.steps if step.row.step == FLOOD)


def _flood(plan: SeasonPlan) -> Iterator[Step]:
    water = _flood_water(plan)
    yield Step(
        "flood_l", "water on the floor in one pass", "depth x area", "2.2 mm; 684 m2",
        water.litres_per_pass_l, "L", 1,
    )  # fmt: skip
    yield Step(
        "flood_drawn_l", "water drawn for it", "and its loss on top", "2 %",
        water.drawn_l / water.passes, "L", 1,
    )  # fmt: skip
    densities = f"{float(water_density_kg_l(0.0)):.5f} and {ICE_DENSITY_KG_L:.5f} kg/L"
    yield Step(
        "flood_ice_mm", "ice it makes", "depth x density of water at 0 degC / density of ice",
        densities, float(ice_mm(water.depth_mm_water / water.passes)), "mm", 3,
    )  # fmt: skip


def _draw(plan: SeasonPlan) -> Iterator[Step]:
    rules = plan.club.pebble
    sheets = float(sheets_in_use(plan.club.rink.sheets, rules))
    on_ice = float(pebble_litres(1, sheets, "league", rules))
    yield Step("draw_sheets", "sheets in use", "sheets x share", "3 sheets; 85 %", sheets, "1", 2)
    yield Step(
        "draw_on_ice_l", "pebble on the ice", "sheets in use x litres of a sheet", "3 L",
        on_ice, "L", 2,
    )  # fmt: skip
    yield Step(
        "draw_l", "water drawn for it", "and what stays in cans and hoses on top", "15 %",
        float(drawn_litres(on_ice, rules)), "L", 2,
    )  # fmt: skip


def water_counts(plan: SeasonPlan) -> dict[str, float]:
    """How much of each item that makes up the price of water the season takes, in its unit."""
    return {
        line.need.item.item: line.need.needed
        for line in plan.orders
        if line.need.item.driver in WATER_DRIVERS and line.need.needed > 0
    }


def season_m3(plan: SeasonPlan) -> float:
    """Treated water of the season, as the day-by-day plan has it [m3]."""
    return float(plan.supply.litres_di[0]) / 1000


def mean_draw_l(plan: SeasonPlan) -> float:
    """Pebble water drawn for a mean draw, scraping included, as the calendar has it [L]."""
    on_ice = sum(day.pebble_l for day in plan.ice_days)
    return float(drawn_litres(on_ice, plan.club.pebble)) / sum(d.draws for d in plan.ice_days)


def _price(plan: SeasonPlan) -> Iterator[Step]:
    assert plan.resin is not None
    fill = next(
        line.choice.offer.price
        for line in plan.orders
        if line.need.item.driver == "vessel fill" and line.choice
    )
    litre = float(plan.price.litre or 0)
    counts = "; ".join(f"{count:.4g} {item}" for item, count in water_counts(plan).items())
    yield Step(
        "fill_per_m3", "resin for 1 m3", "price of a vessel fill / m3 to the change",
        f"{fill} EUR, the price from 4 fills on",
        float(fill) / (plan.resin.litres_to_change or 1.0) * 1000, "EUR", 1,
    )  # fmt: skip
    yield Step(
        "price_m3", "all that 1 m3 of treated water costs",
        "sum of amount x price of all that its price is made of / water of the season",
        f"given by the plan: {season_m3(plan):.2f} m3; {counts}", litre * 1000, "EUR", 2,
    )  # fmt: skip
    yield Step(
        "price_draw", "pebble water of a mean draw", "litres drawn x price of a litre",
        f"given by the calendar: {mean_draw_l(plan):.2f} L, scraping included",
        float(plan.price.draw or 0), "EUR", 2,
    )  # fmt: skip


def shown(step: Step) -> str:
    """The figure of a step with the digits that the page prints."""
    number = f"{round(step.value, step.decimals):.{max(step.decimals, 0)}f}"
    return number if step.unit == "1" else f"{number} {step.unit}"


def hand_check_page() -> str:
    """The page."""
    plan = demo_plan()
    head = ("figure", "formula", "inputs", "comes to")
    tables = [
        f"## {part.heading}\n\n"
        + table(head, [(s.figure, s.formula, s.inputs, shown(s)) for s in part.steps])
        for part in parts(plan)
    ]
    return "\n".join([_HEAD, *tables])


_HEAD = f"""# Hand check

{MADE}
The water of the invented demo club, followed from its test sheet to the price of a draw. Anybody
with a pocket calculator can follow it: each line has its formula, its inputs, and what the program
makes of them as of {AS_OF.isoformat()}. The last column is worked out by the program when this
page is made; `tests/hand-check.toml` holds the same figures worked out by hand, from the printed
inputs and handbook constants, and a test compares the two.
"""
