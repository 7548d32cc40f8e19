"""Freezing: how much thicker ice is than its water, its heat, and the plant's pace.

The plant's pace is taken from a freeze test where the club has made one: measured water is put on
until just nine tenths of it freezes in an hour; those litres per hour are what the plant can do.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from waterkit.errors import FieldError
from waterkit.water.density import water_density_kg_l
from waterkit.working import Basis, Note, Source

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

ICE_SOURCE = Source(
    "iapws-r10-06",
    "IAPWS R10-06(2009), Revised Release on the Equation of State 2006 for H2O Ice Ih, table 6; "
    "the value was seen in the test of an open library",
)
ICE_DENSITY_KG_L = 0.9167215
"""Ice at its melting point, 273.152519 K and 101.325 kPa: 916.7215 kg/m3 (IAPWS R10-06)."""

HEAT_SOURCE = Source(
    "heat-of-freezing",
    "Handbook values of the specific heats of water and ice and of the latent heat of fusion",
    "memory",
)
WATER_HEAT_KJ_KG_K = 4.19
LATENT_HEAT_KJ_KG = 333.6
"""As in the CRC Handbook (seen); the IAPWS formulations give 333.43."""
ICE_HEAT_KJ_KG_K = 2.1
"""From 2.1 at 0 degC to 2.06 at -5 degC (IAPWS R10-06, seen in an open library)."""

COLDEST_WATER_C, WARMEST_WATER_C = 0.0, 60.0

SPARE_KW_PER_SHEET = 10.0
"""Heat left for freezing on one sheet, cautious end of 8 to 25 kW: common practice, no source."""
STANDING_KW_PER_SHEET = 15.0
"""Heat that the hall itself brings in, of 9 to 22 kW for a sheet: common practice, no source."""

SECONDS_PER_HOUR = 3600.0


@dataclass(frozen=True, slots=True)
class PlantRate:
    """Water that the whole plant freezes in an hour [L/h], and whose figure it is."""

    litres_per_hour: float
    basis: Basis
    notes: tuple[Note, ...] = ()


def ice_mm(water_mm: "Numeric") -> "Numeric":
    """Thickness of ice that a depth of water freezes to.

    d_ice = d_water rho_water(0 degC) / rho_ice

    Parameters
    ----------
    water_mm : float or array
        Depth of water [mm].

    Returns
    -------
    float or array
        Thickness of ice [mm].

    Notes
    -----
    Clear ice at its melting point. Ice at -5 degC is 0.08 % thinner.

    Examples
    --------
    >>> round(ice_mm(1.0), 4)
    1.0907

    References
    ----------
    IAPWS R10-06(2009), Equation of State 2006 for H2O Ice Ih, table 6; M. Tanaka and others,
    Recommended table for the density of water, Metrologia 38 (2001) 301.
    """
    return water_mm * water_density_kg_l(0.0) / ICE_DENSITY_KG_L


def heat_kj_l(water_c: "Numeric", ice_c: "Numeric" = -5.0) -> "Numeric":
    """Heat to take from a litre of water to cool it, freeze it and cool the ice.

    q = 4.19 t_water + 333.6 - 2.1 t_ice

    Parameters
    ----------
    water_c : float or array
        Temperature of the water put on, 0 to 60 [degC].
    ice_c : float or array
        Temperature of the ice in the end, -20 to 0 [degC].

    Returns
    -------
    float or array
        Heat [kJ/L].

    Notes
    -----
    A litre is taken as a kilogram, which is 0.2 % too much at 20 degC and 1.7 % at 60 degC. Outside
    the ranges the line is only prolonged; :func:`plant_rate_l_h` says so in a note.

    Examples
    --------
    >>> round(heat_kj_l(10.0))
    386

    References
    ----------
    Handbook values of specific and latent heat, from memory; latent heat: CRC Handbook (seen).
    """
    return WATER_HEAT_KJ_KG_K * water_c + LATENT_HEAT_KJ_KG - ICE_HEAT_KJ_KG_K * ice_c


def freezing_l_h(spare_kw: "Numeric", water_c: "Numeric") -> "Numeric":
    """Water that spare cooling freezes in an hour, down to ice of -5 degC.

    V = 3600 P / q

    Parameters
    ----------
    spare_kw : float or array
        Heat that the plant can take beside its standing load [kW].
    water_c : float or array
        Temperature of the water put on, 0 to 60 [degC].

    Returns
    -------
    float or array
        Water frozen in an hour [L/h].

    Notes
    -----
    The cold stored in the slab hides this limit for the first flood of a day, not for the third.

    Examples
    --------
    >>> round(freezing_l_h(10.0, 10.0))
    93

    References
    ----------
    Heat balance; for the heat see :func:`heat_kj_l`.
    """
    return spare_kw * SECONDS_PER_HOUR / heat_kj_l(water_c)


def plant_rate_l_h(
    freeze_test_l_h: float | None,
    spare_kw: float | None,
    capacity_kw: float | None,
    standing_load_kw: float | None,
    water_c: float,
    sheets: int,
) -> PlantRate:
    """Water that the whole plant freezes in an hour, from the best that is known of it.

    A measured freeze test as it is; else spare cooling; else capacity less standing load; else
    common practice for a sheet.

    Parameters
    ----------
    freeze_test_l_h : float or None
        Measured: water that the plant freezes in an hour [L/h].
    spare_kw : float or None
        Heat that it can take beside the standing load [kW].
    capacity_kw : float or None
        Heat that it can take in all [kW].
    standing_load_kw : float or None
        Heat that the hall brings in by itself [kW].
    water_c : float
        Temperature of the water put on, 0 to 60 [degC].
    sheets : int
        Number of sheets, for what has to be assumed [1].

    Returns
    -------
    PlantRate
        Rate, basis and notes.

    Raises
    ------
    FieldError
        If nothing is left for freezing.

    Examples
    --------
    >>> plant_rate_l_h(140.0, None, None, None, water_c=10.0, sheets=3)
    PlantRate(litres_per_hour=140.0, basis='measured', notes=())

    References
    ----------
    Heat balance; assumed cooling: common practice, no source.
    """
    if freeze_test_l_h is not None:
        return PlantRate(_positive(freeze_test_l_h, "freeze_test"), "measured")
    spare, basis, notes = _spare_kw(spare_kw, capacity_kw, standing_load_kw, sheets)
    litres = float(freezing_l_h(spare, water_c))
    return PlantRate(litres, basis, notes + _temperature_notes(water_c))


def _spare_kw(
    spare_kw: float | None, capacity_kw: float | None, standing_load_kw: float | None, sheets: int
) -> tuple[float, Basis, tuple[Note, ...]]:
    """Cooling left for freezing [kW], whose figure that is, and what had to be assumed."""
    if spare_kw is not None:
        return _positive(spare_kw, "spare"), "quoted", ()
    if capacity_kw is None:
        spare = SPARE_KW_PER_SHEET * sheets
        note = Note("spare-cooling-assumed", {"spare_kw": spare, "sheets": sheets})
        return spare, "assumed", (note,)
    if standing_load_kw is not None:
        return _positive(capacity_kw - standing_load_kw, "capacity"), "quoted", ()
    standing = STANDING_KW_PER_SHEET * sheets
    note = Note("standing-load-assumed", {"standing_load_kw": standing, "sheets": sheets})
    return _positive(capacity_kw - standing, "capacity"), "assumed", (note,)


def _temperature_notes(water_c: float) -> tuple[Note, ...]:
    if COLDEST_WATER_C <= water_c <= WARMEST_WATER_C:
        return ()
    values = {"water_c": water_c, "low_c": COLDEST_WATER_C, "high_c": WARMEST_WATER_C}
    return (Note("heat-outside-range", values),)


def _positive(value: float, field: str) -> float:
    if value > 0:
        return value
    raise FieldError(
        "nothing is left for freezing water",
        "give freeze_test, the litres an hour that the plant was seen to freeze",
        field,
    )
