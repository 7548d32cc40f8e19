"""The composition of a water as processes transform it, in charge and carbon."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.conductance import conductivity_us_cm
from waterkit.water.equilibria import log_henry
from waterkit.water.ions import SPECIES, charge_sum_meq_l
from waterkit.water.pairs import FORMED
from waterkit.water.speciation import Speciation, speciate

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

CARBON = "C"
"""Key of the total inorganic carbon of a :class:`Water`."""
_25_C = 25.0
_CARBONATE = {
    form: [f.key for f in FORMED if f.ligand == "CO3" and f.hydrogen == hydrogen]
    for form, hydrogen in (("HCO3", 1), ("CO3", 0))
}
_HYDROXIDE = ("OH", *(f.key for f in FORMED if f.cation in ("Ca", "Mg") and f.hydrogen == -1))


@dataclass(frozen=True, slots=True)
class Water:
    """A completed composition.

    Parameters
    ----------
    mmol_l : mapping of str to float or array
        Ions, total inorganic carbon as ``C`` and silica as ``SiO2``; pairs counted in [mmol/L].
    alkalinity_meq_l : float or array
        Alkalinity; below none for a water with mineral acid [meq/L].
    ph : float or array
        pH at the temperature of the water [1].
    temperature_c : float or array
        Temperature of the water [degC].
    """

    mmol_l: "Mapping[str, Numeric]"
    alkalinity_meq_l: "Numeric"
    ph: "Numeric"
    temperature_c: "Numeric"


@dataclass(frozen=True, slots=True)
class Load:
    """What a resin has to take from one litre of water [meq/L]."""

    cation_meq_l: "Numeric"
    anion_meq_l: "Numeric"


def salts(water: Water) -> "dict[str, Numeric]":
    """The ions of a water without its carbonate [mmol/L]."""
    charged = {key for key in water.mmol_l if key in SPECIES and SPECIES[key].charge}
    return {key: amount for key, amount in water.mmol_l.items() if key in charged}


def _kept(water: Water) -> "dict[str, Numeric]":
    """What a water keeps whatever its pH: its salts and silica."""
    return salts(water) | {key: water.mmol_l[key] for key in ("SiO2",) if key in water.mmol_l}


def speciation_of(water: Water) -> Speciation:
    """What a water consists of at its own temperature and pH.

    Parameters
    ----------
    water : Water
        A completed water [mmol/L].

    Returns
    -------
    Speciation
        Free ions, pairs, carbonate.

    References
    ----------
    See :func:`waterkit.water.speciation.speciate`.
    """
    return speciate(_kept(water), water.alkalinity_meq_l, water.temperature_c, ph=water.ph)


def at_temperature(water: Water, temperature_c: "Numeric") -> Water:
    """The same water kept closed and warmed or cooled: its carbon stays, its pH moves.

    Parameters
    ----------
    water : Water
        A completed water [mmol/L].
    temperature_c : float or array
        Temperature to bring it to, 0 to 60 [degC].

    Returns
    -------
    Water
        The water at that temperature.

    References
    ----------
    See :func:`waterkit.water.speciation.speciate`.
    """
    return _carbon_kept(replace(water, temperature_c=temperature_c))


def _carbon_kept(water: Water) -> Water:
    """A water whose pH follows from its alkalinity and carbon."""
    found = _closed(water, water.temperature_c)
    return replace(water, ph=found.ph, temperature_c=found.temperature_c)


def _closed(water: Water, temperature_c: "Numeric") -> Speciation:
    """What the same water, kept closed, consists of at another temperature."""
    return speciate(
        _kept(water),
        water.alkalinity_meq_l,
        temperature_c,
        total_carbon_mmol_l=water.mmol_l.get(CARBON, 0.0),
        guess_ph=water.ph,
    )


def at_air(water: Water, co2_ppm: "Numeric") -> Water:
    """The same water open to air until it takes up or gives off no more carbon dioxide.

    Its salts and alkalinity stay, its carbon and pH move; CO2 = KH p.

    Parameters
    ----------
    water : Water
        A completed water, at its own temperature [mmol/L].
    co2_ppm : float or array
        Carbon dioxide in the air, 420 outdoors, 1000 in a hall in use [ppm].

    Returns
    -------
    Water
        The water in balance with that air.

    Notes
    -----
    At a total pressure of one atmosphere. Calcite that may fall out of a hard water is left in.

    References
    ----------
    L. N. Plummer, E. Busenberg, Geochimica et Cosmochimica Acta 46 (1982) 1011-1040, and
    :func:`waterkit.water.speciation.speciate`.
    """
    co2 = 1000.0 * 10.0 ** log_henry(water.temperature_c) * co2_ppm * 1e-6
    found = speciate(
        _kept(water), water.alkalinity_meq_l, water.temperature_c, carbon_dioxide_mmol_l=co2
    )
    carbon = {CARBON: found.total_carbon_mmol_l}
    return replace(water, mmol_l={**water.mmol_l, **carbon}, ph=found.ph)


def blend(waters: Sequence[Water], shares: Sequence[float]) -> Water:
    """Several waters mixed in a closed pipe.

    Salts, silica, carbon, alkalinity and heat by their shares; pH follows.

    Parameters
    ----------
    waters : sequence of Water
        The waters [mmol/L].
    shares : sequence of float
        Share of each, in any measure; they are divided by their sum [1].

    Returns
    -------
    Water
        The blend.

    Raises
    ------
    ValueError
        If there is no share to divide by.

    References
    ----------
    Balance of mass and charge.
    """
    total = float(sum(shares))
    if total <= 0:
        raise ValueError("shares: at least one must be more than 0")
    parts = [share / total for share in shares]

    def mixed(values: "Sequence[Numeric]") -> "Numeric":
        return sum(part * value for part, value in zip(parts, values, strict=True))

    keys = dict.fromkeys(key for water in waters for key in water.mmol_l)
    blended = Water(
        {key: mixed([water.mmol_l.get(key, 0.0) for water in waters]) for key in keys},
        mixed([water.alkalinity_meq_l for water in waters]),
        mixed([water.ph for water in waters]),
        mixed([water.temperature_c for water in waters]),
    )
    return _carbon_kept(blended)


def with_ions(water: Water, mmol_l: "Mapping[str, Numeric]", alkalinity_meq_l: "Numeric") -> Water:
    """A water with other amounts, as a process leaves it: its pH follows.

    Parameters
    ----------
    water : Water
        The water before the process.
    mmol_l : mapping of str to float or array
        All amounts after it, carbon as ``C`` among them [mmol/L].
    alkalinity_meq_l : float or array
        Alkalinity after it [meq/L].

    Returns
    -------
    Water
        The water after it, at the same temperature.

    References
    ----------
    See :func:`waterkit.water.speciation.speciate`.
    """
    return _carbon_kept(replace(water, mmol_l=mmol_l, alkalinity_meq_l=alkalinity_meq_l))


def ions(water: Water) -> "dict[str, Numeric]":
    """Every ion of a water, carbonate, hydrogen and hydroxide ion among them [mmol/L].

    Pairs are taken apart: the calcium of CaHCO3+ counts as calcium and hydrogen carbonate.
    Silicate is left with silica.
    """
    found = speciation_of(water)

    def total(keys: Sequence[str]) -> "Numeric":
        return sum(found.mmol_l.get(key, 0.0) for key in keys)

    return {
        **salts(water),
        "HCO3": total(_CARBONATE["HCO3"]),
        "CO3": total(("CO3", *_CARBONATE["CO3"])),
        "H": found.mmol_l["H"],
        "OH": total(_HYDROXIDE),
    }


def dissolved_mg_l(water: Water) -> "dict[str, Numeric]":
    """What is dissolved in a water by formula, all but hydrogen and hydroxide ion [mg/L]."""
    dissolved = {
        **ions(water),
        "SiO2": water.mmol_l.get("SiO2", 0.0),
        "CO2": carbon_dioxide(water),
    }
    return {
        key: amount * SPECIES[key].molar_mass_g_mol
        for key, amount in dissolved.items()
        if key not in ("H", "OH")
    }


def carbon_dioxide(water: Water) -> "Numeric":
    """Dissolved carbon dioxide of a water at its own temperature [mmol/L]."""
    return speciation_of(water).co2_mmol_l


def conductivity(water: Water) -> "Numeric":
    """Conductivity of a water at its own temperature [uS/cm]."""
    return conductivity_us_cm(speciation_of(water))


def conductivity_25(water: Water) -> "Numeric":
    """Conductivity of a water kept closed and brought to 25 degC [uS/cm]."""
    return conductivity_us_cm(_closed(water, _25_C))


def load(water: Water) -> Load:
    """What a fresh mixed bed has to take from one litre of water.

    cations: sum of z c; anions: strong anions + total inorganic carbon + silica, one equivalent for
    each mole of the last two

    Parameters
    ----------
    water : Water
        A completed water.

    Returns
    -------
    Load
        Load of the cation and of the anion resin [meq/L].

    Examples
    --------
    >>> water = Water({"Ca": 2.0, "Cl": 1.0, "C": 3.5, "SiO2": 0.25}, 3.0, 7.0, 10.0)
    >>> load(water)
    Load(cation_meq_l=4.0, anion_meq_l=4.75)

    References
    ----------
    Carbon dioxide and silica as load of the anion resin, one equivalent for each mole: common
    practice, no source.
    """
    strong = salts(water)
    weak = water.mmol_l.get(CARBON, 0.0) + water.mmol_l.get("SiO2", 0.0)
    return Load(charge_sum_meq_l(strong, +1), charge_sum_meq_l(strong, -1) + weak)


def larger(taken: Load) -> "Numeric":
    """The larger of both loads, which counts where a rating does not say which [meq/L]."""
    return np.maximum(taken.cation_meq_l, taken.anion_meq_l)
