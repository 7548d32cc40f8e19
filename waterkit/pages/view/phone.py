"""What the tank card carries for the phone: numbers, sentences and marks, ready for JSON.

Everything is the command's own: the page's script only ports the arithmetic and the tests.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from waterkit.club.schema import Club
from waterkit.pages.view.figures import NBSP, Figures, sign
from waterkit.pages.view.verdict import (
    ANSWERS,
    FACTS,
    JOBS,
    REASONS,
    SEEN_WORDS,
    STEPS,
    TO_FILL,
    cautions_of,
    resin_left,
)
from waterkit.plan.asking import HIGHEST_PPM
from waterkit.plan.carried import OLD_AFTER, Carried
from waterkit.plan.lately import FROZEN, LATELY
from waterkit.quantities import CONDUCTIVITY, TEMPERATURE, VOLUME, Quantity
from waterkit.tank.beliefs import AGREES, CHECK_HOLDS, TELLING
from waterkit.tank.case import MORE, REFUSED
from waterkit.tank.rules import (
    ABOVE_FEED,
    FELL,
    LIKE_FEED,
    RESIN_RESERVE,
    RULES,
    WARMEST_BELIEVED,
)
from waterkit.units import to_core
from waterkit.water.limits import Use

Json = dict[str, Any]

FAHRENHEIT = "degF"
EXAMPLE = 1.3
OF_THE_READING = ("outlet_25", "earlier_25", "frozen_shown", "standard")
"""What is known of a point or a meter: the phone finds it among readings and beliefs."""


def phone(carried: Carried, figures: Figures) -> Json:
    """All that the card's script works with."""
    return {
        "club": carried.club.name,
        "made": carried.as_of.isoformat(),
        "madeText": figures.date(carried.as_of),
        "oldAfter": OLD_AFTER.days,
        "lately": int(LATELY.total_seconds() * 1000),
        "frozen": FROZEN,
        **_judged_by(carried),
        **_known(carried),
        **_written(figures),
        "words": _words(carried, figures),
    }


@dataclass(frozen=True, slots=True)
class Asking:
    """What the form of the card lets one choose from: values and what stands beside them."""

    jobs: Mapping[str, str]
    points: Mapping[str, str]
    meters: Mapping[str, str]
    units: Mapping[str, str]
    ticks: Mapping[str, str]
    temperature: str
    volume: str
    example: str
    rinse: str
    checks: tuple[str, ...]


OFTEN_FIRST: tuple[Use, ...] = ("flood", "pebble", "mist", "white", "seal")
NOT_KNOWN = "another meter, or nobody knows which"
POINTS = {"tank": "in the tank", "hose end": "at the hose end"}
TICKS = {**SEEN_WORDS, "unsteady": "the figure jumps about", "rinsing": "it is still being rinsed"}


def asking(club: Club, carried: Json) -> Asking:
    """The choices of the form; meters only where there is a choice."""
    meters = {meter.name: f"the {meter.name}" for meter in club.meters}
    rinse, volume = carried["known"]["rinse_l"], carried["volume"]
    litres = f"{round(rinse * volume['factor'])}{NBSP}{volume['unit']}"
    return Asking(
        {"fill": TO_FILL[0], **{use: JOBS[use][0] for use in OFTEN_FIRST}},
        POINTS,
        {**meters, "": NOT_KNOWN} if len(meters) > 1 else {},
        carried["signs"],
        TICKS,
        carried["temperature"]["unit"],
        volume["unit"],
        carried["example"],
        litres if rinse else "",
        tuple(meters),
    )


def _judged_by(carried: Carried) -> Json:
    """The table with the bounds of the rules, and the rules in their order."""
    bounds = {
        "more": MORE, "likeFeed": LIKE_FEED, "aboveFeed": ABOVE_FEED, "fell": FELL,
        "resin": RESIN_RESERVE, "warmestBelieved": WARMEST_BELIEVED,
    }  # fmt: skip
    return {
        "table": {**carried.table.row, "bounds": bounds, "refused": REFUSED},
        "rules": [
            {"key": rule.key, "verdict": rule.verdict, "steps": rule.steps} for rule in RULES
        ],
    }


