"""What houses, lines and marks take; usual amounts are in tests/published/paint-jobs.toml."""

from math import pi

import pytest

from waterkit.errors import FieldError
from waterkit.ice.marking_needs import check_colours, marking_needs, yarn_m
from waterkit.ice.markings import Colours, thin_lines_m
from waterkit.ice.sheet import Rink

RINK = Rink(3)
BARE = Colours(coats=1, per_coat_l_m2=0.25, spare_percent=0.0)


def test_only_rings_with_a_colour_are_painted() -> None:
    assert marking_needs(BARE, RINK).rings == ()
    every = Colours("a", "b", "c", "d", spare_percent=0.0)
    needs = marking_needs(every, RINK)
    assert [ring.ring for ring in needs.rings] == ["ring_12", "ring_8", "ring_4", "button"]
    house = pi * (6 * 0.3048) ** 2
    assert sum(ring.area_m2 for ring in needs.rings) == pytest.approx(6 * house)
    assert sum(needs.litres.values()) == pytest.approx(6 * house * 2 * 0.27)


def test_rings_of_one_colour_share_a_pot_and_its_spare() -> None:
    one = marking_needs(Colours("red", "", "red", spare_percent=10.0), RINK)
    assert list(one.litres) == ["red"]
    assert one.litres["red"] == pytest.approx(1.1 * sum(ring.litres_l for ring in one.rings))


def test_discs_need_no_colour() -> None:
    needs = marking_needs(Colours("blue", "", "red", discs=True), RINK)
    assert (needs.rings, needs.litres, needs.discs) == ((), {}, 6)
    assert marking_needs(BARE, RINK).discs == 0


def test_yarn_and_tape_of_all_sheets() -> None:
    needs = marking_needs(BARE, RINK)
    assert needs.yarn_m == pytest.approx(3 * thin_lines_m(4.75))
    assert needs.hog_tape_m == pytest.approx(3 * 9.5)
    assert needs.edge_tape_m == pytest.approx(4 * 45.72)
    more = marking_needs(Colours(spare_percent=15.0), RINK)
    assert more.yarn_m == pytest.approx(1.15 * needs.yarn_m)
    assert more.edge_tape_m == pytest.approx(1.15 * needs.edge_tape_m)


def test_lines_of_other_games() -> None:
    # Wheelchair lines 4 x 4.572 m, guide lines 2 x 34.75 m a sheet (from memory).
    plain = yarn_m(BARE, RINK)
    assert yarn_m(Colours(wheelchair=True), RINK) - plain == pytest.approx(18.288)
    assert yarn_m(Colours(guide_lines=True), RINK) - plain == pytest.approx(69.5, abs=0.02)
    assert marking_needs(Colours(mixed_doubles=True), RINK).marks == 18


@pytest.mark.parametrize(
    ("rink", "keys"),
    [
        (Rink(2, 45.72, 4.42), []),
        (Rink(2, 44.50, 5.0), []),
        (Rink(2, 43.0, 4.75), ["sheet-outside-rules"]),
        (Rink(2, 45.72, 4.3), ["sheet-outside-rules"]),
        (Rink(2, 42.0, 4.75), ["markings-do-not-fit"]),
        (Rink(2, 45.72, 3.6), ["markings-do-not-fit"]),
    ],
)
def test_sheets_outside_the_rules_are_told(rink: Rink, keys: list[str]) -> None:
    assert [note.key for note in marking_needs(BARE, rink).notes] == keys


@pytest.mark.parametrize(
    ("colours", "field"),
    [
        (Colours(coats=0), "coats"),
        (Colours(coats=-2), "coats"),
        (Colours(per_coat_l_m2=0.0), "per_coat"),
        (Colours(spare_percent=-1.0), "spare"),
    ],
)
def test_colours_that_cannot_be_put_on(colours: Colours, field: str) -> None:
    with pytest.raises(FieldError) as caught:
        check_colours(colours)
    assert (caught.value.field, bool(caught.value.hint)) == (field, True)
