"""Chemical formulas: molar mass and atoms. The only module that asks chempy."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from waterkit.errors import FieldError

LONGEST = 40


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula: its molar mass [g/mol] and how many atoms of each element it has."""

    molar_mass_g_mol: float
    atoms: Mapping[str, int]


@lru_cache(maxsize=256)
def read_formula(text: str) -> Formula:
    """Molar mass and atoms of a chemical formula such as ``P2O5`` or ``Na2CO3``.

    Raises
    ------
    FieldError
        If the text is no formula.
    """
    from chempy import Substance  # loads scipy and more: only here, only when a formula is asked
    from chempy.util.periodic import symbols

    try:
        if not text.isascii() or not text.isalnum() or len(text) > LONGEST:
            raise ValueError(text)
        substance: Any = Substance.from_formula(text)
        composition = {symbols[number - 1]: int(n) for number, n in substance.composition.items()}
        mass = float(substance.mass)
    except Exception as error:  # the parser under chempy raises exceptions of several families
        hint = "write a formula such as CaCO3, N or SiO2"
        raise FieldError(f"{text!r} is not a chemical formula", hint, "as") from error
    return Formula(mass, composition)


def molar_mass(formula: str) -> float:
    """Molar mass of a chemical formula.

    Parameters
    ----------
    formula : str
        Formula without a charge, such as ``P2O5``.

    Returns
    -------
    molar_mass_g_mol : float
        Mass of one mole [g/mol].

    Raises
    ------
    FieldError
        If the text is no formula.

    Examples
    --------
    >>> molar_mass("CaCO3")
    100.086

    References
    ----------
    chempy, its table of standard atomic weights (IUPAC).
    """
    return read_formula(formula).molar_mass_g_mol
