"""Numbers to text, in one place: units, digits, decimal marks, money, dates."""

import datetime as dt
import math
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_skeleton, format_time
from babel.lists import format_list
from babel.numbers import format_currency, format_decimal

from waterkit.club.club_file import key_problem
from waterkit.club.schema import Club
from waterkit.errors import FieldError, InputError
from waterkit.pages.view import shapes
from waterkit.quantities import (
    AMOUNT_CONCENTRATION,
    CONDUCTIVITY,
    EQUIVALENTS,
    MASS_CONCENTRATION,
    REGISTER,
    Quantity,
)  # fmt: skip
from waterkit.units import convert

Display = Literal["metric", "us"]

UNKNOWN = shapes.UNKNOWN
NBSP = "\u00a0"
SIGNIFICANT = 3
QUARTER = dt.timedelta(minutes=15)
MINUTES = 60
"""Of an hour."""
_BY_SIZE = (CONDUCTIVITY, MASS_CONCENTRATION, EQUIVALENTS, AMOUNT_CONCENTRATION)
"""Quantities that span decades: three significant digits, however large they are."""
_SIGNS = {
    "1": "", "uS/cm": "µS/cm", "degC": "°C", "degF": "°F", "m2": "m²", "ft2": "ft²", "m3": "m³",
    "S cm2/eq": "S·cm²/eq", "L/m2": "L/m²", "US gal/ft2": "US gal/ft²", "kgr/ft3": "kgr/ft³",
    "g/m2": "g/m²", "oz/ft2": "oz/ft²", "m2/g": "m²/g", "mg/m3": "mg/m³",
    "%/degC": "%/°C", "month": "months", "d": "days",
}  # fmt: skip
_SINGULAR = {"months": "month", "days": "day", "seasons": "season", "working days": "working day"}


