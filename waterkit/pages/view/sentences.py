# ruff: noqa: E501 - a sentence stands on one line
"""Notes in words: one table of sentences, the same for page, terminal and JSON.

In a sentence ``{litres:VOLUME}`` stands for a note's value ``litres`` as a quantity of the register;
``:day`` is a date, ``:money`` an amount, ``:ion`` an analyte's English name, ``:mark`` a mark in a
resin's run, ``:words`` several words, ``:range`` two ends of a count, ``:packs`` so many packs of a
size; without a mark it is a plain number or word.
"""

import datetime as dt
from collections.abc import Callable, Iterable
from decimal import Decimal
from string import Formatter
from typing import Any

from waterkit import quantities
from waterkit.pages.view.figures import Figures, sign, with_unit
from waterkit.quantities import CONDUCTIVITY, MASS_CONCENTRATION, PERCENT
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.units import SPELLINGS
from waterkit.water.ions import SPECIES
from waterkit.working import Note

# fmt: off
SENTENCES: dict[str, str] = {
    # the supply
    "sample-after-the-day": "No sample of the supply is as old as the day of this plan; the earliest, {sample}, stands in.",
    "below-detection": "{analyte:ion}: below detection ({limit} {unit}); half of the limit is counted.",
    "conductivity-reference-assumed": "The sheet does not say at which temperature its conductivity holds; {reference_c:TEMPERATURE} is assumed.",
    "conductivity-turned-to-25-degC": "Conductivity is told at {reference_c:TEMPERATURE}; times {factor} it holds at 25 °C (ISO 7888, natural water).",
    "alkalinity-as-acid-capacity": "Alkalinity in mmol/L without a basis is read as acid capacity: {mmol_l:AMOUNT_CONCENTRATION} are as many meq/L.",
    "hardness-not-measured": "The sample tells no hardness and not both calcium and magnesium: what is not told counts as none.",
    "hardness-split": "Calcium and magnesium were not measured: a hardness of {hardness_mg_l:MASS_CONCENTRATION} as CaCO₃ is split {ratio} to 1, as is common.",
    "more-than-hardness": "{analyte:ion} alone is more than the hardness, {hardness_mg_l:MASS_CONCENTRATION} as CaCO₃, allows for: {others:ions} counts as none. One of the two is wrong.",
    "rest-of-hardness": "{analyte:ion} was not measured: the rest of the hardness is taken for it, {mmol_l:AMOUNT_CONCENTRATION}.",
    "by-charge-difference": "{analyte:ion} was not measured: {meq_l:EQUIVALENTS} make the charges balance.",
    "taken-as-none": "Not measured and taken as none: {analytes:ions}.",
    "silica-assumed": "Silica was not measured: {mg_l:MASS_CONCENTRATION} as SiO₂ is assumed. It loads the resin; have it measured.",
    "pH-assumed": "pH was not measured: {ph:PH} is assumed. It decides how much carbon dioxide loads the resin; measure it at the tap.",
    "pH-temperature-assumed": "The sheet does not say at which temperature pH was read: that of the supply, {temperature_c:TEMPERATURE}, is assumed. A laboratory reads it at 20 to 25 °C, where the same pH means less carbon dioxide.",
    "acid-water": "pH {ph:PH} lies below the end point of a titration, so the sheet's alkalinity says nothing: {meq_l:EQUIVALENTS} of mineral acid is taken from pH, and {co2_mg_l:MASS_CONCENTRATION} of carbon dioxide is assumed. Have carbon dioxide measured at the tap.",
    "acid-water-with-co2": "pH {ph:PH} lies below the end point of a titration, so the sheet's alkalinity says nothing: {meq_l:EQUIVALENTS} of mineral acid is taken from pH, beside the {co2_mg_l:MASS_CONCENTRATION} of carbon dioxide that were measured.",
    "pH-from-carbon-dioxide": "pH was not measured: {ph:PH} follows from alkalinity and carbon dioxide.",
    "range-told": "{analyte:ion}: the sheet tells a range, {range}; its middle is taken.",
    "conductivity-from-dissolved-solids": "Conductivity was not measured: dissolved solids, {mg_l:MASS_CONCENTRATION}, divided by {ratio} stand in for it, {us_cm:CONDUCTIVITY}. Measure it: it takes a minute.",
    "composition-from-conductivity": "Hardness was not measured: a common hard water makes up the conductivity, {us_cm:CONDUCTIVITY}, with {meq_l:EQUIVALENTS} of each charge. Have a whole analysis made.",
    "salt-from-conductivity": "Not measured, and taken to make up what is missing of the conductivity, {us_cm:CONDUCTIVITY}: {analytes:ions}, {meq_l:EQUIVALENTS} of each charge.",
    "hard-to-believe": "Hard to believe: {message}; {cause}.",
    "fouling-limit-failed": "{analyte:ion}: {value} {unit} is more than the {limit} {unit} that membrane and resin should meet. Have it taken out before them; their data sheets decide.",
    "test-worth-paying-for": "{analyte:ion} is the missing test that is most worth paying for: it may change the litres of a vessel by {low_percent:RELATIVE} to {high_percent:RELATIVE}.",
    "no-test-worth-paying-for": "No missing test is worth paying for: {analyte:ion}, the one that matters most, changes the litres of a vessel by {low_percent:RELATIVE} to {high_percent:RELATIVE} at most.",
    "sample-old": "The newest sample, {sample}, is {months} months old: have the supply tested again.",
    "samples-disagree": "Samples {older} and {newer} differ: with the newer one the load on the resin changes by {percent:RELATIVE}. Ask whether the source changed.",
    "samples-differ": "Samples {older} and {newer} load the resin alike but differ in {analytes:ions}: {then_mg_l:MASS_CONCENTRATION}, then {now_mg_l:MASS_CONCENTRATION}. Ask whether the source changed, or one was drawn behind a softener.",
    "fuller-sample": "Sample {sample} is the newest and counts; {fuller} tells more ({analytes:ions}). Have the whole analysis made again.",
    "sample-left-out": "Sample {sample} cannot be planned with: it tells nothing of the salts in the water. Hardness and alkalinity, or a conductivity, would do.",
    "blended": "The supply is blended from samples {samples:words}.",
    "too-salty-for-conductivity": "The calculated conductivity, {us_cm:CONDUCTIVITY}, is beyond the {highest_us_cm:CONDUCTIVITY} that the model is made for.",
    "temperature-outside-conductivity": "{temperature_c:TEMPERATURE} lies outside {low_c:TEMPERATURE} to {high_c:TEMPERATURE}, for which conductivity can be calculated.",
    "too-salty-for-standard-methods": "Too salty for the Standard Methods formula of conductivity: its figure is too uncertain to plan with.",
    # treatment
    "softened": "The softener takes {salt_kg_m3} kg of salt for a cubic metre and regenerates every {litres:VOLUME}; a little hardness that leaks through is not counted.",
    "nothing-to-soften": "The water holds no hardness: the softener has nothing to do.",
    "permeate-made-neutral": "Rejections of a data sheet do not leave a neutral permeate: its bicarbonate was shifted by {hco3_meq_l} meq/L to balance the charges, its cations by {cations_percent:RELATIVE} and its anions by {anions_percent:RELATIVE}.",
    "recovery-assumed": "The reverse osmosis tells neither recovery nor concentrate flow: {percent:PERCENT} recovery is assumed. Hold a bucket under both hoses.",
    "rejections-assumed": "How much the membrane holds back is not told for {ions:ions}: {low_percent:PERCENT} to {high_percent:PERCENT} are assumed, as is common. Its data sheet tells.",
    "recovery-too-high-for-scale": "Scale: at a recovery of {recovery_percent:PERCENT} something may fall out of the concentrate; without scale inhibitor {highest_percent:PERCENT} is the highest.",
    "scale-at-any-recovery": "Scale: the supply itself is saturated, so the concentrate may let scale fall out at any recovery ({recovery_percent:PERCENT} as planned). Soften before the membrane, or ask its maker about a scale inhibitor.",
    "flow-above-membrane": "The resin is to take {flow_l_h:FLOW}, the reverse osmosis before it makes {output_l_h:FLOW} of this water: put a tank between them, or count on the smaller flow.",
    "bought-in": "From here on the water is the one that is brought in, as sample {sample} tells it.",
    "bought-in-without-sample": "There is no sample {sample}: the water brought in is shown like the supply.",
    "carbon-lasts": "A fresh carbon filter treats {litres:VOLUME} at {mg_l:MASS_CONCENTRATION} of free chlorine. Test for chlorine behind it every week.",
    "chlorine-of-the-sample": "The carbon filter tells no chlorine of the supply: the {mg_l:MASS_CONCENTRATION} of the sample count.",
    "chlorine-without-carbon": "Free chlorine, {mg_l:MASS_CONCENTRATION}, reaches the {met_by}, and no carbon filter stands before it: chlorine destroys thin-film membranes and ages resin. Put a carbon filter before it.",
    "carbon-by-calendar": "The supply holds no chlorine: the carbon filter is changed by the calendar.",
    "fresh-resin-assumed": "What leaves the resin is shown as from a fresh bed that holds everything back, until it is changed at {changed_at:mark}.",
    "no-vessel-in-position": "No vessel stands in position {position}.",
    "service-flow-unusual": "The flow is {bed_volumes_h} bed volumes an hour; {low} to {high} is the usual range, outside it a bed gives fewer litres.",
    "open-to-air": "The open tank comes into balance with air of {co2_ppm:PPM_CO2} of carbon dioxide: at {temperature_c:TEMPERATURE} its water conducts {us_cm:CONDUCTIVITY}, kept closed and warmed to 25 °C {us_cm_25:CONDUCTIVITY}.",
    "rating-assumed": "For {vessel} neither a rating nor totals are told: {eq_l:CAPACITY} is assumed, as for regenerated resin.",
    "rating-assumed-new": "For {vessel}, filled by the club itself, neither a rating nor totals are told: {eq_l:CAPACITY} is assumed, as for new resin.",
    "totals-assumed": "The model of the bed assumes {cation_eq_l:CAPACITY} of cation resin and {anion_eq_l:CAPACITY} of anion resin: the totals of {vessel} are not told.",
    "rated-end-assumed": "Where the litres of the vessel end is not told: {mark} is assumed.",
    "scaled-by-capacity": "The model of the bed never shows {mark} in this water; it is scaled by the litres that fill its limiting side.",
    "scaled-by-capacity-at-once": "The model of the bed shows {mark} from the first litre on; it is scaled by the litres that fill its limiting side.",
    "scaled-by-capacity-late": "The model of the bed shows {mark} only long after one of its sides is full; it is scaled by the litres that fill that side.",
    "model-far-from-trusted": "The ideal bed gives {model_l:VOLUME}, the litres trusted are {trusted_l:VOLUME}, {ratio} times as much: have the rating, the water test or the description of the vessel looked at.",
    "mark-below-fresh-resin": "Fresh resin itself gives water at or above {mark}: this mark cannot tell when to change and is left out.",
    "mark-not-reached": "What leaves the bed never comes to {mark} in this water: this mark cannot tell when to change and is left out.",
    "column-not-run": "The bed is not reckoned as a column: {why}.",
    "rating-counts-unknown": "The rating of {vessel} does not say which load it counts: the {taken} load is taken, the larger one.",
    "rated-end-unknown": "The rating of {vessel} does not say where its run ends: ask the supplier.",
    "resin-share-assumed": "Of {vessel}, the {share} share is not told: {percent:PERCENT} is assumed.",
    "silica-selectivity-assumed": "No published constant was found for silica on the resin: its decimal logarithm is taken as {log_k}, give or take {spread}.",
    "selectivity-as-at-25": "How strongly the resin holds each ion is known at 25 °C and taken the same in the cold.",
    "taken-as-like-ion": "Not followed by itself and counted as the ion it is most like: {ions:ions}.",
    "feed-balanced": "The bed is reckoned with charges that balance: {meq_l:EQUIVALENTS} of sodium or chloride was added.",
    "no-load": "Nothing in this water loads the {side} side: the resin does not wear out.",
    "mark-taken-at-exhaustion": "When what leaves the vessel comes to {mark} is not known: the litres of the rated end are planned with.",
    # what the club's own log tells
    "capacity-learned": "Learned from {runs:runs}: the usual vessel of this kind takes {median_eq_l:CAPACITY} (in 8 of 10 cases {low_eq_l:CAPACITY} to {high_eq_l:CAPACITY}). {exact} ended at their limit; {bounds} were changed before it, are still in use or had passed it, and only bound the capacity.",
    "capacity-not-learned": "No run of a vessel of this kind is written down yet: what it gives is known by its rating or its totals only.",
    "capacity-only-bounds": "No vessel of this kind has been seen to reach its limit yet, so the log tells only what it gives at least ({bounds:runs}). Run one to its limit where a second vessel stands behind it.",
    "rating-not-borne-out": "The rating, {rated_eq_l:CAPACITY}, is not borne out by the club's own runs, which point to {median_eq_l:CAPACITY}: ask the supplier what the rating counts.",
    "file-not-learned-from": "{file} holds an error: nothing is learned from it until it is mended.",
    "run-without-start": "{vessel}, taken out on {date:day}: nobody wrote when it was put in, so its litres are not known.",
    "run-without-total": "{vessel}, put in on {start:day} and looked at on {date:day}: the water meter's total is missing on one of the two days, so its litres are not known.",
    "run-total-falls": "{vessel}, {start:day} to {date:day}: the water meter's total falls, so its litres are not known.",
    "run-of-damaged-vessel": "{vessel}, taken out damaged on {date:day}: nothing is learned from it.",
    "run-of-unknown-vessel": "{vessel}, {date:day}: vessels.csv does not tell how much resin it holds, so nothing is learned from it.",
    "run-without-load": "{vessel}, {date:day}: nothing in the water loaded it, so nothing is learned from it.",
    "run-maybe-not-fresh": "{vessel}, at its limit on {date:day}: it was put back after it had been taken out before its limit and may not have been fresh, so it counts as giving that much at least.",
    "vessel-taken-as-like-others": "{vessel} does not stand in vessels.csv any more: it is taken as like the others.",
    "position-told-twice": "The last change put {changed} in position {position}, vessels.csv says {listed}: the change counts. Mend vessels.csv.",
    "readings-above-curve": "The last {looks} readings at the outlet stand above what is expected: {shown_us_cm:CONDUCTIVITY} where some {expected_us_cm:CONDUCTIVITY} would be usual, since {since_l:VOLUME} of this vessel. Let it run until the reading stands still and check the meter; if it stays, have the vessel changed and the supply tested.",
    "readings-below-curve": "The last {looks} readings at the outlet stand below what is expected: {shown_us_cm:CONDUCTIVITY} where some {expected_us_cm:CONDUCTIVITY} would be usual, since {since_l:VOLUME} of this vessel. Check the meter in its standard; if it is right, the vessel gives more than expected.",
    "standard-past-its-day": "The standard of the {meter} was good until {date:day}: open a fresh bottle before the meter is trusted.",
    "meter-off-its-standard": "The {meter} is off its standard by {percent:RELATIVE} (median of {counted} checks). Clean and calibrate it, or have it replaced.",
    "meter-drifts-off": "The {meter} drifts: it is off its standard by {percent:RELATIVE} (median of its last {counted} checks), in the checks before by {before_percent:RELATIVE}. Clean and calibrate it, or have it replaced.",
    "meters-disagree": "In the same water ({point}) the {meter} differs from the {other} by {percent:RELATIVE} (median of {counted} pairs of readings). Check both in a fresh standard.",
    "meters-drift-apart": "In the same water ({point}) the {meter} differs from the {other} by {percent:RELATIVE} (median of the last {counted} pairs of readings), before by {before_percent:RELATIVE}. Check both in a fresh standard.",
    # the ice
    "spare-cooling-assumed": "What the plant freezes is not known: {spare_kw:POWER} of spare cooling is assumed for {sheets} sheets. Do a freeze test.",
    "standing-load-assumed": "The hall's standing load is not known: {standing_load_kw:POWER} is assumed for {sheets} sheets. Do a freeze test.",
    "heat-outside-range": "Water of {water_c:TEMPERATURE} lies outside {low_c:TEMPERATURE} to {high_c:TEMPERATURE}, for which the heat to freeze it is known well.",
    "layer-water-assumed": "{step}: neither depth nor litres are given; {amount} {unit} a pass is assumed, as is common for a step of kind {kind}.",
    "white-coats-not-passes": "{step}: {passes} passes are written, but the white has {coats} coats; the coats count.",
    "white-grams-unusual": "{grams_per_m2:AREAL_MASS} of powder is outside common practice, {low_g_m2:AREAL_MASS} to {high_g_m2:AREAL_MASS}.",
    "white-more-batches": "Whole bags make {batches} batches; full tanks would make {full_tanks}, with powder weighed out of more than one bag.",
    "bag-larger-than-tank": "A bag holds {bag_kg:MASS}, a tankful takes {tank_kg:MASS}: bags are opened one after another. Close the opened one between batches and keep it dry.",
    "batch-air-looks-thin": "Air stirred in makes a batch look thin. Let a jug stand until its bubbles have gone and weigh again before adding powder.",
    "batch-correction-overflows": "With what has to be added there are {mix_l:VOLUME} of mix; the tank holds {tank_l:VOLUME}. Spray nothing before tank and drum are both at the ratio, then use both. It is more mix than planned: make what follows smaller by {more_l:VOLUME}, powder and water alike, or discard as much.",
    "boom-pace-unusual": "A coat takes a pace of {pace_m_s:PACE}; {low_m_s:PACE} to {high_m_s:PACE} is common. Other nozzles or more, thinner coats would help.",
    "white-no-patch": "How many coats hide the slab nobody can tell without a test patch; until then compare the grams on a square metre with common practice.",
    "white-patch-too-thick": "The test patch hides its panel almost fully, so it does not tell how little would do. Make a thinner one.",
    "white-patch-too-thin": "The test patch differs too little from its panel. Make a thicker one.",
    "white-patch-read-roughly": "Readings that may be off by {error_percent:REFLECTANCE} leave open what the test patch hides. Have it read more exactly.",
    "white-patch-impossible": "The readings of the test patch do not fit each other: by the darker one the lighter one could be {most_percent:REFLECTANCE} at most, even of a white that absorbs nothing. Read the patch and the bare panels again.",
    "slab-as-light-as-ground": "The slab is already as light as the ground that coats are counted against: it takes none to hide it. Compare the grams with common practice.",
    "white-patch-as-ice": "This holds for a patch read frozen or wet; dry powder hides better than powder in ice.",
    "slab-taken-as-black": "The slab's reflectance is not known: it is taken as black, which asks for most coats.",
    "white-too-few-coats": "{coats} coats are planned; by the patch it takes {would_do:range}.",
    "white-more-coats-than-needed": "{coats} coats are planned; by the patch {would_do:range} would do.",
    "white-too-grey-for-method": "However thick, this white reaches only {reflectance_percent:REFLECTANCE}; the method holds for 70 % and more.",
    "sheet-outside-rules": "A sheet of {length_m:LENGTH} by {width_m:LENGTH} is outside the rules; lines are reckoned for it as measured.",
    "markings-do-not-fit": "Houses or centre line do not fit a sheet of {length_m:LENGTH} by {width_m:LENGTH}.",
    "default-layers": "The club has no layers.csv yet: a layer plan of common practice stands in.",
    "default-draws": "The club has no draws.csv yet: two draws on weekdays and three on each day of the weekend stand in.",
    "default-train": "club.toml names no [[train]]: two vessels of mixed resin in lead and lag, and a tank of common size, stand in.",
    "default-vessels": "vessels.csv is missing: exchanged vessels of common size and rating stand in.",
    "no-items": "There is no purchase list: items.csv is missing or empty.",
    # the season
    "first-day-short": "Water runs short on {date:day}: {litres:VOLUME} are missing that day, because the plant cannot make it in the hours of work before. Begin earlier, or raise flow or hours.",
    "first-day-short-of-tank": "Water runs short on {date:day}: {litres:VOLUME} are missing that day, because it asks for more than the tank holds and a day's making adds. Split the work over two days, or use a larger tank.",
    "build-begins-late": "The build should have begun on {date:day}: opening day cannot be kept as planned.",
    "steps-not-marked-done": "Play was to begin on {first_draw:day}; steps of the build not marked done: {count}. Write 'done on' in layers.csv; their water is not counted here.",
    "build-before-plant": "The build has to begin on {date:day}, before the plant is switched on ({plant_on:day}).",
    # purchases
    "late-orders": "Late to order: {items:words}. Order at once and ask for the delivery day.",
    "no-offer": "{item}: no offer, so no price. Ask for one.",
    "offer-run-out": "{item}: every offer has run out. Ask for a new one.",
    "old-quote": "{item}: the quote is {days} days old. Ask whether it still holds.",
    "below-minimum-order": "{supplier}: {goods:money} is below the minimum order.",
    "life-without-a-date": "{item}: it lasts several seasons, but nobody wrote when it was installed; it is counted as needed.",
    "runs-out-this-season": "{item}: it reaches the end of its life this season.",
    "lasts-beyond-this-season": "{item}: it lasts beyond this season; put money aside for it.",
    # what needs doing
    "order-due": "Order {item}: {packs:packs}, from {supplier}.",
    "offer-to-ask-for": "Ask for an offer for {item}: there is none that holds.",
    "step-due": "Begin: {step}, with {litres:VOLUME} of water.",
    "dry-step-due": "Begin: {step}.",
    "changeout-due": "Change the vessel in position {position}: it will have treated its litres.",
    "sample-grows-old": "Have the supply tested again: sample {sample} of {date:day} is a year old by then.",
    "standard-grows-old": "Open a fresh bottle of standard for the {meter}: the one in use was opened on {date:day}.",
}
# fmt: on


