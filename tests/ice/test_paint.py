"""White paint; slurry densities as printed are in tests/published/paint-slurry.toml."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.errors import FieldError
from waterkit.ice.paint import (
    Ratio,
    White,
    check_white,
    mix_density_kg_l,
    mix_need,
    powder_per_mix,
    water_per_mix,
)

ratios = st.builds(Ratio, st.floats(0.01, 1.5), st.sampled_from(["water", "mix"]))


@given(ratios, st.floats(1.6, 4.5))
def test_water_and_solid_fill_the_mix(ratio: Ratio, density: float) -> None:
    solid = powder_per_mix(ratio, density) / density
    assert water_per_mix(ratio, density) + solid == pytest.approx(1.0, abs=1e-12)


def test_both_meanings_of_a_ratio() -> None:
    chalk = 2.7
    assert powder_per_mix(Ratio(0.1, "mix"), chalk) == 0.1
    assert water_per_mix(Ratio(0.1, "mix"), chalk) == pytest.approx(1 - 0.1 / 2.7)
    assert powder_per_mix(Ratio(0.1, "water"), chalk) < 0.1
    for ratio in (Ratio(0.1, "water"), Ratio(0.1, "mix")):
        made = powder_per_mix(ratio, chalk) / water_per_mix(ratio, chalk)
        assert made == pytest.approx(0.1 if ratio.per == "water" else 0.1 / (1 - 0.1 / 2.7))


def test_a_kilogram_of_powder_takes_the_room_of_its_solid() -> None:
    # 0.37 L per kg of chalk, 0.24 L per kg of titanium dioxide: handbook densities, from memory.
    for density, litres in ((2.7, 0.37), (4.17, 0.24)):
        assert 1 / water_per_mix(Ratio(1.0, "water"), density) - 1 == pytest.approx(
            litres, abs=5e-3
        )


def test_mixing_takes_arrays() -> None:
    densities = np.array([2.7, 3.9, 4.17])
    ratio = Ratio(0.12, "water")
    assert mix_density_kg_l(ratio, densities, 0.9997) == pytest.approx(
        [mix_density_kg_l(ratio, density, 0.9997) for density in densities.tolist()]
    )


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"coats": 0}, "coats"),
        ({"per_coat_l_m2": 0.0}, "per_coat"),
        ({"loss_percent": -1.0}, "loss"),
        ({"ratio": Ratio(0.0, "water")}, "ratio"),
        ({"powder_density_kg_l": 0.0}, "powder_density"),
        ({"ratio": Ratio(2.0, "mix"), "powder_density_kg_l": 2.0}, "ratio"),
        ({"tank_l": 10.0, "heel_l": 10.0}, "tank"),
        ({"tank_l": 10.0004, "heel_l": 10.0}, "tank"),
        ({"heel_l": -1.0}, "tank"),
        ({"jug_l": 0.0}, "jug"),
        ({"scale_g": 0.0}, "scale"),
        ({"jug_l": 1000.0}, "jug"),
    ],
)
def test_a_mix_that_cannot_be_made_is_refused(changes: dict[str, object], field: str) -> None:
    with pytest.raises(FieldError) as caught:
        check_white(replace(White(), **changes))  # type: ignore[arg-type]
    assert caught.value.field == field
    assert caught.value.hint


def test_mix_for_an_area() -> None:
    need = mix_need(White(coats=3, per_coat_l_m2=0.3, loss_percent=10.0, heel_l=8.0), 200.0)
    assert need.on_ice_l == pytest.approx(180.0)
    assert need.lost_l == pytest.approx(18.0)
    assert need.left_over_l == 8.0
    assert need.sprayed_l == pytest.approx(198.0)
    assert need.made_l == pytest.approx(206.0)
