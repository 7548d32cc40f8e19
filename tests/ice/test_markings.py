"""Rings and lines; their published figures are in tests/published/curling-sheet.toml."""

from math import pi

import numpy as np
import pytest

from waterkit.ice import markings
from waterkit.ice.sheet import Rink


def test_rings_of_a_house_fill_its_disc() -> None:
    assert markings.house_rings().disc_m2 == pytest.approx(pi * markings.RADIUS_12_M**2)


def test_edges_between_sheets_count_once() -> None:
    assert markings.edge_m(Rink(1, sheet_length_m=45.72)) == pytest.approx(2 * 45.72)
    assert markings.edge_m(Rink(4, sheet_length_m=45.72)) == pytest.approx(5 * 45.72)


def test_lines_take_arrays() -> None:
    widths = np.array([4.42, 4.75, 5.0])
    for length in (markings.thin_lines_m, markings.hog_tape_m, markings.line_area_m2):
        assert length(widths) == pytest.approx([length(width) for width in widths.tolist()])


def test_a_wider_sheet_needs_four_more_thin_metres_for_each_metre() -> None:
    assert markings.thin_lines_m(5.0) - markings.thin_lines_m(4.0) == pytest.approx(4.0)


def test_marks_of_mixed_doubles() -> None:
    # Half way from house to hog line and three feet to both sides, seen in accounts of the rules.
    feet = [place / 0.3048 for place in markings.guard_places_m()]
    assert feet == pytest.approx([10.5, 13.5, 16.5])
