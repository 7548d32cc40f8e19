# ruff: noqa: E501 - a sentence stands on one line
"""The verdict at the tank in words: one sentence, its reasons, what to do next.

The sentences are plain templates, so that the phone card fills the same ones. Values named
``*_shown`` are what the meter shows, with its unit; ``*_l`` are litres.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from waterkit.pages.view.cautions import RULE, Place, cautions_at
from waterkit.pages.view.figures import Figures, sign, with_unit
from waterkit.pages.view.shapes import Fact
from waterkit.plan.at_tank import AtTank
from waterkit.quantities import CONDUCTIVITY, TEMPERATURE, VOLUME
from waterkit.tank.baked import SCALE, MeterRow
from waterkit.water.limits import Use
from waterkit.working import Note

TO_FILL = ("Fill the tank", "fill the tank")
JOBS: Mapping[Use, tuple[str, str]] = {
    "mist": ("Spray the mist", "spray the mist"),
    "flood": ("Start the flood", "start the flood"),
    "white": ("Mix the white", "mix the white"),
    "seal": ("Spray the seal coat", "spray the seal coat"),
    "pebble": ("Fill the pebble can", "fill the pebble can"),
}
"""Each job as it begins a sentence, and inside one."""
ANSWERS = {
    "fill": "{Job}: {meter} shows {shown}, {use} water is good up to {good}.",
    "hold": "Hold, do not {job} yet: {meter} shows {shown}, {use} water is good up to {good}.",
    "do not fill": "Do not {job}: {meter} shows {shown}, {use} water must not show more than {act}.",
    "hold, meter not known": "Hold, do not {job} yet: {meter} shows {shown}.",
    "do not fill, meter not known": "Do not {job}: {meter} shows {shown}.",
}
"""What a meter would show at a limit is told only of one that is known."""

# fmt: off
REASONS: dict[str, str] = {
    "seen": "The water is not fit: {seen}. A meter does not see that.",
    "above-feed": "It reads more than the supply, which would show {feed_shown}: reject may run here instead of treated water.",
    "like-feed": "It reads like the supply, which would show {feed_shown}: the water goes past the treatment, or it is the wrong hose.",
    "above-act": "It is above the limit beyond which this water must not be used, {act_shown}.",
    "reads-zero": "A meter that shows 0 tells nothing: its cell may be dry, or its last digit too coarse.",
    "below-pure": "Nothing conducts less than pure water, which would show {pure_shown} at this temperature: the reading cannot be right.",
    "temperature-implausible": "Water of this temperature cannot be judged: it freezes at 0 °C, and above 60 °C nothing here holds.",
    "compensation-unknown": "It is not known which meter this was, or how it corrects for temperature, so its figure can mean good water and bad.",
    "compensation-unusable": "The meter's correction is not made for water of this temperature.",
    "wrong-unit": "This meter shows {unit}, as club.toml tells: the figure was read in another unit.",
    "unit-thousandfold": "In mS/cm it would be the supply, {feed_shown}; in µS/cm it is finer than the meter shows, or less than air alone does in an open tank.",
    "maybe-thousandfold": "If the display says mS/cm, this is the supply, {feed_shown}.",
    "frozen": "The meter has shown the same figure at every point lately: it may be stuck.",
    "fell-by-itself": "It showed {earlier_shown} here lately, and no vessel was changed: water does not become so much better by itself.",
    "unsteady": "The reading jumps about.",
    "rinsing": "It is still being rinsed.",
    "rinsing-litres": "As far as the log tells, a fresh vessel is still being rinsed: it wants {litres} more to the drain.",
    "standard-expired": "The standard that the meter is checked with is too old.",
    "standard-overdue": "The meter was not checked with its standard for more than a month.",
    "corrected-twice": "In its standard the meter read as if the figure were corrected for temperature twice: good water looks bad.",
    "not-corrected": "In its standard the meter read as if it did not correct for temperature, though club.toml says that it does: bad water looks good.",
    "standard-off": "In its standard the meter was off by more than a tenth.",
    "never-checked": "The log holds no check of the meter with its standard.",
    "meter-drifts": "The meter drifts away from its standard, or from the club's other meters.",
    "log-unread": "The log holds an error and cannot be read: checks of the meter, rinsing and litres are not known.",
    "resin-spent": "By its litres the vessel in the lead is spent: it is to be changed before this water is used.",
    "feed-odd": "The supply was read last as {feed_shown}, its sample tells something more than three times off: the sample counts.",
    "resin-short": "The resin has {left_l} left, and this takes {needed_l}: a quarter more should be left, so that it does not end on the way.",
    "air-or-resin": "It is above good by no more than air alone may bring, {air_shown}: whether it is air or the resin, only the DI outlet tells.",
    "above-good": "It is above good, {good_shown}, and not yet above the limit beyond which it must not be used.",
    "air-explains": "It is above good, {good_shown}, but the DI outlet was good: the rest is air, which by itself shows {air_shown}. That is no fault.",
    "within-good": "It is within good, {good_shown}.",
    "air-alone": "Air alone shows up to {air_shown} in water of this temperature: all of it may be air. That is no fault of the resin.",
    "more-than-air": "It is more than air alone shows, {air_shown}: the resin may begin to wear.",
    "outlet-above-air": "At the outlet, before any air has reached it, it is more than air would bring, {air_shown}: the resin may begin to wear.",
    "below-outlet": "It is less than the DI outlet, {outlet_shown}: carbon dioxide has left the water. That is no fault.",
    "above-outlet": "It is more than the DI outlet, {outlet_shown}, and air together: something in tank or hose gets into the water.",
    "change-mark": "It has reached the mark at which the vessel is changed, {mark_shown}.",
    "above-expected": "It is more than was expected after so many litres, {expected_shown}: the vessel wears faster than planned.",
    "limit-below-air": "The club's limit, {good_shown}, is less than air alone shows, {air_shown}: no water that stands open keeps it.",
    "coarse-meter": "The meter's last digit is coarse for this limit.",
    "wants-in-tank": "It wants {wanted_l} in the tank above what the pump leaves behind.",
    "more-than-tank": "It wants {wanted_l}, and the tank gives {holds_l}.",
}
STEPS: dict[str, str] = {
    "keep-out": "Keep this water out of the tank and off the ice, and tell the {release}.",
    "look-at-tank": "Look into tank, strainer and hose: film, flakes, a residue, a container that held something else.",
    "look-at-hoses": "Shut the valve and follow every hose and valve from the supply to here. Drinking water stays behind its air gap or backflow preventer.",
    "look-at-unit": "Look at the unit and the decimal point on the display, and type both again.",
    "read-again": "Rinse the cell three times with this water, wait until the figure stands still, and read again.",
    "look-at-cell": "Look whether the cell is under water, clean and free of bubbles, and read again.",
    "finer-meter": "Use a meter that shows tenths of 1 µS/cm.",
    "see-the-meter": "Hold the meter's manual beside [[meter]] in club.toml: how it corrects, to which temperature, and whether somebody corrects its figures by hand too.",
    "find-compensation": "Find out which meter it was and how it corrects (its manual), and write it under [[meter]] in club.toml.",
    "check-with-standard": "Check the meter with its standard, and log it: 'waterkit log reading --point standard'. Do not pour the standard back.",
    "open-a-new-standard": "Open a fresh standard, and write the day on the bottle and under [[meter]] in club.toml.",
    "rinse-on": "Let it run to the drain until the figure stands still.",
    "log-the-total": "Log what the water meter behind the resin shows: with '--log --total \"4900 L\"', or on the phone beside the reading.",
    "mend-the-log": "Mend the rows that 'waterkit check' names, then ask again.",
    "read-the-feed": "Read the supply again, and log it: 'waterkit log reading --point feed'.",
    "change-vessel": "Change the vessel in the lead first. Let the pressure off; what leaves a spent bed can be acid or caustic.",
    "read-outlet": "Read the DI outlet while it runs, before air reaches the water, and log it.",
    "ask-for-release": "Only the {release} may release this hold; write down who did, and why.",
    "count-litres": "Hold the litres through the resin against its rating: 'waterkit resin'.",
    "raise-limit": "Set a limit under [limits] that water in an open tank can keep.",
    "flush-hose": "Flush the hose to the drain until its end reads like the tank.",
    "fill-meanwhile": "Make the rest while you work, or split the work.",
}
SEEN_WORDS = {
    "smell": "it smells", "film": "it has a film", "colour": "it has a colour",
    "cloudy": "it is cloudy", "flakes": "there are flakes in it",
}
FACTS = {
    "good": ("Good up to", "as the meter shows it"),
    "act": ("Must not be used above", ""),
    "air": ("Air alone", "no fault of the resin"),
}
"""What is told of a limit or of air, as the meter shows it, and a remark."""
# fmt: on
_PLACES: Mapping[Use, tuple[Place, ...]] = {
    "mist": ("flooding",),
    "flood": ("flooding",),
    "white": ("powder", "mixing"),
    "seal": ("flooding",),
    "pebble": ("pebbling",),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class VerdictWords:
    """A verdict in words."""

    answer: str
    reasons: tuple[str, ...]
    steps: tuple[str, ...]
    facts: tuple[Fact, ...]
    cautions: tuple[str, ...]


def verdict_words(found: AtTank, figures: Figures) -> VerdictWords:
    """One sentence, its reasons, what to do next, the figures, and the cautions of the job."""
    decision = found.decision
    return VerdictWords(
        _answer(found, figures),
        tuple(_reason(note, found, figures) for note in decision.reasons),
        tuple(STEPS[note.key].format(release=found.club.people.release) for note in decision.steps),
        _facts(found, figures),
        _cautions(found),
    )


def _answer(found: AtTank, figures: Figures) -> str:
    decision, asked = found.decision, found.asked
    job = TO_FILL if asked.point == "DI outlet" else JOBS[asked.use]
    shown = with_unit(figures.given(asked.reading, "1"), sign(asked.unit))
    known = found.table.meters[found.said.meter].known
    key: str = decision.verdict if known else f"{decision.verdict}, meter not known"
    return ANSWERS[key].format(
        Job=job[0], job=job[1], meter=f"the {found.meter.name}" if found.meter else "the meter",
        shown=f"{shown} at {figures.text(asked.temperature, TEMPERATURE)}", use=decision.use,
        good=_shown(decision.good_shown, found, figures),
        act=_shown(decision.act_shown, found, figures),
    )  # fmt: skip


def _reason(note: Note, found: AtTank, figures: Figures) -> str:
    words = {name: _value(name, value, found, figures) for name, value in note.values.items()}
    key = "rinsing-litres" if note.key == "rinsing" and note.values["litres"] else note.key
    return REASONS[key].format(**words)


def _value(name: str, value: object, found: AtTank, figures: Figures) -> str:
    if name.endswith("_shown") and isinstance(value, int):
        return _shown(value, found, figures)
    if isinstance(value, int):
        return figures.text(value, VOLUME)
    if isinstance(value, tuple):
        return figures.listed([SEEN_WORDS[word] for word in value])
    return sign(str(value))


def _shown(value: int, found: AtTank, figures: Figures) -> str:
    meter = found.table.meters[found.said.meter]
    return with_unit(shown_number(value, meter, figures), sign(meter.unit))


def shown_number(value: int, meter: MeterRow, figures: Figures) -> str:
    """What a meter would show, rounded down to the digits that it has."""
    digits = digits_of(meter.resolution, value)
    step = SCALE // 10**digits
    if value < step:
        return f"less than {figures.number(step / SCALE, CONDUCTIVITY, digits)}"
    return figures.number(value // step * step / SCALE, CONDUCTIVITY, digits)


def digits_of(resolution: int, value: int) -> int:
    """Decimals in which a value is shown: those of the meter; if unknown, two for less than 1."""
    if not resolution:
        return 2 if value < SCALE else 1
    return 0 if resolution >= SCALE else 1 if resolution >= SCALE // 10 else 2


def _facts(found: AtTank, figures: Figures) -> tuple[Fact, ...]:
    decision = found.decision
    shown = {"good": decision.good_shown, "act": decision.act_shown, "air": decision.air_shown}
    facts = [
        Fact(label, _shown(shown[name], found, figures), remark)
        for name, (label, remark) in FACTS.items()
    ]
    return (*facts, *resin_left(found, figures))


def resin_left(found: AtTank, figures: Figures) -> tuple[Fact, ...]:
    """What the resin still treats, where that is known."""
    if found.litres_left is None:
        return ()
    draws, resin = found.draws_left, found.resin
    told = [] if draws is None else [f"pebble for {draws} league draws"]
    if resin is not None and resin.low_l is not None and resin.high_l is not None:
        low, high = figures.number(resin.low_l, VOLUME), figures.text(resin.high_l, VOLUME)
        told.append(f"in 8 of 10 cases {low} to {high}")
        if draws is not None:
            few, many = found.draws_of(resin.low_l), found.draws_of(resin.high_l)
            told[-1] += f", {few} to {many} draws"
    return (Fact("Resin left", figures.text(found.litres_left, VOLUME), "; ".join(told)),)


def _cautions(found: AtTank) -> tuple[str, ...]:
    use = None if found.asked.point == "DI outlet" else found.asked.use
    changed = any(note.key == "change-vessel" for note in found.decision.steps)
    return cautions_of(use, changed)


def cautions_of(use: Use | None, changed: bool) -> tuple[str, ...]:
    """What to remind people of at a job, None for filling the tank, and where a vessel changes."""
    places: tuple[Place, ...] = ("resin",) if use is None else _PLACES[use]
    return (*cautions_at("treatment", *places, *(("changeout",) if changed else ())), RULE)
