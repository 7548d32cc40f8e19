"""Carbon filters: litres until the chlorine comes through."""

from dataclasses import dataclass
from typing import Annotated, Literal

from waterkit.quantities import MASS_CONCENTRATION, VOLUME
from waterkit.treatment.told import given_of
from waterkit.working import COMMON_PRACTICE, Given, Note, Working

RATED_AT_MG_L = 1.0


@dataclass(frozen=True, slots=True)
class Carbon:
    """A carbon filter: ``litres`` it treats at 1 mg/L of free chlorine, and the feed's chlorine."""

    kind: Literal["carbon"]
    litres_l: Annotated[float, VOLUME] = 40_000.0
    chlorine_mg_l: Annotated[float, MASS_CONCENTRATION] = 0.0


@dataclass(frozen=True, slots=True)
class CarbonLife:
    """Litres of water that a fresh carbon filter treats; None where there is no chlorine."""

    litres: float | None
    workings: tuple[Working, ...] = ()
    notes: tuple[Note, ...] = ()


def carbon_litres(carbon: Carbon, place: str = "", sampled_mg_l: float | None = None) -> CarbonLife:
    """Litres that a fresh carbon filter treats before chlorine comes through.

    litres = litres rated at 1 mg/L of free chlorine x 1 mg/L / chlorine of the feed

    Parameters
    ----------
    carbon : Carbon
        The filter: its rated litres [L] and the chlorine of the feed [mg/L].
    place : str
        Where it stands in the club's file, such as ``train.2``.
    sampled_mg_l : float or None
        Chlorine found in the sample, which counts instead of the filter's own [mg/L].

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
    chlorine = carbon.chlorine_mg_l if sampled_mg_l is None else sampled_mg_l
    if chlorine <= 0:
        return CarbonLife(None, notes=(Note("carbon-by-calendar"),))
    litres = carbon.litres_l * RATED_AT_MG_L / chlorine
    found = Given("free chlorine of the feed", chlorine, "mg/L", "measured")
    if sampled_mg_l is None:
        found = given_of(found.name, carbon, "chlorine_mg_l", "mg/L", place)
    working = Working(
        "litres of the carbon filter",
        "litres rated at 1 mg/L of free chlorine x 1 mg/L / free chlorine of the feed",
        (given_of("rated litres", carbon, "litres_l", "L", place), found),
        litres,
        "L",
        COMMON_PRACTICE,
    )
    values = {"litres": litres, "mg_l": chlorine}
    sampled = () if sampled_mg_l is None else (Note("chlorine-of-the-sample", {"mg_l": chlorine}),)
    return CarbonLife(litres, (working,), (*sampled, Note("carbon-lasts", values)))
