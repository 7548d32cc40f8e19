"""What was measured of one water, or of many at once, as completion needs it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from waterkit.water.sample import Sample
from waterkit.water.sums import alkalinity_meq_l

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

TDS_PER_US_CM = 0.65
"""Dissolved solids [mg/L] for each uS/cm: the middle of 0.55 to 0.75 (common practice, no source;
Standard Methods 1030 E has 0.55 to 0.7, from memory)."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured of one water, or of many at once; None where it was not."""

    mmol_l: "Mapping[str, Numeric]"
    alkalinity_meq_l: "Numeric | None" = None
    hardness_mg_l: "Numeric | None" = None
    ph: "Numeric | None" = None
    temperature_c: "Numeric" = 10.0
    conductivity_us_cm: "Numeric | None" = None
    tds_mg_l: "Numeric | None" = None

    def has(self, *analytes: str) -> bool:
        """Whether all of these were measured, ions by their key, else by their name."""
        others = {
            "alkalinity": self.alkalinity_meq_l, "hardness": self.hardness_mg_l, "pH": self.ph,
            "conductivity": self.conductivity_us_cm, "TDS": self.tds_mg_l,
        }  # fmt: skip
        return all(key in self.mmol_l or others.get(key) is not None for key in analytes)

    @property
    def hardness_known(self) -> bool:
        """Whether hardness, calcium or magnesium was measured."""
        return any(self.has(key) for key in ("hardness", "Ca", "Mg"))


def measured_of(sample: Sample, temperature_c: float) -> Measured:
    """What completion needs of a sample.

    Parameters
    ----------
    sample : Sample
        A sample as measured.
    temperature_c : float
        Temperature of the supply, if the sample does not tell its own [degC].

    Returns
    -------
    Measured
        Its amounts [mmol/L].

    References
    ----------
    None needed: nothing is worked out.
    """
    return Measured(
        sample.mmol_l,
        alkalinity_meq_l(sample),
        sample.hardness_mg_l_caco3,
        sample.ph,
        temperature_c if sample.temperature_c is None else sample.temperature_c,
        sample.conductivity_us_cm,
        sample.tds_mg_l,
    )


_OF_SALTS = ("hardness", "Ca", "Na", "alkalinity", "conductivity", "TDS")


def tells_enough(sample: Sample) -> bool:
    """Whether a sample tells anything of the salts in the water, so that it can be planned with.

    A pH, a silica or a nitrate by itself does not: everything else would count as none.
    """
    measured = measured_of(sample, 0.0)
    return any(measured.has(key) for key in _OF_SALTS)
