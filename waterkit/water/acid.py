"""Water without alkalinity: what a titrated 'none' means where the pH lies below its end point.

A titration of alkalinity ends near pH 4.5. Below it a sheet's 'none' says nothing about mineral
acid, and a small alkalinity lies within the error of the titration; taken at its word, every
hydrogen ion would ask for a hydrogen carbonate beside it, and that for hundreds of mg/L of carbon
dioxide.
"""

from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.ions import SPECIES
from waterkit.water.measured import Measured
from waterkit.water.speciation import Speciation, speciate
from waterkit.working import Note

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

# Common practice, no source.
ACID_BELOW_PH = 5.0
LITTLE_MEQ_L = 0.1
"""Alkalinity that a titration cannot tell from none, 5 mg/L as CaCO3."""
ASSUMED_CO2_MG_L = 10.0
_PROBE_MEQ_L = 0.1


def is_acid(measured: Measured) -> "NDArray[np.bool_]":
    """Where pH lies below the end of the titration and the alkalinity is none, or not measured.

    Parameters
    ----------
    measured : Measured
        What was measured.

    Returns
    -------
    acid : array of bool
        Whether its alkalinity follows from pH [1].

    References
    ----------
    Common practice, no source.
    """
    if measured.ph is None:
        return np.asarray(False)
    told = measured.alkalinity_meq_l
    little = np.asarray(True) if told is None else np.less(told, LITTLE_MEQ_L)
    return np.asarray(np.less(measured.ph, ACID_BELOW_PH) & little)


def acid_alkalinity(
    measured: Measured, found: "Mapping[str, Numeric]", notes: list[Note]
) -> "tuple[Numeric, Numeric]":
    """Alkalinity and carbon of an acid water: its hydrogen ions, and what carbon dioxide it holds.

    alkalinity = HCO3 - H, carbon = CO2 + HCO3, at the pH as measured

    Parameters
    ----------
    measured : Measured
        What was measured, pH among it.
    found : mapping of str to float or array
        Its ions [mmol/L].
    notes : list of Note
        Takes what is assumed.

    Returns
    -------
    alkalinity_meq_l, carbon_mmol_l : float or array
        Alkalinity, below none for mineral acid [meq/L], and total inorganic carbon [mmol/L].

    Notes
    -----
    Carbon dioxide as measured, else 10 mg/L: assumed.

    References
    ----------
    See :func:`waterkit.water.speciation.speciate`. Assumed carbon dioxide: common practice, no
    source.
    """
    told = measured.mmol_l.get("CO2")
    mass = SPECIES["CO2"].molar_mass_g_mol
    carbon_dioxide = ASSUMED_CO2_MG_L / mass if told is None else told
    probe = speciate(found, _PROBE_MEQ_L, measured.temperature_c, ph=measured.ph)
    bound = probe.total_carbon_mmol_l - probe.co2_mmol_l
    share = bound / probe.co2_mmol_l  # HCO3, its pairs counted, for each CO2
    alkalinity = _PROBE_MEQ_L - bound + share * carbon_dioxide
    values = {
        "ph": float(np.min(np.asarray(measured.ph))),
        "meq_l": float(np.mean(-alkalinity)),
        "co2_mg_l": float(np.mean(carbon_dioxide * mass)),
    }
    notes.append(Note("acid-water" if told is None else "acid-water-with-co2", values))
    return alkalinity, (1.0 + share) * carbon_dioxide


def speciate_acid(
    measured: Measured,
    found: "Mapping[str, Numeric]",
    alkalinity_meq_l: "Numeric",
    carbon_mmol_l: "Numeric",
) -> Speciation:
    """What waters consist of, some of which are acid: those by their carbon, the others by pH.

    Parameters
    ----------
    measured : Measured
        What was measured, pH among it.
    found : mapping of str to float or array
        All ions [mmol/L].
    alkalinity_meq_l : float or array
        Alkalinity [meq/L].
    carbon_mmol_l : float or array
        Total inorganic carbon of those that are acid [mmol/L].

    Returns
    -------
    Speciation
        Free ions, pairs, carbonate.

    References
    ----------
    See :func:`waterkit.water.speciation.speciate`.
    """
    celsius, ph, acid = measured.temperature_c, measured.ph, is_acid(measured)
    assert ph is not None
    carbon = carbon_mmol_l
    if not np.all(acid):
        others = speciate(found, alkalinity_meq_l, celsius, ph=ph)
        carbon = np.where(acid, carbon_mmol_l, others.total_carbon_mmol_l)
    return speciate(found, alkalinity_meq_l, celsius, total_carbon_mmol_l=carbon, guess_ph=ph)
