"""The rink floor: sheets and the floor around them."""

from dataclasses import dataclass
from typing import Annotated

from waterkit.errors import FieldError
from waterkit.quantities import AREA, DEPTH, LENGTH, TEMPERATURE


@dataclass(frozen=True, slots=True)
class Rink:
    """The sheets of a club as measured, and the floor that gets water.

    Parameters
    ----------
    sheets : int
        Number of sheets.
    sheet_length_m, sheet_width_m : float
        Inside backboards and inside side lines [m].
    floor_m2 : float or None
        All that gets water, with dividers and walkways; without it the sheets count [m2].
    """

    sheets: int
    sheet_length_m: Annotated[float, LENGTH] = 45.72
    sheet_width_m: Annotated[float, LENGTH] = 4.75
    floor_m2: Annotated[float, AREA] | None = None


@dataclass(frozen=True, slots=True)
class Slab:
    """The slab below the ice: cover over the pipes, thickness [mm], set point [degC]."""

    cover_mm: Annotated[float, DEPTH] = 25.0
    thickness_mm: Annotated[float, DEPTH] = 125.0
    set_point_c: Annotated[float, TEMPERATURE] = -6.0


def sheet_area_m2(rink: Rink) -> float:
    """Area of one sheet, inside backboards and side lines [m2]."""
    return rink.sheet_length_m * rink.sheet_width_m


def sheets_area_m2(rink: Rink) -> float:
    """Area of all sheets, without dividers and walkways [m2]."""
    return rink.sheets * sheet_area_m2(rink)


def floor_area_m2(rink: Rink) -> float:
    """Area of all that gets water: the floor as measured, else the sheets [m2]."""
    return sheets_area_m2(rink) if rink.floor_m2 is None else rink.floor_m2


def check_rink(rink: Rink) -> None:
    """Refuse a rink that cannot be.

    Raises
    ------
    FieldError
        No sheet, a sheet without length or width, a floor smaller than its sheets.
    """
    if rink.sheets < 1:
        raise FieldError(f"{rink.sheets} sheets", "a club has one sheet or more", "sheets")
    if rink.sheet_length_m <= 0:
        raise FieldError("a sheet has a length", "measure between the backboards", "sheet_length")
    if rink.sheet_width_m <= 0:
        raise FieldError("a sheet has a width", "measure between the side lines", "sheet_width")
    if floor_area_m2(rink) < sheets_area_m2(rink):
        raise FieldError(
            f"the floor ({rink.floor_m2:.1f} m2) is smaller than its sheets "
            f"({sheets_area_m2(rink):.1f} m2)",
            f"the floor is all that gets water, all {rink.sheets} sheets included: mend it, "
            "or sheets, sheet_length or sheet_width",
            "floor",
        )
