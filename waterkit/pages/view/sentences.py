# ruff: noqa: E501 - a sentence stands on one line
"""Notes in words: one table of sentences, the same for page, terminal and JSON.

In a sentence ``{litres:VOLUME}`` stands for a note's value ``litres`` as a quantity of the register;
``:day`` is a date, ``:money`` an amount, ``:ion`` an analyte's English name, ``:mark`` a mark in a
resin's run, ``:words`` several words; without a mark it is a plain number or word.
"""

import datetime as dt
from collections.abc import Callable, Iterable
from decimal import Decimal
from string import Formatter
from typing import Any

from waterkit import quantities
from waterkit.pages.view.figures import Figures
from waterkit.quantities import CONDUCTIVITY, MASS_CONCENTRATION, PERCENT
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.water.ions import SPECIES
from waterkit.working import Note

# fmt: off
SENTENCES: dict[str, str] = {
    # the supply
    "sample-after-the-day": "No sample of the supply is as old as the day of this plan; the earliest, {sample}, stands in.",
    "below-detection": "{analyte}: below detection ({limit} {unit}); half of the limit is counted.",
    "conductivity-reference-assumed": "The sheet does not say at which temperature its conductivity holds; {reference_c:TEMPERATURE} is assumed.",
    "conductivity-turned-to-25-degC": "Conductivity is told at {reference_c:TEMPERATURE}; times {factor} it holds at 25 °C (ISO 7888, natural water).",
    "alkalinity-as-acid-capacity": "Alkalinity in mmol/L without a basis is read as acid capacity: {mmol_l:AMOUNT_CONCENTRATION} are as many meq/L.",
    "hardness-not-measured": "The sample tells no hardness and not both calcium and magnesium: what is not told counts as none.",
    "hardness-split": "Calcium and magnesium were not measured: a hardness of {hardness_mg_l:MASS_CONCENTRATION} as CaCO₃ is split {ratio} to 1, as is common.",
    "rest-of-hardness": "{analyte:ion} was not measured: the rest of the hardness is taken for it, {mmol_l:AMOUNT_CONCENTRATION}.",
    "by-charge-difference": "{analyte:ion} was not measured: {meq_l:EQUIVALENTS} make the charges balance.",
    "taken-as-none": "Not measured and taken as none: {analytes:ions}.",
    "silica-assumed": "Silica was not measured: {mg_l:MASS_CONCENTRATION} as SiO₂ is assumed. It loads the resin; have it measured.",
    "pH-assumed": "pH was not measured: {ph:PH} is assumed. It decides how much carbon dioxide loads the resin; measure it at the tap.",
    "pH-from-carbon-dioxide": "pH was not measured: {ph:PH} follows from alkalinity and carbon dioxide.",
    "range-told": "{analyte:ion}: the sheet tells a range, {range}; its middle is taken.",
    "composition-from-conductivity": "Only the conductivity was measured, {us_cm:CONDUCTIVITY}: a common hard water of that conductivity is assumed, {meq_l:EQUIVALENTS} of each charge. Have a whole analysis made.",
    "salt-from-conductivity": "Neither sodium nor chloride was measured: {meq_l:EQUIVALENTS} of salt make up what is missing of the measured conductivity, {us_cm:CONDUCTIVITY}.",
    "test-worth-paying-for": "{analyte:ion} is the missing test that is most worth paying for: it may change the litres of a vessel by {low_percent:RELATIVE} to {high_percent:RELATIVE}.",
    "no-test-worth-paying-for": "No missing test is worth paying for: {analyte:ion}, the one that matters most, changes the litres of a vessel by {low_percent:RELATIVE} to {high_percent:RELATIVE} at most.",
    "sample-old": "The newest sample, {sample}, is {months} months old: have the supply tested again.",
    "samples-disagree": "Samples {older} and {newer} differ: with the newer one the load on the resin changes by {percent:RELATIVE}. Ask whether the source changed.",
    "blended": "The supply is blended from samples {samples:words}.",
    "too-salty-for-conductivity": "The calculated conductivity, {us_cm:CONDUCTIVITY}, is beyond the {highest_us_cm:CONDUCTIVITY} that the model is made for.",
    "temperature-outside-conductivity": "{temperature_c:TEMPERATURE} lies outside {low_c:TEMPERATURE} to {high_c:TEMPERATURE}, for which conductivity can be calculated.",
    "too-salty-for-standard-methods": "Too salty for the Standard Methods formula of conductivity: its figure is too uncertain to plan with.",
    # treatment
    "softened": "The softener takes {salt_kg_m3} kg of salt for a cubic metre and regenerates every {litres:VOLUME}; a little hardness that leaks through is not counted.",
    "nothing-to-soften": "The water holds no hardness: the softener has nothing to do.",
    "permeate-made-neutral": "Rejections of a data sheet do not leave a neutral permeate: its hydrogen carbonate was shifted by {hco3_meq_l} meq/L to balance the charges, its cations by {cations_percent:RELATIVE} and its anions by {anions_percent:RELATIVE}.",
    "recovery-assumed": "The reverse osmosis tells neither recovery nor concentrate flow: {percent:PERCENT} recovery is assumed. Hold a bucket under both hoses.",
    "recovery-too-high-for-scale": "Scale: at a recovery of {recovery_percent:PERCENT} something may fall out of the concentrate; without scale inhibitor {highest_percent:PERCENT} is the highest.",
    "scale-at-any-recovery": "Scale: the supply itself is saturated, so the concentrate may let scale fall out at any recovery ({recovery_percent:PERCENT} as planned). Soften before the membrane, or ask its maker about a scale inhibitor.",
    "flow-above-membrane": "The resin is to take {flow_l_h:FLOW}, the reverse osmosis before it makes {output_l_h:FLOW} of this water: put a tank between them, or count on the smaller flow.",
    "bought-in": "From here on the water is the one that is brought in, as sample {sample} tells it.",
    "bought-in-without-sample": "There is no sample {sample}: the water brought in is shown like the supply.",
    "carbon-by-calendar": "The supply holds no chlorine: the carbon filter is changed by the calendar.",
    "fresh-resin-assumed": "What leaves the resin is shown as from a fresh bed that holds everything back, until it is changed at {changed_at:mark}.",
    "no-vessel-in-position": "No vessel stands in position {position}.",
    "service-flow-unusual": "The flow is {bed_volumes_h} bed volumes an hour; {low} to {high} is the usual range, outside it a bed gives fewer litres.",
    "open-to-air": "The open tank comes into balance with air of {co2_ppm:PPM_CO2} of carbon dioxide: at {temperature_c:TEMPERATURE} its water conducts {us_cm:CONDUCTIVITY}, kept closed and warmed to 25 °C {us_cm_25:CONDUCTIVITY}.",
    "rating-assumed": "Vessel {vessel} has neither a rating nor totals: {eq_l:CAPACITY} is assumed, as for regenerated resin.",
    "rating-counts-unknown": "The rating of vessel {vessel} does not say which load it counts: the {taken} load is taken, the larger one.",
    "rated-end-unknown": "The rating of vessel {vessel} does not say where its run ends: ask the supplier.",
    "resin-share-assumed": "Vessel {vessel} tells no {share} share: {percent:PERCENT} is assumed.",
    "silica-selectivity-assumed": "No published constant was found for silica on the resin: its decimal logarithm is taken as {log_k}, give or take {spread}.",
    "selectivity-as-at-25": "How strongly the resin holds each ion is known at 25 °C and taken the same in the cold.",
    "taken-as-like-ion": "Not followed by itself and counted as the ion it is most like: {ions:ions}.",
    "feed-balanced": "The bed is reckoned with charges that balance: {meq_l:EQUIVALENTS} of sodium or chloride was added.",
    "no-load": "Nothing in this water loads the {side} side: the resin does not wear out.",
    "mark-taken-at-exhaustion": "A balance cannot tell when {mark} is reached: it counts as reached at the rated end.",
    # the ice
    "spare-cooling-assumed": "What the plant freezes is not known: {spare_kw:POWER} of spare cooling is assumed for {sheets} sheets. Do a freeze test.",
    "standing-load-assumed": "The hall's standing load is not known: {standing_load_kw:POWER} is assumed for {sheets} sheets. Do a freeze test.",
    "heat-outside-range": "Water of {water_c:TEMPERATURE} lies outside {low_c:TEMPERATURE} to {high_c:TEMPERATURE}, for which the heat to freeze it is known well.",
    "layer-water-assumed": "{step}: neither depth nor litres are given; {amount} {unit} a pass is assumed, as is common for a step of kind {kind}.",
    "white-coats-not-passes": "{step}: {passes} passes are written, but the white has {coats} coats; the coats count.",
    "white-grams-unusual": "{grams_per_m2} g of powder on a square metre is outside common practice ({low_g_m2} to {high_g_m2} g): try a test patch.",
    "white-more-batches": "Whole bags make {batches} batches; full tanks would make {full_tanks}, with powder weighed out of more than one bag.",
    "bag-larger-than-tank": "A bag holds {bag_kg:MASS}, a tankful takes {tank_kg:MASS}: bags are opened one after another. Close the opened one between batches and keep it dry.",
    "batch-air-looks-thin": "Air stirred in makes a batch look thin. Let a jug stand until its bubbles have gone and weigh again before adding powder.",
    "batch-correction-overflows": "With what has to be added the tank would hold {mix_l:VOLUME}, more than its {tank_l:VOLUME}: spray some of it first, then weigh again.",
    "boom-pace-unusual": "A coat takes a pace of {pace_m_s:PACE}; {low_m_s:PACE} to {high_m_s:PACE} is common. Other nozzles or more, thinner coats would help.",
    "white-no-patch": "How many coats hide the slab nobody can tell without a test patch; until then compare the grams on a square metre with common practice.",
    "white-patch-too-thick": "The test patch hides its panel almost fully, so it does not tell how little would do. Make a thinner one.",
    "white-patch-too-thin": "The test patch differs too little from its panel. Make a thicker one.",
    "white-patch-as-ice": "This holds for a patch read frozen or wet; dry powder hides better than powder in ice.",
    "slab-taken-as-black": "The slab's reflectance is not known: it is taken as black, which asks for most coats.",
    "white-too-few-coats": "{coats} coats are planned; by the patch it takes {coats_low} to {coats_high}.",
    "white-more-coats-than-needed": "{coats} coats are planned; by the patch {coats_low} to {coats_high} would do.",
    "white-too-grey-for-method": "However thick, this white reaches only {reflectance_percent:REFLECTANCE}; the method holds for 70 % and more.",
    "sheet-outside-rules": "A sheet of {length_m:LENGTH} by {width_m:LENGTH} is outside the rules; lines are reckoned for it as measured.",
    "markings-do-not-fit": "Houses or centre line do not fit a sheet of {length_m:LENGTH} by {width_m:LENGTH}.",
    "default-layers": "The club has no layers.csv yet: a layer plan of common practice stands in.",
    "default-draws": "The club has no draws.csv yet: two draws on weekdays and three on each day of the weekend stand in.",
    "default-train": "club.toml names no [[train]]: two vessels of mixed resin in lead and lag, and a tank of common size, stand in.",
    "default-vessels": "vessels.csv is missing: exchanged vessels of common size and rating stand in.",
    "no-items": "items.csv is missing: there is no purchase list.",
    # the season
    "first-day-short": "Water runs short on {date:day}: {litres:VOLUME} are missing that day, because the plant cannot make it in the hours of work before. Begin earlier, or raise flow or hours.",
    "first-day-short-of-tank": "Water runs short on {date:day}: {litres:VOLUME} are missing that day, because it asks for more than the tank holds and a day's making adds. Split the work over two days, or use a larger tank.",
    "build-begins-late": "The build should have begun on {date:day}: opening day cannot be kept as planned.",
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
    "order-due": "Order {packs} × {size} {unit} of {item} from {supplier}.",
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
    return _Worder(figures).vformat(SENTENCES[note.key], (), values)


def sentences(notes: Iterable[Note], figures: Figures) -> tuple[str, ...]:
    """What several notes say, each sentence once."""
    return tuple(dict.fromkeys(sentence(note, figures) for note in notes))


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


class _Worder(Formatter):
    """Fills a sentence; the mark behind a name says what kind of value it is."""

    def __init__(self, figures: Figures) -> None:
        self.figures = figures

    def format_field(self, value: Any, format_spec: str) -> str:
        kinds: dict[str, Callable[[Any], str]] = {
            "": self._plain,
            "day": self.figures.day,
            "money": lambda amount: self.figures.money(Decimal(amount)),
            "ion": lambda key: analyte(key).capitalize(),
            "ions": lambda keys: self.figures.listed([analyte(key) for key in keys]),
            "words": lambda words: self.figures.listed(list(words)),
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
