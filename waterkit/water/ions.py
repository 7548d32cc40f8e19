"""The substances that a water test names: names, charges, masses, and what they are counted as.

pint changes units; this module changes the basis (as CaCO3, as N, as SiO2, as the ion itself),
because that is chemistry.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING

from waterkit.errors import FieldError

if TYPE_CHECKING:
    from waterkit.quantities import Numeric


@dataclass(frozen=True, slots=True)
class Species:
    """One dissolved substance.

    ``element`` is the atom that a basis counts (the N of nitrate): every species here has one.
    """

    key: str
    name: str
    names: tuple[str, ...]
    charge: int
    molar_mass_g_mol: float
    element: str


# Standard atomic weights, abridged (IUPAC); a mole of charge weighs too little to matter.
# fmt: off
_TABLE = (
    Species("Ca", "calcium", (), 2, 40.078, "Ca"),
    Species("Mg", "magnesium", (), 2, 24.305, "Mg"),
    Species("Na", "sodium", (), 1, 22.990, "Na"),
    Species("K", "potassium", (), 1, 39.098, "K"),
    Species("NH4", "ammonium", ("ammonia",), 1, 18.039, "N"),
    Species("Fe", "iron", ("dissolved iron", "total iron"), 2, 55.845, "Fe"),
    Species("Mn", "manganese", (), 2, 54.938, "Mn"),
    Species("Sr", "strontium", (), 2, 87.62, "Sr"),
    Species("Ba", "barium", (), 2, 137.327, "Ba"),
    Species("Al", "aluminium", ("aluminum",), 3, 26.982, "Al"),
    Species("Cl", "chloride", (), -1, 35.45, "Cl"),
    Species("SO4", "sulfate", ("sulphate",), -2, 96.056, "S"),
    Species("NO3", "nitrate", (), -1, 62.004, "N"),
    Species("NO2", "nitrite", (), -1, 46.005, "N"),
    Species("F", "fluoride", (), -1, 18.998, "F"),
    Species("Br", "bromide", (), -1, 79.904, "Br"),
    Species("PO4", "phosphate", ("orthophosphate", "ortho-phosphate"), -3, 94.970, "P"),
    Species("HCO3", "bicarbonate", ("hydrogen carbonate", "hydrogencarbonate"), -1, 61.016, "C"),
    Species("CO3", "carbonate", (), -2, 60.008, "C"),
    Species("OH", "hydroxide", (), -1, 17.007, "O"),
    Species("H", "hydrogen ion", ("hydronium",), 1, 1.008, "H"),
    Species("SiO2", "silica", ("silicon", "silicon dioxide", "Si"), 0, 60.083, "Si"),
    Species("CO2", "carbon dioxide", ("free carbon dioxide", "free CO2"), 0, 44.009, "C"),
    Species("B", "boron", (), 0, 10.81, "B"),
)
# fmt: on

SPECIES: dict[str, Species] = {species.key: species for species in _TABLE}

OTHER_ANALYTES: dict[str, tuple[str, ...]] = {
    "pH": ("acidity as pH",),
    "alkalinity": ("total alkalinity", "m-alkalinity", "acid capacity", "carbonate hardness"),
    "hardness": ("total hardness", "general hardness"),
    "conductivity": ("electrical conductivity", "specific conductance", "EC"),
    "TDS": ("total dissolved solids", "dissolved solids", "filterable residue"),
    "temperature": ("water temperature",),
    "turbidity": (),
    "TOC": ("total organic carbon",),
    "chlorine": ("free chlorine", "Cl2", "residual chlorine"),
}

CACO3_G_MOL = 40.078 + 12.011 + 3 * 15.999
CACO3_EQUIVALENT_G = CACO3_G_MOL / 2
CAO_G_MOL = 40.078 + 15.999

BY_EQUIVALENTS: dict[str, float] = {"CaCO3": CACO3_G_MOL, "CaO": CAO_G_MOL}
"""What counts charge, not atoms: one mole [g] stands for two equivalents."""

PHOSPHATE_BESIDE_ALKALINITY = -1
"""Charge of phosphate that alkalinity does not count: titrated to pH 4.5 it is H2PO4-."""

# Common bases by atoms, so that an ordinary folder is read without loading chempy.
_ELEMENT_G_MOL = {"N": 14.007, "P": 30.974, "S": 32.06, "Si": 28.085, "C": 12.011}
_BASES = {key.casefold(): key for key in (*SPECIES, *_ELEMENT_G_MOL, *BY_EQUIVALENTS)}


def _names() -> dict[str, str]:
    found = {}
    for species in _TABLE:
        for name in (species.key, species.name, *species.names):
            found[name.casefold()] = species.key
    for key, names in OTHER_ANALYTES.items():
        for name in (key, *names):
            found[name.casefold()] = key
    return found


_KEYS = _names()


def find_analyte(text: str) -> str:
    """The key of an analyte written as an English name or a formula, in any case.

    Marks of charge are left out, so that ``Ca2+``, ``SO4--`` and ``HCO3-`` are understood.

    Raises
    ------
    FieldError
        If nothing is called so; the hint names what comes nearest.
    """
    plain = " ".join(text.split()).casefold()
    unsigned = plain.rstrip("+-").rstrip()
    for name in (plain, unsigned, unsigned.rstrip("123").rstrip()):
        if name in _KEYS:
            return _KEYS[name]
    near = get_close_matches(plain, _KEYS, n=3, cutoff=0.6)
    hint = f"did you mean {' or '.join(near)}?" if near else "write for example calcium or Ca"
    raise FieldError(f"unknown analyte {text!r}", hint, "analyte")


def mg_per_mmol(species: str, as_: str = "") -> float:
    """How many milligrams, counted as ``as_``, stand for one millimole of a species.

    By equivalents for ``CaCO3`` and ``CaO``; by atoms for anything else.

    Parameters
    ----------
    species : str
        Key of :data:`SPECIES`.
    as_ : str
        What the mass is counted as; empty for the species itself.

    Returns
    -------
    mass_g_mol : float
        Counted mass of one mole of the species [g/mol].

    Raises
    ------
    FieldError
        If the species cannot be counted so (nitrate as Cl), or ``as_`` is no formula.

    Notes
    -----
    As CaCO3 the uncharged silica and carbon dioxide count one equivalent for each mole, because
    that is how an anion resin takes them up.

    Examples
    --------
    >>> mg_per_mmol("NO3", "N")
    14.007
    >>> mg_per_mmol("Mg", "CaCO3")
    100.086

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 1030 (factors by equivalents),
    from memory; silica and carbon dioxide as CaCO3: common practice, no source.
    """
    mass, moles = counted_as(species, as_)
    return mass / moles


def counted_as(species: str, as_: str) -> tuple[float, float]:
    """Molar mass of a basis, and the moles of a species that one mole of it stands for.

    Parameters
    ----------
    species : str
        Key of :data:`SPECIES`.
    as_ : str
        What a mass is counted as; empty for the species itself.

    Returns
    -------
    molar_mass_g_mol : float
        Mass of one mole of the basis [g/mol].
    moles : float
        Moles of the species in it [1].

    Raises
    ------
    FieldError
        If the species cannot be counted so, or ``as_`` is no formula.

    References
    ----------
    See :func:`mg_per_mmol`.
    """
    substance = SPECIES[species]
    if as_ in ("", species):
        return substance.molar_mass_g_mol, 1.0
    if as_ in BY_EQUIVALENTS and species != "B":
        return BY_EQUIVALENTS[as_], 2.0 / (abs(substance.charge) or 1)
    mass, atoms = _mass_and_atoms(as_, substance.element)
    if not atoms:
        hint = f"leave 'as' empty, or write a formula with {substance.element} in it"
        raise FieldError(f"{substance.name} cannot be counted as {as_}", hint, "as")
    return mass, float(atoms)


def find_basis(text: str) -> str:
    """What a value is counted as, in the usual spelling: ``caco3`` is ``CaCO3``."""
    plain = " ".join(text.split())
    return _BASES.get(plain.casefold().removeprefix("as "), plain)


def _mass_and_atoms(formula: str, element: str) -> tuple[float, int]:
    if formula in _ELEMENT_G_MOL:
        return _ELEMENT_G_MOL[formula], int(formula == element)
    if formula in SPECIES and SPECIES[formula].element == element:
        return SPECIES[formula].molar_mass_g_mol, 1
    from waterkit.water.formulas import read_formula

    found = read_formula(formula)
    return found.molar_mass_g_mol, found.atoms.get(element, 0)


def to_mmol_l(value_mg_l: "Numeric", species: str, as_: str = "") -> "Numeric":
    """Amount concentration from a mass concentration counted as the ion, as CaCO3, as N ...

    c = mass concentration / counted mass of one mole

    Parameters
    ----------
    value_mg_l : float or array
        Mass concentration [mg/L].
    species : str
        Key of :data:`SPECIES`.
    as_ : str
        What the mass is counted as; empty for the species itself.

    Returns
    -------
    amount_mmol_l : float or array
        Amount concentration [mmol/L].

    Raises
    ------
    FieldError
        If the species cannot be counted so, or ``as_`` is no formula.

    Examples
    --------
    >>> to_mmol_l(10.0, "NO3", "N")
    0.714

    References
    ----------
    See :func:`mg_per_mmol`.
    """
    return value_mg_l / mg_per_mmol(species, as_)


def equivalents_from_caco3(mass_mg_l: "Numeric") -> "Numeric":
    """Equivalents that a mass of CaCO3 stands for: mg/L give meq/L, g/L give eq/L.

    N = mass / 50.043 g

    Parameters
    ----------
    mass_mg_l : float or array
        Mass counted as CaCO3 [mg/L].

    Returns
    -------
    charge_meq_l : float or array
        Equivalent concentration [meq/L].

    Examples
    --------
    >>> equivalents_from_caco3(50.043)
    1.0

    References
    ----------
    Half the molar mass of CaCO3, 100.086 g/mol, from the standard atomic weights (IUPAC).
    """
    return mass_mg_l / CACO3_EQUIVALENT_G


def charge_sum_meq_l(mmol_l: Mapping[str, "Numeric"], sign: int) -> "Numeric":
    """Sum of the charges of one sign: +1 for cations, -1 for anions.

    sum of |z| c over the species of that sign

    Parameters
    ----------
    mmol_l : mapping of species to float or array
        Amount concentrations [mmol/L].
    sign : int
        +1 or -1 [1].

    Returns
    -------
    charge_meq_l : float or array
        Equivalent concentration [meq/L].

    Notes
    -----
    Phosphate counts one equivalent for each mole: the titration of alkalinity leaves it as H2PO4-
    and counts the rest of its charge.

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 1030 E, from memory.
    """
    total: Numeric = 0.0
    for key, amount in mmol_l.items():
        charge = PHOSPHATE_BESIDE_ALKALINITY if key == "PO4" else SPECIES[key].charge
        total = total + max(charge * sign, 0) * amount
    return total
