"""Will it cover: how much white hides the slab, from the club's own test patch.

A layer of white scatters light and absorbs a little of it. Two readings of a test patch give both
per gram of powder; from there follows how many grams make slab and white ground look the same. How
well a powder hides cannot be known without a patch.
"""

from typing import TYPE_CHECKING

import numpy as np

from waterkit.working import Source

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

KUBELKA_MUNK = Source(
    "kubelka-munk",
    "P. Kubelka, New contributions to the optics of intensely light-scattering materials, part I, "
    "Journal of the Optical Society of America 38 (1948) 448-457",
    "memory",
)
HIDING_STANDARDS = Source(
    "hiding-standards",
    "ISO 6504-1, Paints and varnishes, Determination of hiding power, part 1: Kubelka-Munk method "
    "for white and light-coloured paints (reflectance of 70 % and more); ASTM D2805, Hiding power "
    "of paints by reflectometry: contrast ratio 0.98 over grounds of 0 and 80 %",
    "memory",
)
HIDDEN = 0.98
"""Contrast ratio at which a ground counts as hidden."""
WHITE_GROUND = 0.80
"""Reflectance of the white ground that the contrast ratio is counted against."""

_SMALL = 1e-4
_HALVINGS = 48


def film_reflectance(scattered: "Numeric", absorbed: "Numeric", ground: "Numeric") -> "Numeric":
    """Reflectance of a layer on a ground.

    R = (1 - Rg (a - b coth(b S))) / (a - Rg + b coth(b S)), a = 1 + K/S, b = sqrt(a^2 - 1)

    Parameters
    ----------
    scattered : float or array
        Scattering S of the whole layer: coefficient times thickness, or times grams [1].
    absorbed : float or array
        Absorption by scattering, K/S, 0 for a perfect white [1].
    ground : float or array
        Reflectance of the ground, 0 to 1 [1].

    Returns
    -------
    float or array
        Reflectance, 0 to 1 [1].

    Notes
    -----
    Diffuse light of one colour; light thrown back by the surface from inside is not counted.

    Examples
    --------
    >>> round(float(film_reflectance(11.7215, 0.0, 0.0)), 4)
    0.9214

    References
    ----------
    P. Kubelka, New contributions to the optics of intensely light-scattering materials, part I,
    J. Opt. Soc. Am. 38 (1948) 448; from memory.
    """
    a = 1.0 + absorbed
    t = _saturation(scattered, a)
    return (t * (1.0 - ground * a) + ground) / (t * (a - ground) + 1.0)


def brightest(absorbed: "Numeric") -> "Numeric":
    """Reflectance of a layer so thick that more of it changes nothing.

    R = 1 + K/S - sqrt((K/S)^2 + 2 K/S)

    Parameters
    ----------
    absorbed : float or array
        Absorption by scattering, K/S [1].

    Returns
    -------
    float or array
        Reflectance, 1 for a perfect white [1].

    Examples
    --------
    >>> brightest(0.025)  # K/S = (1 - R)^2 / (2 R) at R = 0.80
    0.80

    References
    ----------
    P. Kubelka and F. Munk, Ein Beitrag zur Optik der Farbanstriche, Zeitschrift fuer technische
    Physik 12 (1931) 593; from memory.
    """
    return 1.0 + absorbed - (absorbed**2 + 2.0 * absorbed) ** 0.5


def contrast_ratio(
    scattered: "Numeric",
    absorbed: "Numeric",
    dark: "Numeric" = 0.0,
    light: "Numeric" = WHITE_GROUND,
) -> "Numeric":
    """How far a layer makes a dark and a light ground look the same.

    CR = R over dark / R over light

    Parameters
    ----------
    scattered : float or array
        Scattering S of the whole layer [1].
    absorbed : float or array
        Absorption by scattering, K/S [1].
    dark : float or array
        Reflectance of the dark ground, black or the slab [1].
    light : float or array
        Reflectance of the light ground, above 0 [1].

    Returns
    -------
    float or array
        Contrast ratio; 1 where nothing is seen of the ground [1].

    Examples
    --------
    >>> round(float(contrast_ratio(4.0, 0.0)), 2)
    0.9

    References
    ----------
    ISO 6504-1 and ASTM D2805 count it over grounds of 0 and 80 %; from memory.
    """
    over_dark = film_reflectance(scattered, absorbed, dark)
    return over_dark / film_reflectance(scattered, absorbed, light)


