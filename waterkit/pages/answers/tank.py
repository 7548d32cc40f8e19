"""The answer at the tank: the verdict, the water against its limit, why, and what to do next.

``reasons`` is here the list of what led to the verdict; why a figure is null stands in
``reasons_for_null``, under its key.
"""

from waterkit.pages.answers.values import Json, number, reasons_for_null
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.verdict import VerdictWords, verdict_words
from waterkit.plan.at_tank import AtTank

NO_METER = "it is not known which meter this was, or how it corrects for temperature"
NOT_KNOWN = {
    "litres_left": "the folder tells no vessel in the lead, or no water to reckon its litres with",
    "draws_left": "the folder tells no vessel in the lead, or no water to reckon its litres with",
}


def tank(found: AtTank) -> Json:
    """The answer to one reading, ready for ``json.dumps``."""
    words = verdict_words(found, Figures.of(found.club))
    answer = {**_verdict(found, words), **_figures(found)}
    of_meter = {key: NO_METER for key, value in answer.items() if value is None}
    return {
        "club": found.club.name,
        "as_of": found.lately.day.isoformat(),
        **answer,
        "findings": _findings(found, words),
        "cautions": list(words.cautions),
        "reasons_for_null": reasons_for_null(answer, {**of_meter, **NOT_KNOWN}),
        "problems": [problem.row for problem in found.club.problems],
    }


def _verdict(found: AtTank, words: VerdictWords) -> Json:
    decision = found.decision
    return {
        "verdict": decision.verdict,
        "answer": words.answer,
        "point": found.asked.point,
        "use": decision.use,
        "meter": found.meter.name if found.meter else None,
        "reasons": list(words.reasons),
        "reason_keys": [note.key for note in decision.reasons],
        "next_steps": list(words.steps),
        "next_step_keys": [note.key for note in decision.steps],
        "release": found.club.people.release,
    }


def _figures(found: AtTank) -> Json:
    good, act = found.limit.good_us_cm, found.limit.act_us_cm
    good_here = found.limit_us_cm(good)
    return {
        "temperature_c": number(found.asked.temperature),
        "conductivity_us_cm": number(found.actual_us_cm),
        "limit_us_cm": number(good_here),
        "act_us_cm": number(found.limit_us_cm(act)),
        "conductivity_25c_us_cm": number(found.actual_25_us_cm),
        "limit_25c_us_cm": number(good),
        "act_25c_us_cm": number(act),
        "air_equilibrium_us_cm": number(found.air_us_cm),
        "limit_as_your_meter_shows_us_cm": number(found.shown_us_cm(good_here)),
        "air_as_your_meter_shows_us_cm": number(found.shown_us_cm(found.air_us_cm)),
        "litres_left": number(found.litres_left),
        "draws_left": found.draws_left,
        **_spread(found),
    }


def _spread(found: AtTank) -> Json:
    """Litres and draws that are left in 1 and in 9 of 10 cases, once something was learned."""
    resin = found.resin
    if resin is None or resin.low_l is None:
        return {}
    ends = {"low": resin.low_l, "high": resin.high_l}
    litres = {f"litres_left_{end}": number(value) for end, value in ends.items()}
    return litres | {f"draws_left_{end}": found.draws_of(value) for end, value in ends.items()}


def _findings(found: AtTank, words: VerdictWords) -> list[Json]:
    """What somebody must act on: nothing where the water may be used."""
    if found.decision.verdict == "fill":
        return []
    return [{"key": found.decision.reasons[0].key, "text": words.answer}]
