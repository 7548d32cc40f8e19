"""Rings and lines; their published figures are in tests/published/curling-sheet.toml."""

from math import pi

import numpy as np
import pytest

from waterkit.ice import markings
from waterkit.ice.markings import Colours
from waterkit.ice.sheet import Rink


def test_rings_of_a_house_fill_its_disc() -> None:
    assert markings.house_rings().disc_m2 == pytest.approx(pi * markings.RADIUS_12_M**2)


def test_only_rings_with_a_colour_are_painted() -> None:
    rings = markings.house_rings()
    assert markings.coloured_area_m2(Colours()) == 0.0
    assert markings.coloured_area_m2(Colours(ring_8="green")) == pytest.approx(2 * rings.ring_8_m2)
    every = Colours("a", "b", "c", "d")
    assert markings.coloured_area_m2(every) == pytest.approx(2 * rings.disc_m2)


def test_edges_between_sheets_count_once() -> None:
    assert markings.edge_m(Rink(1, sheet_length_m=45.72)) == pytest.approx(2 * 45.72)
    assert markings.edge_m(Rink(4, sheet_length_m=45.72)) == pytest.approx(5 * 45.72)


def test_lines_take_arrays() -> None:
    widths = np.array([4.42, 4.75, 5.0])
    for length in (markings.thin_lines_m, markings.hog_tape_m, markings.line_area_m2):
        assert length(widths) == pytest.approx([length(width) for width in widths.tolist()])


def test_a_wider_sheet_needs_four_more_thin_metres_for_each_metre() -> None:
    assert markings.thin_lines_m(5.0) - markings.thin_lines_m(4.0) == pytest.approx(4.0)
