"""Carbon filters: litres until the chlorine comes through."""

from dataclasses import dataclass

from waterkit.treatment.train import Carbon
from waterkit.working import COMMON_PRACTICE, Given, Note, Working

RATED_AT_MG_L = 1.0


@dataclass(frozen=True, slots=True)
class CarbonLife:
    """Litres of water that a fresh carbon filter treats; None where there is no chlorine."""

    litres: float | None
    workings: tuple[Working, ...] = ()
    notes: tuple[Note, ...] = ()


def carbon_litres(carbon: Carbon) -> CarbonLife:
    """Litres that a fresh carbon filter treats before chlorine comes through.

    litres = litres rated at 1 mg/L of free chlorine x 1 mg/L / chlorine of the feed

    Parameters
    ----------
    carbon : Carbon
        The filter: its rated litres [L] and the chlorine of the feed [mg/L].

    Returns
    -------
    CarbonLife
        Litres; None, with a note, for a feed without chlorine: such a filter is changed by the
        calendar [L].

    Notes
    -----
    The other things that load carbon (organics, hydrogen sulfide) are not counted.

    Examples
    --------
    >>> carbon_litres(Carbon("carbon", 40_000.0, 0.5)).litres
    80000.0

    References
    ----------
    Common practice, no source.
    """
    if carbon.chlorine_mg_l <= 0:
        return CarbonLife(None, notes=(Note("carbon-by-calendar"),))
    litres = carbon.litres_l * RATED_AT_MG_L / carbon.chlorine_mg_l
    working = Working(
        "litres of the carbon filter",
        "litres rated at 1 mg/L of free chlorine x 1 mg/L / free chlorine of the feed",
        (
            Given("rated litres", carbon.litres_l, "L", "quoted"),
            Given("free chlorine of the feed", carbon.chlorine_mg_l, "mg/L", "measured"),
        ),
        litres,
        "L",
        COMMON_PRACTICE,
    )
    return CarbonLife(litres, (working,))
