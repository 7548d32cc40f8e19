"""How strongly resins hold each ion: published tables, turned into constants of half reactions.

Gaines and Thomas: activities of held ions are fractions of the resin's equivalents. With the resin
written as X- and Y+, M(z+) + z X- = MXz and A(z-) + z Y+ = AYz, and hydrogen and hydroxide ion as
zero: HX = 0, YOH = 0. So anybody can run the same bed in another engine.

A table gives, for an ion A of two charges against B of one, a ratio R of resin and water in
equivalents, where resin and water each have their own strength Q and C [eq/L]:

    R = (E_A / X_A) (X_B / E_B)^2 C / Q

E and X are fractions of the equivalents in resin and water. With X_A = 2 a_A / C and X_B = a_B / C
the strength of the water falls out, and with K = E_A a_B^2 / (E_B^2 a_A), after Gaines and Thomas,

    K = 2 Q R

Q is the total capacity of that resin by itself, a common one also where a club tells its own. For
an ion of one charge K is R. Where the table is on another scale than the one used here, its ratios
are divided once by that of hydrogen ion, as tables and data sheets do for ions of one and of two
charges alike; strictly, an ion of two charges would be divided by the square, which makes log K
smaller by 0.10. No litres move with that: capacity and load decide them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import log10

from waterkit.working import Note, Source

CATION_TABLE = Source(
    "bonner-smith-1957",
    "O. D. Bonner, L. L. Smith, A selectivity scale for some divalent cations, Journal "
    "of Physical Chemistry 61 (1957) 326-329, sulfonated polystyrene with 8 % divinylbenzene",
    "memory",
)
ANION_TABLE = Source(
    "strong-base-type-1",
    "relative selectivity of strong base resin of type 1, hydroxide ion as one; sulfate, nitrate "
    "and chloride seen in a public table, hydrogen carbonate and fluoride from memory",
    "memory",
)

CATION_RATIO = {"H": 1.27, "Na": 1.98, "NH4": 2.55, "K": 2.90, "Mg": 3.29, "Ca": 5.16}
"""Against lithium."""
ANION_RATIO = {"F": 1.6, "HCO3": 6.0, "Cl": 22.0, "NO3": 65.0, "SO4": 150.0}
"""Against hydroxide ion."""
CATION_TOTAL_EQ_L, ANION_TOTAL_EQ_L = 1.9, 1.3
"""Total capacity of each resin by itself; usual for gel resins, from memory."""

SILICA_LOG_K, SILICA_SPREAD = 0.0, 1.0
"""No constant of H3SiO4- was found: as hydroxide ion, assumed, give or take one decimal."""
_TWO = ("Mg", "Ca", "SO4")


def half_reaction_log_k(
    ratio: float, charge: int, total_eq_l: float, reference_ratio: float = 1.0
) -> float:
    """Constant of a half reaction from the ratio of a table.

    log K = log10(R / R0) for one charge, log10(2 Q R / R0) for two

    Parameters
    ----------
    ratio : float
        Ratio of the ion as the table has it, more than 0 [1].
    charge : int
        Charge of the ion, 1 or 2 [1].
    total_eq_l : float
        Total capacity of the resin by itself [eq/L].
    reference_ratio : float
        Ratio of hydrogen or hydroxide ion in the same table [1].

    Returns
    -------
    log_k : float
        Decimal logarithm of the constant; for two charges of mol/L [1].

    Examples
    --------
    >>> print(half_reaction_log_k(1.98, 1, 1.9, 1.27))
    0.193
    >>> print(half_reaction_log_k(5.16, 2, 1.9, 1.27))
    1.189

    References
    ----------
    G. L. Gaines, H. C. Thomas, Journal of Chemical Physics 21 (1953) 714-718; the ratio in
    equivalents: R. E. Anderson in P. A. Schweitzer (editor), Handbook of Separation Techniques for
    Chemical Engineers, McGraw-Hill, from memory.
    """
    sites = 1.0 if charge == 1 else 2.0 * total_eq_l
    return log10(sites * ratio / reference_ratio)


def _constants() -> dict[str, float]:
    found = {}
    for table, total, zero in (
        (CATION_RATIO, CATION_TOTAL_EQ_L, CATION_RATIO["H"]),
        (ANION_RATIO, ANION_TOTAL_EQ_L, 1.0),
    ):
        for ion, ratio in table.items():
            if ion != "H":
                key = "C" if ion == "HCO3" else ion
                charge = 2 if ion in _TWO else 1
                found[key] = round(half_reaction_log_k(ratio, charge, total, zero), 3)
    return found | {"SiO2": SILICA_LOG_K}


LOG_K: dict[str, float] = _constants()
"""Constants of the half reactions; ``C`` stands for HCO3 and ``SiO2`` for H3SiO4 on the resin."""

NOTES = (
    Note("silica-selectivity-assumed", {"log_k": SILICA_LOG_K, "spread": SILICA_SPREAD}),
    Note("selectivity-as-at-25"),
)


@dataclass(frozen=True, slots=True)
class Selectivity:
    """What a pair of resins prefers.

    Parameters
    ----------
    log_k : mapping of str to float
        Constants of the half reactions, Gaines and Thomas; ``C`` for HCO3, ``SiO2`` for H3SiO4.
        What is missing is not held.
    takes_hydrogen : bool
        Whether the cation resin holds hydrogen ion (HX = 0); a clay reckoned without does not.
    """

    log_k: Mapping[str, float]
    takes_hydrogen: bool = True
    notes: tuple[Note, ...] = ()


COMMON_RESINS = Selectivity(LOG_K, notes=NOTES)
"""Sulfonated polystyrene with 8 % divinylbenzene, and strong base resin of type 1."""