def scattering_to_hide(
    absorbed: "Numeric",
    target: "Numeric" = HIDDEN,
    dark: "Numeric" = 0.0,
    light: "Numeric" = WHITE_GROUND,
) -> "Numeric":
    """Scattering that a layer needs for a contrast ratio.

    the smallest root t of q0 t^2 + q1 t + q2 = 0, t = tanh(b S) / b, from CR(t) = target

    Parameters
    ----------
    absorbed : float or array
        Absorption by scattering, K/S [1].
    target : float or array
        Contrast ratio, below 1 [1].
    dark : float or array
        Reflectance of the dark ground, black or the slab [1].
    light : float or array
        Reflectance of the light ground [1].

    Returns
    -------
    float or array
        Scattering S of the whole layer; 0 where the grounds are that much alike without it [1].

    Examples
    --------
    >>> round(float(scattering_to_hide(0.0)), 3)
    11.721

    References
    ----------
    Kubelka (1948) solved for the layer, see :func:`film_reflectance`.
    """
    a = 1.0 + absorbed
    over_dark, over_light = 1.0 - dark * a, 1.0 - light * a
    q0 = over_dark * (a - light) - target * over_light * (a - dark)
    q1 = over_dark + dark * (a - light) - target * (over_light + light * (a - dark))
    q2 = np.minimum(dark - target * light, 0.0)
    t = -2.0 * q2 / (q1 + np.sqrt(q1**2 - 4.0 * q0 * q2))
    return _scattered(t, a)


def from_two_grounds(
    over_dark: "Numeric", dark: "Numeric", over_light: "Numeric", light: "Numeric"
) -> "tuple[Numeric, Numeric]":
    """Scattering and absorption of a patch read over two grounds.

    a (R + Rg) + b coth(b S) (R - Rg) = 1 + R Rg for both grounds: two lines that cross

    Parameters
    ----------
    over_dark, over_light : float or array
        Reflectance of the patch over the dark and over the light ground [1].
    dark, light : float or array
        Reflectances of the bare grounds [1].

    Returns
    -------
    float or array
        Scattering S of the patch, infinite where it is too thick to tell; and K/S [1].

    Notes
    -----
    Readings that a layer without absorption could not give count as one without.

    Examples
    --------
    >>> s, k = from_two_grounds(0.75, 0.0, 0.875, 0.80)
    >>> print(f"{s:.3f} {k:.3f}")
    3.000 0.000

    References
    ----------
    Kubelka (1948) solved for the layer, see :func:`film_reflectance`.
    """
    cross = 2.0 * (dark * over_light - over_dark * light)
    first = (1.0 + over_dark * dark) * (over_light - light)
    second = (1.0 + over_light * light) * (over_dark - dark)
    a = np.maximum((first - second) / cross, 1.0)
    return _scattered(_saturation_of(over_dark, dark, a), a), a - 1.0