def sentence(note: Note, figures: Figures) -> str:
    """What a note says, in the club's units and marks."""
    values = dict(note.values)
    if "watched" in values:
        values["mark"] = endpoint(Endpoint(values["watched"], values["value"]), figures)  # type: ignore[arg-type]
    if "packs" in values:
        values["packs"] = (values["packs"], values["size"], values["unit"])
    words = _Worder(figures).vformat(SENTENCES[note.key], (), values)
    return f"{values['of_sample']}: {words}" if "of_sample" in values else words


def sentences(notes: Iterable[Note], figures: Figures) -> tuple[str, ...]:
    """What several notes say, each sentence once."""
    return tuple(dict.fromkeys(sentence(note, figures) for note in notes))


def packs(count: int, size: float, unit: str, figures: Figures) -> str:
    """So many packs of a size; the unit is named where it is one that can be measured."""
    measured = unit in SPELLINGS
    if size == 1:
        return with_unit(figures.plain(count), sign(unit) if measured else "")
    held = with_unit(figures.plain(size), sign(unit) if measured else "")
    return f"{counted(count, 'pack')} of {held}"


def counted(count: int, one: str, many: str = "") -> str:
    """So many of something."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def from_to(low: str, high: str) -> str:
    """Between what something lies; one figure where both are the same."""
    return low if low == high else f"{low} to {high}"


def is_or_are(count: int) -> str:
    """The verb after so many of something."""
    return "is" if count == 1 else "are"


def endpoint(mark: Endpoint, figures: Figures) -> str:
    """A mark in a resin's run, in words."""
    if mark.watched == "litres":
        return f"{figures.text(mark.value, PERCENT, 0)} of rated litres"
    if mark.watched == "silica":
        return f"silica {figures.given(mark.value, MASS_CONCENTRATION.unit)}"
    return figures.given(mark.value, CONDUCTIVITY.unit)


