"""Coats that hide the slab: what a test patch tells, and when it tells nothing."""

from dataclasses import replace
from typing import Literal

import numpy as np
import pytest

from waterkit.errors import FieldError
from waterkit.ice import hiding
from waterkit.ice.cover import check_patch, white_cover
from waterkit.ice.paint import Ratio, White

PLAIN = White(slab_reflectance_percent=35.0)
COAT_G_M2 = 220.0 * 0.1 / (1 + 0.1 / 4.17)
Kind = Literal["grounds", "coats"]


def patch(
    kind: Kind,
    scattering: float,
    absorbed: float,
    grams: float,
    errors: "list[float] | None" = None,
) -> White:
    """A club with a patch of a powder whose optics are known, read with errors."""
    black, light, first, second = errors or [0.0] * 4
    over = [hiding.film_reflectance(scattering * grams, absorbed, g) for g in (0.01, 0.8)]
    three = hiding.film_reflectance(3 * scattering * grams, absorbed, 0.01)
    white = replace(
        PLAIN, patch_grams_g=grams, panel_black_percent=1.0 + black, panel_white_percent=80 + light
    )
    one = 100 * float(over[0]) + first
    if kind == "coats":
        lightest = 100 * float(three) + second
        return replace(white, patch_one_coat_percent=one, patch_three_coats_percent=lightest)
    lightest = 100 * float(over[1]) + second
    return replace(white, patch_black_percent=one, patch_white_percent=lightest)


@pytest.mark.parametrize("kind", ["grounds", "coats"])
def test_scattering_is_recovered_within_its_range(kind: Kind) -> None:
    rng = np.random.default_rng(2805)
    told = 0
    for _ in range(500):
        scattering, absorbed = rng.uniform(0.05, 0.6), rng.uniform(0.0, 0.006)
        grams = rng.uniform(0.8, 4.0) / scattering
        errors = rng.uniform(-1.0, 1.0, 4).tolist()
        white = patch(kind, scattering, absorbed, grams, errors)
        weighed, slab = grams * rng.uniform(0.96, 1.04), 35.0 + rng.uniform(-1.0, 1.0)
        white = replace(white, slab_reflectance_percent=slab)
        found = white_cover(replace(white, patch_grams_g=weighed))
        if found.outcome == "cannot tell":
            continue
        told += 1
        assert found.scattering_m2_g is not None
        assert found.absorbed is not None
        assert found.grams_m2 is not None
        assert found.scattering_m2_g.low <= scattering <= found.scattering_m2_g.high
        assert found.absorbed.low <= absorbed <= found.absorbed.high
        needed = float(hiding.scattering_to_hide(absorbed, 0.98, 0.35)) / scattering
        assert found.grams_m2.low <= needed <= found.grams_m2.high
        assert found.scattering_m2_g.high < 1.6 * found.scattering_m2_g.low
    assert told > 495


@pytest.mark.parametrize("kind", ["grounds", "coats"])
def test_coats_of_a_known_powder(kind: Kind) -> None:
    # 11.72 of scattering over black, 0.1 m2/g: 117 g/m2; a coat holds 21.5 g/m2: 6 coats.
    black_slab = replace(patch(kind, 0.1, 0.0, 20.0), slab_reflectance_percent=0.0)
    found = white_cover(black_slab)
    assert found.outcome == "told"
    assert found.coat_g_m2 == pytest.approx(COAT_G_M2)
    assert found.grams_m2 is not None
    assert found.grams_m2.value == pytest.approx(117.2, abs=0.1)
    assert found.coats == 6
    assert found.coats_low is not None
    assert found.coats_high is not None
    assert found.coats_low < 6 < found.coats_high
    assert "white-too-few-coats" not in {note.key for note in found.notes}


def test_planned_coats_have_a_contrast() -> None:
    found = white_cover(patch("grounds", 0.1, 0.002, 20.0))
    assert found.contrast is not None
    planned = hiding.contrast_ratio(0.1 * 4 * COAT_G_M2, 0.002, 0.35)
    assert found.contrast.value == pytest.approx(planned)
    assert found.contrast.low < planned < found.contrast.high


@pytest.mark.parametrize(
    ("scattering", "key"),
    [(0.02, "white-too-few-coats"), (0.5, "white-more-coats-than-needed"), (0.12, None)],
)
def test_coats_that_differ_from_the_plan_are_told(scattering: float, key: str | None) -> None:
    found = white_cover(patch("grounds", scattering, 0.001, 2.0 / scattering))
    keys = [note.key for note in found.notes]
    assert keys == ["white-patch-as-ice", *filter(None, [key])]


def test_no_patch_no_coats() -> None:
    found = white_cover(PLAIN)
    assert (found.outcome, found.coats, found.grams_m2) == ("no patch", None, None)
    assert found.coat_g_m2 == pytest.approx(COAT_G_M2)
    assert [note.key for note in found.notes] == ["white-no-patch"]