def from_one_and_three_coats(
    one: "Numeric", three: "Numeric", ground: "Numeric"
) -> "tuple[Numeric, Numeric]":
    """Scattering of one coat, and absorption, from one coat and three over the same ground.

    three coats scatter three times as much as one: the a that makes both readings so

    Parameters
    ----------
    one, three : float or array
        Reflectance of one coat, and of three [1].
    ground : float or array
        Reflectance of the bare ground, below both [1].

    Returns
    -------
    float or array
        Scattering S of one coat, infinite where three hide no more than one; and K/S [1].

    Notes
    -----
    Readings that a layer without absorption could not give count as one without.

    Examples
    --------
    >>> s, k = from_one_and_three_coats(0.5, 0.75, 0.0)
    >>> print(f"{s:.3f} {k:.3f}")
    1.000 0.000

    References
    ----------
    Kubelka (1948) solved for the layer, see :func:`film_reflectance`; halving of an interval.
    """
    one, three, ground = np.broadcast_arrays(one, three, ground)
    low, high = np.ones(one.shape), (1.0 + one**2) / (2.0 * one)
    for _ in range(_HALVINGS):
        a = (low + high) / 2.0
        brighter = _of_three(one, ground, a) > three
        low, high = np.where(brighter, a, low), np.where(brighter, high, a)
    a = np.where(_of_three(one, ground, np.ones(one.shape)) > three, low, 1.0)
    told = three > one
    scattered = np.where(told, _scattered(_saturation_of(one, ground, a), a), np.inf)
    return scattered[()], (a - 1.0)[()]


def lightest_over(over_dark: "Numeric", dark: "Numeric", light: "Numeric") -> "Numeric":
    """Reflectance over the light ground that a patch read over the dark one can have at most.

    R of a layer without absorption, K/S = 0: (S (1 - Rg) + Rg) / (S (1 - Rg) + 1)

    Parameters
    ----------
    over_dark : float or array
        Reflectance of the patch over the dark ground [1].
    dark, light : float or array
        Reflectances of the bare grounds [1].

    Returns
    -------
    float or array
        Reflectance over the light ground [1].

    Examples
    --------
    >>> print(f"{lightest_over(0.75, 0.0, 0.80):.3f}")
    0.875

    References
    ----------
    Kubelka (1948) for K/S = 0, see :func:`film_reflectance`.
    """
    return film_reflectance(_saturation_of(over_dark, dark, 1.0), 0.0, light)


def lightest_of_three(one: "Numeric", ground: "Numeric") -> "Numeric":
    """Reflectance that three coats can have at most, if one has so much.

    R of three times the layer without absorption, K/S = 0

    Parameters
    ----------
    one, ground : float or array
        Reflectance of one coat, and of the bare ground [1].

    Returns
    -------
    float or array
        Reflectance of three coats [1].

    Examples
    --------
    >>> print(f"{lightest_of_three(0.5, 0.0):.3f}")
    0.750

    References
    ----------
    Kubelka (1948) for K/S = 0, see :func:`film_reflectance`.
    """
    return film_reflectance(3.0 * _saturation_of(one, ground, 1.0), 0.0, ground)


def _of_three(one: "Numeric", ground: "Numeric", a: "Numeric") -> "Numeric":
    """Reflectance of three coats, if one coat has a reflectance and ``a`` were so."""
    t, bb = _saturation_of(one, ground, a), a**2 - 1.0
    t3 = t * (3.0 + bb * t**2) / (1.0 + 3.0 * bb * t**2)
    return (t3 * (1.0 - ground * a) + ground) / (t3 * (a - ground) + 1.0)


def _saturation_of(reflectance: "Numeric", ground: "Numeric", a: "Numeric") -> "Numeric":
    """The t = tanh(b S) / b of a layer, from its reflectance."""
    return (reflectance - ground) / (1.0 + reflectance * ground - a * (reflectance + ground))


def _saturation(scattered: "Numeric", a: "Numeric") -> "Numeric":
    """t = tanh(b S) / b, and S itself without absorption."""
    x = np.sqrt(a**2 - 1.0) * scattered
    small = x < _SMALL
    share = np.where(small, 1.0 - x**2 / 3.0, np.tanh(x) / np.where(small, 1.0, x))
    return scattered * share


def _scattered(t: "Numeric", a: "Numeric") -> "Numeric":
    """S of a layer from its t, the inverse of :func:`_saturation`; infinite beyond its reach."""
    x = np.sqrt(a**2 - 1.0) * t
    small, beyond = np.abs(x) < _SMALL, x >= 1.0
    safe = np.where(small | beyond, 0.5, x)
    share = np.where(small, 1.0 + x**2 / 3.0, np.arctanh(safe) / safe)
    return np.where(beyond | ~np.isfinite(t), np.inf, t * share)[()]
