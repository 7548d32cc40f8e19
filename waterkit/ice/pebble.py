"""Pebble and scraping: litres and millimetres of a day's play."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal

from waterkit.ice.freezing import ice_mm
from waterkit.quantities import DEPTH, PERCENT, SMALL_VOLUME

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

PlayKind = Literal["league", "bonspiel", "practice", "lesson"]


@dataclass(frozen=True, slots=True)
class PebbleRules:
    """What one draw and one scrape take; all defaults are common practice, no source.

    Parameters
    ----------
    league_l, bonspiel_l, practice_l, lesson_l : float
        Pebble water for one sheet and draw of that kind [L].
    before_scrape_l : float
        Pebble water put on one sheet before it is scraped [L].
    scrapes_per_week : float
        Scrapes of each sheet in a full week of play.
    removed_per_scrape_mm : float
        Ice that one scrape takes off [mm].
    sheet_use_percent : float
        Share of the sheets in use in a draw that does not say how many [%].
    waste_percent : float
        Water left in cans and hoses, on top of what reaches the ice [%].
    relevel_l : float
        Water for one sheet in a re-levelling flood [L].
    """

    league_l: Annotated[float, SMALL_VOLUME] = 3.0
    bonspiel_l: Annotated[float, SMALL_VOLUME] = 5.0
    practice_l: Annotated[float, SMALL_VOLUME] = 1.5
    lesson_l: Annotated[float, SMALL_VOLUME] = 3.0
    before_scrape_l: Annotated[float, SMALL_VOLUME] = 5.0
    scrapes_per_week: float = 6.0
    removed_per_scrape_mm: Annotated[float, DEPTH] = 0.05
    sheet_use_percent: Annotated[float, PERCENT] = 85.0
    waste_percent: Annotated[float, PERCENT] = 15.0
    relevel_l: Annotated[float, SMALL_VOLUME] = 450.0


def draw_litres(kind: PlayKind, rules: PebbleRules) -> float:
    """Pebble water of one sheet in one draw [L]."""
    litres: dict[PlayKind, float] = {
        "league": rules.league_l,
        "bonspiel": rules.bonspiel_l,
        "practice": rules.practice_l,
        "lesson": rules.lesson_l,
    }
    return litres[kind]


def sheets_in_use(sheets: "Numeric", rules: PebbleRules) -> "Numeric":
    """Sheets in use, on average, in a draw that does not say how many.

    n_used = n share / 100

    Parameters
    ----------
    sheets : float or array
        Number of sheets [1].
    rules : PebbleRules
        What one draw and one scrape take.

    Returns
    -------
    float or array
        Number of sheets in use, not rounded [1].

    References
    ----------
    Common practice, no source.
    """
    return sheets * rules.sheet_use_percent / 100.0


def pebble_litres(
    draws: "Numeric", sheets: "Numeric", kind: PlayKind, rules: PebbleRules
) -> "Numeric":
    """Pebble water that reaches the ice in draws of one kind.

    V = draws x sheets x litres of the kind

    Parameters
    ----------
    draws : float or array
        Number of draws [1].
    sheets : float or array
        Number of sheets in use in each [1].
    kind : str
        Kind of play.
    rules : PebbleRules
        What one draw and one scrape take.

    Returns
    -------
    float or array
        Water on the ice, without waste [L].

    Examples
    --------
    >>> pebble_litres(2, 3, "league", PebbleRules())
    18.0

    References
    ----------
    Common practice, no source.
    """
    return draws * sheets * draw_litres(kind, rules)


def scrape_litres(scrapes: "Numeric", sheets: "Numeric", rules: PebbleRules) -> "Numeric":
    """Pebble water put on before scraping.

    V = scrapes x sheets x litres before a scrape

    Parameters
    ----------
    scrapes : float or array
        Number of scrapes of each sheet [1].
    sheets : float or array
        Number of sheets scraped [1].
    rules : PebbleRules
        What one draw and one scrape take.

    Returns
    -------
    float or array
        Water on the ice, without waste [L].

    References
    ----------
    Common practice, no source.
    """
    return scrapes * sheets * rules.before_scrape_l


def relevel_litres(floods: "Numeric", sheets: "Numeric", rules: PebbleRules) -> "Numeric":
    """Water of re-levelling floods.

    V = floods x sheets x litres of a flood

    Parameters
    ----------
    floods : float or array
        Number of floods of each sheet [1].
    sheets : float or array
        Number of sheets [1].
    rules : PebbleRules
        What one draw, one scrape and one flood take.

    Returns
    -------
    float or array
        Water on the ice [L].

    References
    ----------
    Common practice, no source.
    """
    return floods * sheets * rules.relevel_l


def drawn_litres(on_ice_l: "Numeric", rules: PebbleRules) -> "Numeric":
    """Water drawn for pebble: what reaches the ice and what stays in cans and hoses.

    V = V_ice (1 + waste / 100)

    Parameters
    ----------
    on_ice_l : float or array
        Water that reaches the ice [L].
    rules : PebbleRules
        Holds the waste.

    Returns
    -------
    float or array
        Water drawn [L].

    References
    ----------
    Common practice, no source.
    """
    return on_ice_l * (1.0 + rules.waste_percent / 100.0)


def pebble_ice_mm(litres_l: "Numeric", area_m2: "Numeric") -> "Numeric":
    """Thickness that pebble adds, spread evenly.

    d = V / A, frozen

    Parameters
    ----------
    litres_l : float or array
        Water that reaches the ice [L].
    area_m2 : float or array
        Area that it falls on, above 0 [m2].

    Returns
    -------
    float or array
        Thickness of ice [mm].

    Notes
    -----
    A mean: pebble lies between the back lines, scraping spreads it no further.

    Examples
    --------
    >>> round(pebble_ice_mm(3.0, 217.2), 3)
    0.015

    References
    ----------
    Volume balance; for freezing see :func:`waterkit.ice.freezing.ice_mm`.
    """
    return ice_mm(litres_l / area_m2)


def scraped_mm(scrapes: "Numeric", rules: PebbleRules) -> "Numeric":
    """Thickness that scraping takes off.

    d = scrapes x thickness of one

    Parameters
    ----------
    scrapes : float or array
        Number of scrapes of the sheet [1].
    rules : PebbleRules
        Holds what one scrape removes.

    Returns
    -------
    float or array
        Thickness of ice [mm].

    References
    ----------
    Common practice, no source.
    """
    return scrapes * rules.removed_per_scrape_mm