def endpoints(marks: Iterable[Endpoint], figures: Figures) -> str:
    """Several marks, the first reached of which counts."""
    return " or ".join(endpoint(mark, figures) for mark in marks)


def analyte(key: str) -> str:
    """An analyte's English name."""
    return SPECIES[key].name if key in SPECIES else key


def _capital(name: str) -> str:
    """A name at the start of a sentence; one with capitals of its own (pH, TOC) stays."""
    return name if name != name.lower() else name[:1].upper() + name[1:]


class _Worder(Formatter):
    """Fills a sentence; the mark behind a name says what kind of value it is."""

    def __init__(self, figures: Figures) -> None:
        self.figures = figures

    def format_field(self, value: Any, format_spec: str) -> str:
        kinds: dict[str, Callable[[Any], str]] = {
            "": self._plain,
            "day": self.figures.day,
            "money": lambda amount: self.figures.money(Decimal(amount)),
            "ion": lambda key: _capital(analyte(key)),
            "ions": lambda keys: self.figures.listed([analyte(key) for key in keys]),
            "runs": lambda count: counted(count, "run"),
            "words": lambda words: self.figures.listed(list(words)),
            "packs": lambda order: packs(order[0], order[1], order[2], self.figures),
            "range": lambda ends: from_to(*map(self.figures.plain, ends)),
            "mark": lambda marks: endpoints(marks, self.figures),
        }
        if format_spec in kinds:
            return kinds[format_spec](value)
        return self.figures.text(float(value), getattr(quantities, format_spec))

    def _plain(self, value: Any) -> str:
        if isinstance(value, dt.date):
            return self.figures.day(value)
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        return self.figures.plain(value) if is_number else str(value)
