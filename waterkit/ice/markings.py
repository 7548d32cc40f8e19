"""Rings and lines of a sheet: where they lie, how long they are, what they cover."""

from dataclasses import dataclass
from itertools import pairwise
from math import pi
from typing import TYPE_CHECKING, Annotated

from waterkit.ice.sheet import Rink
from waterkit.quantities import AREAL_VOLUME, PERCENT
from waterkit.working import Source

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

RULES_OF_CURLING = Source(
    "rules-of-curling",
    "World Curling Federation, The Rules of Curling, rule on the sheet; the figures were seen in a "
    "public copy, the rule's number is not quoted",
)

# The rules give every dimension in feet and inches; the metric figures beside them are rounded.
FOOT_M = 0.3048
INCH_M = 0.0254

RADIUS_12_M = 6 * FOOT_M
RADIUS_8_M = 4 * FOOT_M
RADIUS_4_M = 2 * FOOT_M
BUTTON_RADIUS_M = 6 * INCH_M
"""Outer edge of the button; the rule is a minimum (from memory), clubs may paint it larger."""

TEE_FROM_MIDDLE_M = 57 * FOOT_M
HOG_FROM_TEE_M = 21 * FOOT_M
"""Tee line, middle of the line, to the house-side edge of the hog line."""
BACK_FROM_TEE_M = 6 * FOOT_M
HACK_FROM_TEE_M = 12 * FOOT_M
CENTRE_BEYOND_TEE_M = 12 * FOOT_M
COURTESY_FROM_HOG_M = 4 * FOOT_M

THIN_LINE_WIDTH_M = 0.5 * INCH_M
"""Tee, back, centre, hack and courtesy lines: the widest that the rules allow."""
HOG_LINE_WIDTH_M = 4 * INCH_M
HACK_LINE_LENGTH_M = 18 * INCH_M
COURTESY_LINE_LENGTH_M = 6 * INCH_M

CENTRE_LINE_M = 2 * (TEE_FROM_MIDDLE_M + CENTRE_BEYOND_TEE_M)
HOUSES = 2
COURTESY_LINES = 4


MIDDLE_GUARD_FROM_TEE_M = (HOG_FROM_TEE_M + RADIUS_12_M) / 2
"""Half way from the house to the hog line."""
GUARD_STEP_M = 3 * FOOT_M
WHEELCHAIR_LINE_M = HOG_FROM_TEE_M - RADIUS_12_M
"""From the hog line to the front of the house."""
WHEELCHAIR_FROM_CENTRE_M = 18 * INCH_M
"""Centre line to the outer edge of the wheelchair line."""
WHEELCHAIR_LINES = 4
GUIDE_LINES = 2
GUARD_PLACES = 3


@dataclass(frozen=True, slots=True)
class Colours:
    """Colour of each ring, and the lines and marks that are laid.

    Parameters
    ----------
    ring_12, ring_8, ring_4, button : str
        Colour of each ring; a ring without one stays white.
    coats : int
        Coats of colour.
    per_coat_l_m2 : float
        Liquid colour of one coat [L/m2].
    discs : bool
        Whether houses are discs of fabric instead of paint.
    guide_lines : bool
        Whether 4-foot lines are laid from tee to tee, two on a sheet.
    wheelchair, mixed_doubles : bool
        Whether the lines and marks of these games are laid.
    spare_percent : float
        Colour, yarn and tape on top, for cutting and mending [%].
    """

    ring_12: str = ""
    ring_8: str = ""
    ring_4: str = ""
    button: str = ""
    coats: int = 2
    per_coat_l_m2: Annotated[float, AREAL_VOLUME] = 0.27
    discs: bool = False
    guide_lines: bool = False
    wheelchair: bool = False
    mixed_doubles: bool = False
    spare_percent: Annotated[float, PERCENT] = 15.0


@dataclass(frozen=True, slots=True)
class HouseRings:
    """Areas of one house, each ring without the rings inside it [m2]."""

    ring_12_m2: float
    ring_8_m2: float
    ring_4_m2: float
    button_m2: float

    @property
    def disc_m2(self) -> float:
        """The whole house [m2]."""
        return self.ring_12_m2 + self.ring_8_m2 + self.ring_4_m2 + self.button_m2


