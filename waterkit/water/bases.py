"""A sample with one analyte counted on another basis: the usual mistakes of a copied sheet."""

from collections.abc import Iterator
from dataclasses import replace

from waterkit.water.ions import CACO3_EQUIVALENT_G, SPECIES, mg_per_mmol
from waterkit.water.sample import Sample
from waterkit.water.sums import alkalinity_meq_l

HYDROGEN_CARBONATE = SPECIES["HCO3"].molar_mass_g_mol / CACO3_EQUIVALENT_G
"""Mass as HCO3 for the same charge as CaCO3: 1.22."""
_BASES = (("Ca", "CaCO3"), ("Mg", "CaCO3"), ("NO3", "N"), ("SO4", "S"), ("NH4", "N"))


def counted_anew(sample: Sample) -> Iterator[tuple[str, str, Sample]]:
    """The sample with one analyte counted on another basis: its key, the cause, the sample."""
    key = "alkalinity" if sample.alkalinity_meq_l is not None else "HCO3"
    alkalinity = alkalinity_meq_l(sample) or 0.0
    for factor, cause in (
        (HYDROGEN_CARBONATE, "it may be counted as CaCO3, not as HCO3 (x 0.82)"),
        (1.0 / HYDROGEN_CARBONATE, "it may be counted as HCO3, not as CaCO3 (x 1.22)"),
    ):
        yield key, cause, replace(sample, alkalinity_meq_l=alkalinity * factor)
    for key, basis in _BASES:
        amount = sample.mmol_l.get(key)
        if not amount:
            continue
        factor = SPECIES[key].molar_mass_g_mol / mg_per_mmol(key, basis)
        for times, cause in (
            (factor, f"it may be counted as {basis}"),
            (1.0 / factor, f"it may be counted as the ion itself, not as {basis}"),
        ):
            yield key, cause, replace(sample, mmol_l={**sample.mmol_l, key: amount * times})