@pytest.mark.parametrize(("depth", "key"), [(80.0, "thick"), (0.01, "thin")])
def test_a_patch_too_thick_or_too_thin_tells_nothing(depth: float, key: str) -> None:
    found = white_cover(patch("grounds", 0.2, 0.02, depth / 0.2))
    assert (found.outcome, found.coats) == ("cannot tell", None)
    assert [note.key for note in found.notes] == [f"white-patch-too-{key}"]


@pytest.mark.parametrize(
    ("changes", "most"),
    [
        # Without absorption: (S (1 - Rg) + Rg) / (S (1 - Rg) + 1) from the S of the darker reading.
        ({"patch_black_percent": 20.0, "patch_white_percent": 99.0}, 80.9),
        ({"patch_black_percent": 71.0, "patch_white_percent": 92.0}, 86.6),
        ({"patch_one_coat_percent": 60.0, "patch_three_coats_percent": 95.0}, 81.8),
    ],
)
def test_readings_that_no_white_could_give_tell_nothing(
    changes: dict[str, float], most: float
) -> None:
    found = white_cover(replace(PLAIN, patch_grams_g=20.0, **changes))  # type: ignore[arg-type]
    assert (found.outcome, found.coats) == ("cannot tell", None)
    (note,) = found.notes
    assert note.key == "white-patch-impossible"
    assert note.values["most_percent"] == pytest.approx(most, abs=0.05)


@pytest.mark.parametrize(
    ("black", "light", "error", "key"),
    [
        (99.0, 100.0, 1.0, "white-patch-too-thick"),
        (71.0, 86.0, 20.0, "white-patch-read-roughly"),
        (2.0, 80.2, 1.0, "white-patch-too-thin"),
    ],
)
def test_why_a_patch_leaves_it_open(black: float, light: float, error: float, key: str) -> None:
    white = replace(
        PLAIN,
        patch_grams_g=20.0,
        patch_black_percent=black,
        patch_white_percent=light,
        reflectance_error_percent=error,
    )
    assert [note.key for note in white_cover(white).notes] == [key]


def test_a_slab_as_light_as_the_ground_needs_no_coat() -> None:
    light = replace(patch("grounds", 0.1, 0.002, 20.0), slab_reflectance_percent=95.0)
    found = white_cover(light)
    assert (found.coats, found.coats_low, found.coats_high) == (0, 0, 0)
    assert found.contrast is not None
    assert found.contrast.high <= 1.0
    assert [note.key for note in found.notes] == ["white-patch-as-ice", "slab-as-light-as-ground"]


def test_a_slab_nobody_measured_is_taken_as_black() -> None:
    white = replace(patch("grounds", 0.2, 0.001, 10.0), slab_reflectance_percent=None)
    found, grey = white_cover(white), white_cover(replace(white, slab_reflectance_percent=35.0))
    assert "slab-taken-as-black" in {note.key for note in found.notes}
    assert found.grams_m2 is not None
    assert grey.grams_m2 is not None
    assert found.grams_m2.value > grey.grams_m2.value


def test_a_grey_powder_is_outside_the_method() -> None:
    keys = {note.key for note in white_cover(patch("grounds", 0.2, 0.1, 10.0)).notes}
    assert "white-too-grey-for-method" in keys


def test_a_stronger_mix_takes_fewer_coats() -> None:
    white = patch("grounds", 0.1, 0.001, 20.0)
    thin, strong = (white_cover(replace(white, ratio=Ratio(r, "water"))) for r in (0.05, 0.2))
    assert thin.coats is not None
    assert strong.coats is not None
    assert thin.coats > strong.coats


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"patch_white_percent": None}, "patch_white"),
        ({"patch_black_percent": None}, "patch_black"),
        ({"patch_grams_g": None}, "patch_grams"),
        ({"patch_grams_g": 0.0}, "patch_grams"),
        ({"patch_black_percent": 90.0}, "patch_white"),
        ({"patch_black_percent": 0.5}, "patch_black"),
        ({"patch_one_coat_percent": 40.0}, "patch_three_coats"),
        ({"patch_one_coat_percent": 40.0, "patch_three_coats_percent": 60.0}, "patch_one_coat"),
        ({"panel_white_percent": 1.0}, "panel_white"),
    ],
)
def test_a_patch_that_contradicts_itself_is_refused(
    changes: dict[str, float | None], field: str
) -> None:
    white = replace(patch("grounds", 0.1, 0.001, 20.0), **changes)  # type: ignore[arg-type]
    with pytest.raises(FieldError) as caught:
        check_patch(white)
    assert (caught.value.field, bool(caught.value.hint)) == (field, True)
