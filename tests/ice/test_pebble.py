"""Pebble; a worked season is in tests/published/pebble-season.toml. All of it common practice."""

import numpy as np
import pytest

from waterkit.ice import pebble
from waterkit.ice.pebble import PebbleRules, PlayKind

RULES = PebbleRules(2.0, 5.0, 1.0, 2.5, 4.0, waste_percent=25.0, sheet_use_percent=80.0)


@pytest.mark.parametrize(
    ("kind", "litres"), [("league", 2.0), ("bonspiel", 5.0), ("practice", 1.0), ("lesson", 2.5)]
)
def test_each_kind_of_play_has_its_litres(kind: PlayKind, litres: float) -> None:
    assert pebble.draw_litres(kind, RULES) == litres
    assert pebble.pebble_litres(3, 4, kind, RULES) == pytest.approx(12 * litres)


def test_scrapes_relevels_and_sheets_in_use() -> None:
    assert pebble.scrape_litres(6, 4, RULES) == pytest.approx(96.0)
    assert pebble.relevel_litres(1, 4, RULES) == pytest.approx(1800.0)
    assert pebble.sheets_in_use(5, RULES) == pytest.approx(4.0)


def test_waste_comes_on_top_of_what_reaches_the_ice() -> None:
    assert pebble.drawn_litres(100.0, RULES) == pytest.approx(125.0)


def test_pebble_and_scraping_change_the_thickness() -> None:
    assert pebble.pebble_ice_mm(3.0, 217.17) == pytest.approx(0.01507, abs=1e-5)
    assert 0.008 < pebble.pebble_ice_mm(3.0, 217.17) < 0.03  # common practice, no source
    assert pebble.scraped_mm(6, RULES) == pytest.approx(0.3)


def test_days_as_arrays() -> None:
    draws = np.array([0.0, 2.0, 5.0])
    assert pebble.pebble_litres(draws, 3, "league", RULES) == pytest.approx([0.0, 12.0, 30.0])
    drawn = pebble.drawn_litres(pebble.scrape_litres(draws, 3, RULES), RULES)
    assert drawn == pytest.approx([0.0, 30.0, 75.0])