def ring_area_m2(outer_m: "Numeric", inner_m: "Numeric") -> "Numeric":
    """Area between two circles with one centre.

    A = pi (R^2 - r^2)

    Parameters
    ----------
    outer_m : float or array
        Radius of the outer circle [m].
    inner_m : float or array
        Radius of the inner circle, at most the outer one; 0 for a disc [m].

    Returns
    -------
    float or array
        Area of the ring [m2].

    Examples
    --------
    >>> round(ring_area_m2(6 * FOOT_M, 4 * FOOT_M), 3)
    5.837

    References
    ----------
    Geometry.
    """
    return pi * (outer_m**2 - inner_m**2)


def house_rings() -> HouseRings:
    """Areas of the three rings and the button of one house, by the rules."""
    radii = (RADIUS_12_M, RADIUS_8_M, RADIUS_4_M, BUTTON_RADIUS_M, 0.0)
    areas = (float(ring_area_m2(*pair)) for pair in pairwise(radii))
    return HouseRings(*areas)


def thin_lines_m(sheet_width_m: "Numeric") -> "Numeric":
    """Length of one sheet's thin lines: tee, back, centre, hack and courtesy lines.

    L = 2 W (tee) + 2 W (back) + centre + 2 hack + 4 courtesy

    Parameters
    ----------
    sheet_width_m : float or array
        Width of the sheet, which tee and back lines cross [m].

    Returns
    -------
    float or array
        Length of all thin lines [m].

    Notes
    -----
    Side lines are apart (:func:`edge_m`); lines that only some clubs lay are not counted.

    Examples
    --------
    >>> round(thin_lines_m(4.75), 1)
    62.6

    References
    ----------
    World Curling Federation, The Rules of Curling, rule on the sheet (seen in a public copy).
    """
    across = 2 * HOUSES * sheet_width_m
    return (
        across
        + CENTRE_LINE_M
        + HOUSES * HACK_LINE_LENGTH_M
        + COURTESY_LINES * COURTESY_LINE_LENGTH_M
    )


def hog_tape_m(sheet_width_m: "Numeric") -> "Numeric":
    """Length of one sheet's two hog lines.

    L = 2 W

    Parameters
    ----------
    sheet_width_m : float or array
        Width of the sheet [m].

    Returns
    -------
    float or array
        Length of both hog lines [m].

    Examples
    --------
    >>> hog_tape_m(4.75)
    9.5

    References
    ----------
    World Curling Federation, The Rules of Curling, rule on the sheet (seen in a public copy).
    """
    return HOUSES * sheet_width_m


def line_area_m2(sheet_width_m: "Numeric") -> "Numeric":
    """Area that one sheet's lines cover, thin lines at their widest and hog lines.

    A = thin lines x 0.5 in + hog lines x 4 in

    Parameters
    ----------
    sheet_width_m : float or array
        Width of the sheet [m].

    Returns
    -------
    float or array
        Area of all lines [m2].

    Examples
    --------
    >>> round(line_area_m2(4.75), 2)
    1.76

    References
    ----------
    World Curling Federation, The Rules of Curling, rule on the sheet (seen in a public copy).
    """
    thin = thin_lines_m(sheet_width_m) * THIN_LINE_WIDTH_M
    return thin + hog_tape_m(sheet_width_m) * HOG_LINE_WIDTH_M


def guard_places_m() -> tuple[float, ...]:
    """Marks of mixed doubles on the centre line, from the tee line, nearest the house first [m].

    Half way from the house to the hog line, and three feet before and behind it (seen in accounts
    of the rules, not in the rules themselves). Marks of the power play are not counted.
    """
    middle = MIDDLE_GUARD_FROM_TEE_M
    return middle - GUARD_STEP_M, middle, middle + GUARD_STEP_M


def edge_m(rink: Rink) -> float:
    """Long edges of sheets lying side by side [m].

    An edge between two sheets counts once, the two outer edges count too, the ends do not: one edge
    more than there are sheets, each as long as a sheet.
    """
    return (rink.sheets + 1) * rink.sheet_length_m