def _known(carried: Carried) -> Json:
    known = asdict(carried.known)
    standards = {meter.name: meter.standard_us_cm for meter in carried.club.meters}
    return {
        "known": {name: value for name, value in known.items() if name not in OF_THE_READING},
        "beliefs": {
            name: {
                "standard_until": _day(belief.standard_until),
                "checked_until": _day(belief.checked_until),
                "told": belief.told,
                "standard_us_cm": standards[name],
            }
            for name, belief in carried.beliefs.items()
        },
        "check": {"agrees": AGREES, "telling": TELLING, "holds": CHECK_HOLDS.days},
        "readings": [{**asdict(one), "time": one.time.isoformat()} for one in carried.readings],
        "changed": _day(carried.changed),
        "unnamed": carried.unnamed,
    }


def _day(day: Any) -> str | None:
    return None if day is None else day.isoformat()


def _written(figures: Figures) -> Json:
    """How numbers are written and read."""
    us = figures.display == "us"
    return {
        "marks": {
            "decimal": figures.fixed(0.5, 1)[1:-1],
            "group": figures.fixed(1000.0, 0)[1:-3],
            "minus": figures.fixed(-1.0, 0)[:-1],
        },
        "example": figures.fixed(EXAMPLE, 1),
        "signs": {"uS/cm": sign("uS/cm"), "ppm": sign("ppm")},
        "volume": {
            "factor": figures.shown(1.0, VOLUME),
            "litres": float(to_core(1.0, VOLUME.us if us else VOLUME.metric, VOLUME)),
            "unit": figures.unit(VOLUME).replace(" ", NBSP),
            "decimals": VOLUME.us_decimals if us else VOLUME.decimals,
        },
        "temperature": {
            "fahrenheit": us and TEMPERATURE.us == FAHRENHEIT,
            "unit": figures.unit(TEMPERATURE),
            "decimals": TEMPERATURE.us_decimals if us else TEMPERATURE.decimals,
        },
        "ranges": {
            "uS/cm": _range(CONDUCTIVITY, figures),
            "ppm": {"low": 0, "high": HIGHEST_PPM, "unit": sign("ppm")},
            "temperature": _range(TEMPERATURE, figures),
            "litres": _range(VOLUME, figures),
            "total": _range(VOLUME, figures),
        },
    }


def _range(quantity: Quantity, figures: Figures) -> Json:
    low, high = (figures.shown(bound, quantity) for bound in (quantity.low, quantity.high))
    return {"low": low, "high": high, "unit": figures.unit(quantity)}


ON_PHONE = {
    "check-with-standard": "Check the meter with its standard, and keep the check on this phone"
    " (below, 'Check a meter'). Do not pour the standard back.",
    "see-the-meter": "Hold the meter's manual beside what the club wrote down: how it corrects, to"
    " which temperature, and whether somebody corrects its figures by hand too.",
    "open-a-new-standard": "Open a fresh standard, write the day on the bottle, and tell whoever"
    " keeps the folder: the card has to be made anew.",
    "count-litres": "Ask whoever keeps the folder to hold the litres through the resin against"
    " its rating.",
}
"""Steps that a phone words without a command."""


def _cautions() -> Json:
    """Each caution once, and which a job has, without and with a change of the vessel."""
    jobs: dict[str, Use | None] = {"fill": None}
    jobs.update({use: use for use in OFTEN_FIRST})
    told = {job: [cautions_of(use, changed) for changed in (False, True)]
            for job, use in jobs.items()}  # fmt: skip
    texts = list(dict.fromkeys(text for both in told.values() for one in both for text in one))
    places = {job: [[texts.index(text) for text in one] for one in both]
              for job, both in told.items()}  # fmt: skip
    return {"texts": texts, "of": places}


def _words(carried: Carried, figures: Figures) -> Json:
    release = carried.club.people.release
    day = f"as of {figures.date(carried.as_of)}"
    return {
        "answers": ANSWERS,
        "jobs": JOBS,
        "toFill": TO_FILL,
        "reasons": REASONS,
        "steps": {key: text.format(release=release) for key, text in STEPS.items()},
        "onPhone": {key: text.format(release=release) for key, text in ON_PHONE.items()},
        "seen": SEEN_WORDS,
        "facts": [(name, *words) for name, words in FACTS.items()],
        "cautions": _cautions(),
        "left": [
            {"label": fact.label, "text": fact.text,
             "remark": ", ".join(filter(None, (fact.remark, day)))}
            for fact in resin_left(carried.at_tank, figures)
        ],
    }  # fmt: skip