@dataclass(frozen=True, slots=True)
class Figures:
    """How one club reads its figures: metric or US units, a locale's marks, a currency.

    A moment tells its year where that is not the year of ``today``.
    """

    display: Display = "metric"
    locale: str = "en"
    currency: str = "EUR"
    today: dt.date | None = None

    def __post_init__(self) -> None:
        try:
            Locale.parse(self.locale, sep="-" if "-" in self.locale else "_")
        except (UnknownLocaleError, ValueError) as error:
            hint = "write a language, or a language and a country: en, en_CA, de_CH"
            raise FieldError(f"{self.locale!r} is not a known locale", hint, "locale") from error
        object.__setattr__(self, "locale", self.locale.replace("-", "_"))

    @classmethod
    def of(cls, club: Club, today: dt.date | None = None) -> "Figures":
        """The figures as a club set them; InputError where nobody knows its locale."""
        try:
            return cls(club.display, club.locale, club.currency, today)
        except FieldError as error:
            raise InputError([key_problem(club.folder, error)]) from error

    def unit(self, quantity: Quantity) -> str:
        """The unit in which a quantity is shown, as it is printed (``µS/cm``)."""
        return sign(self._spelling(quantity))

    def number(self, value: float | None, quantity: Quantity, decimals: int | None = None) -> str:
        """A value in core units as a number in the shown unit, without it (for a table)."""
        if (shown := self.shown(value, quantity)) is None:
            return UNKNOWN
        return self._decimal(
            shown, self._decimals(shown, quantity) if decimals is None else decimals
        )

    def text(self, value: float | None, quantity: Quantity, decimals: int | None = None) -> str:
        """A value in core units with its shown unit, which no line break parts from it."""
        return with_unit(self.number(value, quantity, decimals), self.unit(quantity))

    def fine(self, value: float | None, quantity: Quantity) -> str:
        """A small value as a number without its unit: one decimal more, three digits at most."""
        if (shown := self.shown(value, quantity)) is None:
            return UNKNOWN
        most = (quantity.us_decimals if self.display == "us" else quantity.decimals) + 1
        places = _places(float(f"{shown:.{SIGNIFICANT}g}"))
        return self._decimal(shown, max(min(most, places), 0))

    def about(self, value: float | None, quantity: Quantity) -> str:
        """A planned value with its unit, to three significant digits."""
        if (shown := self.shown(value, quantity)) is None:
            return UNKNOWN
        most = self._decimals(shown, quantity)
        number = self._decimal(shown, min(most, _places(shown)))
        return with_unit(number, self.unit(quantity))

    def shown(self, value: float | None, quantity: Quantity) -> float | None:
        """A value in core units in the shown unit; None for what is not known or not finite."""
        if value is None or not math.isfinite(value):
            return None
        return float(convert(float(value), quantity.unit, self._spelling(quantity)))

    def span(self, hours: float) -> str:
        """A short time in minutes, a longer one in hours."""
        minutes = max(1, round(hours * MINUTES))
        if minutes < 2 * MINUTES:
            return with_unit(self._decimal(minutes, 0), "min")
        return with_unit(self._decimal(hours, 1), "h")

    def plain(self, value: float | None) -> str:
        """A number without a quantity: a count, or what an item is counted in."""
        if value is None or not math.isfinite(value):
            return UNKNOWN
        return self._trimmed(float(value))

    def fixed(self, value: float, decimals: int) -> str:
        """A number without a quantity, with so many decimals."""
        return self._decimal(value, decimals)

    def given(self, value: float | None, unit: str) -> str:
        """A club's own figure in a core unit, with all the digits that it was given."""
        if value is None:
            return UNKNOWN
        quantity = _quantity_in(unit)
        if quantity is None:
            return with_unit(self._trimmed(value, 6), sign(unit))
        shown = self.shown(value, quantity)
        digits = 4 if self._spelling(quantity) == unit else SIGNIFICANT
        return with_unit(self._trimmed(shown or 0.0, digits), self.unit(quantity))

    def reckoned(self, value: float, unit: str) -> str:
        """A worked-out figure in a core unit: its quantity's decimals at most, or three digits."""
        quantity = _quantity_in(unit)
        if quantity is None:
            return with_unit(self.plain(value), sign(unit))
        shown = self.shown(value, quantity) or 0.0
        digits = SIGNIFICANT + max(self._decimals(shown, quantity) - _places(shown), 0)
        return with_unit(self._trimmed(shown, digits), self.unit(quantity))

    def money(self, amount: Decimal | None) -> str:
        """An amount in the club's currency, to the cent."""
        if amount is None:
            return UNKNOWN
        return format_currency(amount, self.currency, locale=self.locale)

    def cents(self, amount: Decimal | None) -> str:
        """An amount to the cent without its currency, for a column whose head names it."""
        if amount is None:
            return UNKNOWN
        return format_decimal(amount, "#,##0.00", locale=self.locale)

    def date(self, day: dt.date | None) -> str:
        """A day with its weekday, as the locale writes it."""
        return UNKNOWN if day is None else format_skeleton("yMMMEd", day, locale=self.locale)

    def brief(self, day: dt.date) -> str:
        """A day of this year without its weekday; the year where it is another one."""
        return self._day("MMMd", day)

    def weekday(self, day: dt.date) -> str:
        """A day of this year with its weekday; the year where it is another one."""
        return self._day("MMMEd", day)

    def _day(self, skeleton: str, day: dt.date) -> str:
        this_year = self.today is None or day.year == self.today.year
        told = format_skeleton(skeleton if this_year else f"y{skeleton}", day, locale=self.locale)
        return told.replace(" ", NBSP)

    def day(self, day: dt.date | None) -> str:
        """A day without its weekday, as the locale writes it; no line break parts it."""
        if day is None:
            return UNKNOWN
        return format_date(day, "medium", locale=self.locale).replace(" ", NBSP)

    def moment(self, moment: dt.datetime | None) -> str:
        """A day and a time of day, to the quarter of an hour, in the zone that the moment has."""
        if moment is None:
            return UNKNOWN
        quarters = round((moment.minute * 60 + moment.second) / QUARTER.total_seconds())
        moment = moment.replace(minute=0, second=0, microsecond=0) + quarters * QUARTER
        clock = format_time(moment, "short", tzinfo=moment.tzinfo, locale=self.locale)
        return f"{self.weekday(moment.date())}, {clock.replace(' ', NBSP)}"

    def month(self, month: str) -> str:
        """A month such as ``2027-10`` in words."""
        return format_skeleton("yMMMM", dt.date.fromisoformat(f"{month}-01"), locale=self.locale)

    def week(self, week: str) -> str:
        """The Monday on which an ISO week such as ``2027-W41`` begins."""
        return self.day(dt.date.fromisoformat(f"{week}-1"))

    def listed(self, words: list[str] | tuple[str, ...]) -> str:
        """Words in a row, joined as English does: ``a, b and c``."""
        return format_list(list(words), locale="en_GB") if words else UNKNOWN

    def _spelling(self, quantity: Quantity) -> str:
        return quantity.us if self.display == "us" else quantity.metric

    def _decimals(self, shown: float, quantity: Quantity) -> int:
        most = quantity.us_decimals if self.display == "us" else quantity.decimals
        return min(most, _places(shown)) if quantity in _BY_SIZE else most

    def _decimal(self, number: float, decimals: int) -> str:
        rounded = round(number, decimals) + 0.0
        pattern = "#,##0" + ("." + "0" * decimals if decimals else "")
        return _signed(format_decimal(rounded, pattern, locale=self.locale))

    def _trimmed(self, number: float, significant: int = SIGNIFICANT) -> str:
        places = max(_places(number, significant), 0)
        pattern = "#,##0" + ("." + "#" * places if places else "")
        return _signed(format_decimal(round(number, places) + 0.0, pattern, locale=self.locale))


def _quantity_in(unit: str) -> Quantity | None:
    """The first quantity of the register in a core unit; None for plain numbers and money."""
    return next((entry for entry in REGISTER if entry.unit == unit and unit != "1"), None)


def _places(number: float, significant: int = SIGNIFICANT) -> int:
    """Decimals that leave so many significant digits; below zero for large numbers."""
    return significant if number == 0 else significant - 1 - math.floor(math.log10(abs(number)))


def _signed(number: str) -> str:
    """A number with a minus as wide as a plus, as in the formulas."""
    return number.replace("-", "−")


def sign(spelling: str) -> str:
    """A unit's spelling as it is printed."""
    return _SIGNS.get(spelling, spelling)


def with_unit(number: str, unit: str) -> str:
    """A number and its unit with a space that does not break; nothing unknown gets a unit."""
    if not unit or number == UNKNOWN:
        return number
    if number == "1":
        unit = _SINGULAR.get(unit, unit)
    return f"{number}{NBSP}{unit.replace(' ', NBSP)}"
