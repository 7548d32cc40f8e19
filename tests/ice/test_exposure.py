"""Limits for dust; the figures stand in tests/published/dust-limits.toml."""

import pytest

from waterkit.ice.exposure import LIMITS, dust_limits


@pytest.mark.parametrize(
    ("powder", "expected"),
    [
        ("Titanium dioxide, rutile", {"titanium dioxide"}),
        ("TiO2", {"titanium dioxide"}),
        ("chalk with titanium dioxide", {"titanium dioxide", "calcium carbonate"}),
        ("Whiting", {"calcium carbonate"}),
        ("barium sulfate", {"other dust"}),
    ],
)
def test_limits_by_the_name_of_the_powder(powder: str, expected: set[str]) -> None:
    assert {limit.powder for limit in dust_limits(powder)} == expected


def test_a_level_to_flee_from_is_no_level_to_work_at() -> None:
    work = [limit.mg_m3 for limit in LIMITS if not limit.danger]
    assert all(limit.mg_m3 > 100 * max(work) for limit in LIMITS if limit.danger)
