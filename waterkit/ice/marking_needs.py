"""What houses, lines and marks take: colour by the litre, yarn and tape by the metre."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from waterkit.errors import FieldError
from waterkit.ice.markings import (
    CENTRE_LINE_M,
    GUARD_PLACES,
    GUIDE_LINES,
    HOUSES,
    RADIUS_12_M,
    TEE_FROM_MIDDLE_M,
    WHEELCHAIR_LINE_M,
    WHEELCHAIR_LINES,
    Colours,
    edge_m,
    hog_tape_m,
    house_rings,
    thin_lines_m,
)
from waterkit.ice.sheet import Rink
from waterkit.working import Note

SHORTEST_M, LONGEST_M = 44.50, 45.72
NARROWEST_M, WIDEST_M = 4.41, 5.01
"""Sheets that the rules allow, 146 to 150 ft by 14 ft 6 in to 16 ft 5 in, to the centimetre.

Seen in a public copy of the rules.
"""


@dataclass(frozen=True, slots=True)
class RingColour:
    """One ring in its colour, all houses: area [m2] and liquid colour without spare [L]."""

    ring: str
    colour: str
    area_m2: float
    litres_l: float


@dataclass(frozen=True, slots=True)
class MarkingNeeds:
    """What all sheets take.

    Parameters
    ----------
    rings : tuple of RingColour
        Rings that get a colour, from the outside in; empty where discs are laid.
    litres : mapping of str to float
        Liquid of each colour with its spare [L].
    discs : int
        Discs of fabric, one a house.
    yarn_m, hog_tape_m, edge_tape_m : float
        Yarn for all thin lines, tape for hog lines and for edges, with their spare [m].
    marks : int
        Marks of mixed doubles.
    notes : tuple of Note
        Remarks.
    """

    rings: tuple[RingColour, ...]
    litres: Mapping[str, float]
    discs: int
    yarn_m: float
    hog_tape_m: float
    edge_tape_m: float
    marks: int
    notes: tuple[Note, ...] = ()


def marking_needs(colours: Colours, rink: Rink) -> MarkingNeeds:
    """Colour, discs, yarn and tape for all sheets of a club, as measured.

    Parameters
    ----------
    colours : Colours
        Colour of each ring, coats, lines and marks.
    rink : Rink
        Sheets, their length and width.

    Returns
    -------
    MarkingNeeds
        Amounts with their spare.

    Raises
    ------
    FieldError
        See :func:`check_colours`.

    References
    ----------
    World Curling Federation, The Rules of Curling, rule on the sheet (seen in a public copy);
    litres of a coat and spare: common practice, no source.
    """
    check_colours(colours)
    spare = 1.0 + colours.spare_percent / 100.0
    rings = () if colours.discs else _ring_colours(colours, HOUSES * rink.sheets)
    litres: dict[str, float] = defaultdict(float)
    for ring in rings:
        litres[ring.colour] += ring.litres_l * spare
    return MarkingNeeds(
        rings,
        dict(litres),
        discs=HOUSES * rink.sheets if colours.discs else 0,
        yarn_m=rink.sheets * yarn_m(colours, rink) * spare,
        hog_tape_m=rink.sheets * float(hog_tape_m(rink.sheet_width_m)) * spare,
        edge_tape_m=edge_m(rink) * spare,
        marks=HOUSES * GUARD_PLACES * rink.sheets if colours.mixed_doubles else 0,
        notes=_sheet_notes(rink),
    )


def yarn_m(colours: Colours, rink: Rink) -> float:
    """Thin lines of one sheet that are laid as yarn, without spare [m]."""
    guides = GUIDE_LINES * 2.0 * TEE_FROM_MIDDLE_M if colours.guide_lines else 0.0
    wheelchair = WHEELCHAIR_LINES * WHEELCHAIR_LINE_M if colours.wheelchair else 0.0
    return float(thin_lines_m(rink.sheet_width_m)) + guides + wheelchair


def check_colours(colours: Colours) -> None:
    """Refuse colours that cannot be put on.

    Raises
    ------
    FieldError
        No coat, a coat without colour, a spare below zero.
    """
    if colours.coats < 1:
        raise FieldError(f"{colours.coats} coats", "colour takes one coat or more", "coats")
    if colours.per_coat_l_m2 <= 0:
        raise FieldError("a coat without colour", "0.22 to 0.33 L/m2 is common", "per_coat")
    if colours.spare_percent < 0:
        raise FieldError("a spare below zero", "write what is bought on top", "spare")


def _ring_colours(colours: Colours, houses: int) -> tuple[RingColour, ...]:
    rings = house_rings()
    litres_m2 = colours.coats * colours.per_coat_l_m2
    painted = (
        ("ring_12", colours.ring_12, rings.ring_12_m2),
        ("ring_8", colours.ring_8, rings.ring_8_m2),
        ("ring_4", colours.ring_4, rings.ring_4_m2),
        ("button", colours.button, rings.button_m2),
    )
    return tuple(
        RingColour(ring, colour, houses * area_m2, houses * area_m2 * litres_m2)
        for ring, colour, area_m2 in painted
        if colour
    )


def _sheet_notes(rink: Rink) -> tuple[Note, ...]:
    """Sheets outside the rules, and sheets on which the marks do not fit."""
    length, width = rink.sheet_length_m, rink.sheet_width_m
    values = {"length_m": length, "width_m": width}
    if length < CENTRE_LINE_M or width < 2.0 * RADIUS_12_M:
        return (Note("markings-do-not-fit", values),)
    within = SHORTEST_M <= length <= LONGEST_M and NARROWEST_M <= width <= WIDEST_M
    return () if within else (Note("sheet-outside-rules", values),)
