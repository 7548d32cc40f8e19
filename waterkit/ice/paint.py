"""White paint: what it is, how it is mixed, how much of it an area takes."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal

from waterkit.errors import FieldError
from waterkit.quantities import (
    AREAL_VOLUME,
    DENSITY,
    FLOW,
    LENGTH,
    MASS_G,
    PACE,
    PAINT_RATIO,
    PERCENT,
    REFLECTANCE,
    SMALL_VOLUME,
    VOLUME,
)  # fmt: skip

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

LEAST_ROOM_L = 0.001
"""A tank holds at least a millilitre above its heel."""


@dataclass(frozen=True, slots=True)
class Ratio:
    """Powder per litre [kg/L], and whether a litre of water or a litre of mix is meant."""

    value_kg_l: Annotated[float, PAINT_RATIO]
    per: Literal["water", "mix"]


@dataclass(frozen=True, slots=True)
class White:
    """The white layer: powder, ratio, coats and the tank it is mixed in.

    Parameters
    ----------
    powder : str
        What the powder is.
    powder_density_kg_l : float
        Density of the dry solid [kg/L].
    ratio : Ratio
        Powder per litre of water or of mix [kg/L].
    coats : int
        Number of coats.
    per_coat_l_m2 : float
        Mix that reaches the ice in one coat [L/m2].
    loss_percent : float
        Mix lost beside the ice, on top of what reaches it [%].
    tank_l, heel_l : float
        Mixing tank, and what cannot be pumped out of it [L].
    jug_l : float or None
        Jug for checking a batch [L].
    jug_fill_percent : float
        How well the same jug is filled twice to the same mark, to either side [%].
    scale_g : float or None
        What the scale resolves [g].
    slab_reflectance_percent : float or None
        Reflectance of the bare slab [%].
    patch_black_percent, patch_white_percent : float or None
        Reflectances of the test patch over the black and over the white panel [%].
    patch_one_coat_percent, patch_three_coats_percent : float or None
        The other kind of patch: one coat and three, both over the black panel [%].
    patch_grams_g : float or None
        Powder on one square metre of the test patch, or of its one coat [g].
    panel_black_percent, panel_white_percent : float
        Reflectances of the bare panels [%].
    reflectance_error_percent : float
        How far a reflectance may be off to either side, in hundredths of full white [%].
    """

    powder: str = "titanium dioxide"
    powder_density_kg_l: Annotated[float, DENSITY] = 4.17
    ratio: Ratio = Ratio(0.1, "water")
    coats: int = 4
    per_coat_l_m2: Annotated[float, AREAL_VOLUME] = 0.22
    loss_percent: Annotated[float, PERCENT] = 7.0
    tank_l: Annotated[float, VOLUME] = 300.0
    heel_l: Annotated[float, VOLUME] = 10.0
    jug_l: Annotated[float, SMALL_VOLUME] | None = None
    jug_fill_percent: Annotated[float, PERCENT] = 0.2
    scale_g: Annotated[float, MASS_G] | None = None
    slab_reflectance_percent: Annotated[float, REFLECTANCE] | None = None
    patch_black_percent: Annotated[float, REFLECTANCE] | None = None
    patch_white_percent: Annotated[float, REFLECTANCE] | None = None
    patch_one_coat_percent: Annotated[float, REFLECTANCE] | None = None
    patch_three_coats_percent: Annotated[float, REFLECTANCE] | None = None
    patch_grams_g: Annotated[float, MASS_G] | None = None
    panel_black_percent: Annotated[float, REFLECTANCE] = 1.0
    panel_white_percent: Annotated[float, REFLECTANCE] = 80.0
    reflectance_error_percent: Annotated[float, REFLECTANCE] = 1.0


@dataclass(frozen=True, slots=True)
class Boom:
    """The spray boom: width [m], nozzles, flow of one nozzle [L/h], walking pace [m/s]."""

    width_m: Annotated[float, LENGTH] = 4.0
    nozzles: int = 14
    nozzle_flow_l_h: Annotated[float, FLOW] = 60.0
    pace_m_s: Annotated[float, PACE] = 0.9


@dataclass(frozen=True, slots=True)
class MixNeed:
    """Mix for the white layer [L]: on the ice, lost beside it, and the last heel."""

    on_ice_l: float
    lost_l: float
    left_over_l: float

    @property
    def sprayed_l(self) -> float:
        """What leaves the boom [L]."""
        return self.on_ice_l + self.lost_l

    @property
    def made_l(self) -> float:
        """What has to be made [L]."""
        return self.sprayed_l + self.left_over_l


def water_per_mix(ratio: Ratio, powder_density_kg_l: "Numeric") -> "Numeric":
    """Litres of water in one litre of mix.

    1 / (1 + r / rho) for powder per litre of water, 1 - r / rho for powder per litre of mix

    Parameters
    ----------
    ratio : Ratio
        Powder per litre of water or of mix.
    powder_density_kg_l : float or array
        Density of the dry solid [kg/L].

    Returns
    -------
    float or array
        Litres of water per litre of mix [1].

    Notes
    -----
    Volumes add: powder takes the room of its solid, air between the grains leaves.

    Examples
    --------
    >>> round(water_per_mix(Ratio(0.1, "water"), 4.17), 4)
    0.9766

    References
    ----------
    Volume balance.
    """
    solid = ratio.value_kg_l / powder_density_kg_l
    return 1.0 / (1.0 + solid) if ratio.per == "water" else 1.0 - solid


def powder_per_mix(ratio: Ratio, powder_density_kg_l: "Numeric") -> "Numeric":
    """Powder in one litre of mix.

    r / (1 + r / rho) for powder per litre of water, r for powder per litre of mix

    Parameters
    ----------
    ratio : Ratio
        Powder per litre of water or of mix.
    powder_density_kg_l : float or array
        Density of the dry solid [kg/L].

    Returns
    -------
    float or array
        Powder per litre of mix [kg/L].

    Notes
    -----
    Volumes add, as in :func:`water_per_mix`.

    Examples
    --------
    >>> round(powder_per_mix(Ratio(0.1, "water"), 4.17), 4)
    0.0977

    References
    ----------
    Volume balance.
    """
    if ratio.per == "mix":
        return ratio.value_kg_l
    return ratio.value_kg_l * water_per_mix(ratio, powder_density_kg_l)


def swapped_percent(ratio: Ratio, powder_density_kg_l: "Numeric") -> "Numeric":
    """How far off a mix comes out if the two ways of mixing are taken for each other.

    100 r / rho if powder per litre of water is filled up to the mark, -100 r / (rho + r) if powder
    per litre of mix goes into measured water

    Parameters
    ----------
    ratio : Ratio
        Powder per litre of water or of mix.
    powder_density_kg_l : float or array
        Density of the dry solid [kg/L].

    Returns
    -------
    float or array
        Powder too much, or, below 0, too little, of what was meant [%].

    Notes
    -----
    Volumes add, as in :func:`water_per_mix`.

    Examples
    --------
    >>> round(swapped_percent(Ratio(0.1, "water"), 2.7), 1)
    3.7

    References
    ----------
    Volume balance.
    """
    solid = ratio.value_kg_l / powder_density_kg_l
    return 100.0 * (solid if ratio.per == "water" else -solid / (1.0 + solid))


def ratio_of(powder_kg_l: float, per: Literal["water", "mix"], powder_density_kg_l: float) -> Ratio:
    """The ratio of a mix that holds so much powder in a litre of it.

    r = p, or p / (1 - p / rho) for powder per litre of water

    Parameters
    ----------
    powder_kg_l : float
        Powder per litre of mix, below its density [kg/L].
    per : str
        Whether the ratio is to count a litre of water or of mix.
    powder_density_kg_l : float
        Density of the dry solid [kg/L].

    Returns
    -------
    Ratio
        Powder per litre of water or of mix [kg/L].

    Examples
    --------
    >>> round(ratio_of(0.1, "water", 2.5).value_kg_l, 4)
    0.1042

    References
    ----------
    Volume balance.
    """
    water = 1.0 if per == "mix" else 1.0 - powder_kg_l / powder_density_kg_l
    return Ratio(powder_kg_l / water, per)


def mix_density_kg_l(
    ratio: Ratio, powder_density_kg_l: "Numeric", water_density_kg_l: "Numeric"
) -> "Numeric":
    """Density of the mix.

    rho_mix = powder per mix + water per mix x rho_water

    Parameters
    ----------
    ratio : Ratio
        Powder per litre of water or of mix.
    powder_density_kg_l : float or array
        Density of the dry solid [kg/L].
    water_density_kg_l : float or array
        Density of the water [kg/L].

    Returns
    -------
    float or array
        Density [kg/L].

    Notes
    -----
    Volumes add, as in :func:`water_per_mix`; air that was stirred in makes the mix lighter.

    Examples
    --------
    >>> round(mix_density_kg_l(Ratio(0.1, "water"), 4.17, 0.9997), 3)
    1.074

    References
    ----------
    Mass balance: 1 / rho_mix = w / rho_powder + (1 - w) / rho_water, w the powder's mass share.
    """
    water = water_per_mix(ratio, powder_density_kg_l) * water_density_kg_l
    return powder_per_mix(ratio, powder_density_kg_l) + water


def mix_need(white: White, area_m2: float) -> MixNeed:
    """Mix for an area, all coats.

    V = A x coats x litres per coat on the ice; loss on top; the last heel left over

    Parameters
    ----------
    white : White
        Coats, loss and tank.
    area_m2 : float
        Area to paint [m2].

    Returns
    -------
    MixNeed
        On the ice, lost, left over, and in all.

    References
    ----------
    Volume balance.
    """
    on_ice = area_m2 * white.coats * white.per_coat_l_m2
    return MixNeed(on_ice, on_ice * white.loss_percent / 100.0, white.heel_l)


def check_white(white: White) -> None:
    """Refuse a white layer that cannot be mixed or put on.

    Raises
    ------
    FieldError
        No coats, nothing in a coat, no powder, more powder than its own litre holds, a tank without
        room above its heel, a jug or scale of nothing, a jug larger than the tank.
    """
    ratio, density = white.ratio, white.powder_density_kg_l
    if white.coats < 1:
        raise FieldError(f"{white.coats} coats", "white takes one coat or more", "coats")
    if white.per_coat_l_m2 <= 0:
        raise FieldError("a coat without mix", "0.15 to 0.3 L/m2 is common", "per_coat")
    if white.loss_percent < 0:
        raise FieldError("a loss below zero", "write what is sprayed beside the ice", "loss")
    if ratio.value_kg_l <= 0:
        raise FieldError("a mix without powder", "0.09 to 0.18 kg/L water is common", "ratio")
    if density <= 0:
        raise FieldError("powder without a density", "see its data sheet", "powder_density")
    if ratio.per == "mix" and ratio.value_kg_l >= density:
        raise FieldError(
            f"{ratio.value_kg_l:g} kg/L mix leaves no room for water at a powder density of "
            f"{density:g} kg/L",
            "check ratio and powder_density",
            "ratio",
        )
    if white.heel_l < 0 or white.tank_l - white.heel_l < LEAST_ROOM_L:
        raise FieldError(
            f"a heel of {white.heel_l:g} L does not fit a tank of {white.tank_l:g} L",
            "the heel is what the pump cannot draw; the tank has to be larger",
            "tank",
        )
    _check_jug(white)


def _check_jug(white: White) -> None:
    for value, field in ((white.jug_l, "jug"), (white.scale_g, "scale")):
        if value is not None and value <= 0:
            hint = "leave it out where there is none"
            raise FieldError(f"a {field} of {value:g}", hint, field)
    if white.jug_l is not None and white.jug_l > white.tank_l:
        raise FieldError("a jug larger than the mixing tank", "check jug and tank", "jug")
