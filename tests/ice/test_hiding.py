"""Reflectance of a layer; its published figures are in tests/published/kubelka-munk.toml."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from waterkit.ice import hiding

unhurried = settings(deadline=None)  # a busy machine is no fault
SCATTERED, ABSORBED = st.floats(0.05, 20.0), st.floats(0.0, 0.05)


@pytest.mark.parametrize("absorbed", [0.0, 1e-9, 0.002, 0.1, 1.0])
@pytest.mark.parametrize("ground", [0.0, 0.35, 0.8])
def test_reflectance_solves_the_two_streams(absorbed: float, ground: float) -> None:
    # dR/dS = 1 - 2 (1 + K/S) R + R^2 from the ground up (Kubelka and Munk 1931, from memory).
    def grow(_: float, r: "np.typing.NDArray[np.float64]") -> "np.typing.NDArray[np.float64]":
        return np.asarray(1.0 - 2.0 * (1.0 + absorbed) * r + r**2)

    depths = [0.1, 1.0, 4.0, 12.0]
    grown = solve_ivp(grow, (0.0, 12.0), [ground], t_eval=depths, rtol=1e-10, atol=1e-12).y[0]
    film = hiding.film_reflectance(np.array(depths), absorbed, ground)
    assert film == pytest.approx(grown, abs=1e-7)


def test_no_layer_shows_the_ground_and_a_thick_one_only_itself() -> None:
    grounds = np.array([0.0, 0.35, 0.8])
    assert hiding.film_reflectance(0.0, 0.004, grounds) == pytest.approx(grounds)
    assert hiding.film_reflectance(500.0, 0.004, grounds) == pytest.approx(hiding.brightest(0.004))


@unhurried
@given(st.floats(0.05, 0.999))
def test_brightness_and_absorption_belong_together(full: float) -> None:
    # K/S = (1 - R)^2 / (2 R), Kubelka and Munk 1931, from memory.
    assert hiding.brightest((1 - full) ** 2 / (2 * full)) == pytest.approx(full)


@unhurried
@given(ABSORBED, st.floats(0.5, 0.995), st.floats(0.0, 0.39))
def test_scattering_to_hide_is_the_root_of_the_contrast(
    absorbed: float, target: float, dark: float
) -> None:
    def short(scattered: float) -> float:
        return float(hiding.contrast_ratio(scattered, absorbed, dark)) - target

    if short(0.0) >= 0:
        assert hiding.scattering_to_hide(absorbed, target, dark) == 0.0
    else:
        found = brentq(short, 0.0, 300.0, xtol=1e-12)
        assert hiding.scattering_to_hide(absorbed, target, dark) == pytest.approx(found, rel=1e-4)


def test_a_slab_as_light_as_the_white_ground_needs_no_white() -> None:
    assert hiding.scattering_to_hide(0.001, 0.98, 0.79) == 0.0


@unhurried
@given(st.floats(0.1, 6.0), st.floats(0.0, 0.02), st.floats(0.0, 0.05))
def test_a_patch_gives_back_what_made_it(scattered: float, absorbed: float, black: float) -> None:
    dark, light = (hiding.film_reflectance(scattered, absorbed, g) for g in (black, 0.8))
    found = hiding.from_two_grounds(dark, black, light, 0.8)
    assert found == pytest.approx((scattered, absorbed), rel=1e-6, abs=1e-6)
    three = hiding.film_reflectance(3 * scattered, absorbed, black)
    found = hiding.from_one_and_three_coats(dark, three, black)
    assert found == pytest.approx((scattered, absorbed), rel=1e-4, abs=1e-6)


def test_patches_take_arrays() -> None:
    black, white = np.array([0.7, 0.8]), np.array([0.85, 0.88])
    scattered, _ = hiding.from_two_grounds(black, 0.01, white, 0.8)
    each = [hiding.from_two_grounds(b, 0.01, w, 0.8)[0] for b, w in zip(black, white, strict=True)]
    assert scattered == pytest.approx(each)
    scattered, _ = hiding.from_one_and_three_coats(black - 0.2, black, 0.01)
    each = [hiding.from_one_and_three_coats(b - 0.2, b, 0.01)[0] for b in black]
    assert scattered == pytest.approx(each)


def test_three_coats_no_brighter_than_one_tell_nothing() -> None:
    assert np.isinf(hiding.from_one_and_three_coats(0.8, 0.8, 0.0)[0])
