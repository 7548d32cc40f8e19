"""What is known of a meter: how long its standard holds, and what its last check tells.

A meter is checked by holding it into a standard, a solution of potassium chloride.
"""

import datetime as dt
import math

from waterkit.tank.case import StandardState
from waterkit.water.drift import standard_at
from waterkit.water.meter import Meter, shown_us_cm

STANDARD_HOLDS = dt.timedelta(days=182)
"""An opened bottle of conductivity standard holds half a year: common practice, no source."""
CHECK_HOLDS = dt.timedelta(days=31)
"""A meter in use is checked every week; a month is overdue: common practice, no source."""
AGREES = 0.10
"""A check agrees within so much of the standard: common practice, no source."""
TELLING = 1.15
"""Compensation of less than this tells nothing of whether it was done, or done twice."""
_25_C = 25.0


def standard_until(meter: Meter) -> dt.date | None:
    """The last day on which a meter's standard holds; None where nobody wrote when it was opened.

    References
    ----------
    Common practice, no source.
    """
    return None if meter.opened is None else meter.opened + STANDARD_HOLDS


def checked_until(checked: dt.date) -> dt.date:
    """The last day on which a check of a meter counts.

    References
    ----------
    Common practice, no source.
    """
    return checked + CHECK_HOLDS


def check_tells(read_us_cm: float, temperature_c: float | None, meter: Meter) -> StandardState:
    """What a meter that was held into its standard tells about itself.

    read / (standard as the meter should show it) is 1 for a sound meter; 1 / f for one that does
    not correct although club.toml says so, f for one that was corrected once more by hand, where f
    is the factor by which it should correct

    Parameters
    ----------
    read_us_cm : float
        What it showed in the standard [uS/cm].
    temperature_c : float or None
        Temperature of the standard; None counts as 25 [degC].
    meter : Meter
        The meter, with the conductivity of its standard at 25 degC.

    Returns
    -------
    str
        ``corrected-twice``, ``not-corrected``, ``standard-off``, or empty for a sound meter.

    Notes
    -----
    The standard is dilute potassium chloride: :func:`waterkit.water.drift.standard_at`.

    References
    ----------
    Common practice, no source.
    """
    if meter.standard_us_cm is None:
        return ""
    celsius = _25_C if temperature_c is None else temperature_c
    actual = float(standard_at(meter.standard_us_cm, celsius))
    should = float(shown_us_cm(actual, celsius, meter))
    if not math.isfinite(should) or should <= 0:
        return ""
    if _agree(read_us_cm, should):
        return ""
    factor = should / actual
    if max(factor, 1 / factor) > TELLING:
        if _agree(read_us_cm, actual):
            return "not-corrected"
        if _agree(read_us_cm, should * factor):
            return "corrected-twice"
    return "standard-off"


def _agree(shown: float, should: float) -> bool:
    return abs(shown - should) <= AGREES * should
