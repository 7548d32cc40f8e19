"""The usual cautions, each at the step where the hazard is.

They remind; they do not instruct. Local codes, the product's data sheet and licensed trades decide.
"""

from typing import Literal

Place = Literal[
    "treatment", "resin", "changeout", "tank", "powder", "mixing", "spraying", "wash-out",
    "flooding", "pebbling", "plant", "burners", "cleaners", "people",
]  # fmt: skip

RULE = "waterkit plans; local codes, the product's safety data sheet and licensed trades decide."

DRINKING_WATER = "No hose in the mix: an air gap or backflow preventer, as the plumbing code asks."
AIR_GAP = (
    "Drinking water must be kept apart from treatment, tanks and hoses by an air gap or the"
    " backflow preventer that the plumbing code asks for: have a licensed plumber fit it."
)
CONFINED = "Never climb into a tank: a confined space needs trained people and a permit."

CAUTIONS: dict[Place, tuple[str, ...]] = {
    "treatment": (
        AIR_GAP,
        "Treated water is not for drinking, and it attacks copper, brass and galvanised steel.",
        "Reject, brine and wash water go only to a drain that the local authority allows.",
    ),
    "resin": (
        "Never regenerate resin at the club: it takes strong acid and caustic. Exchange it.",
        "The outlet of a spent bed can be acid or caustic: do not drink, splash or spray it.",
        "A full vessel is heavy and under pressure: let the pressure off before opening anything,"
        " move it with two people or a truck, keep it upright and above freezing.",
        "Beads of resin on a floor roll like ball bearings: sweep them up at once.",
    ),
    "changeout": (
        "Shut the water off and let the pressure out before a vessel is uncoupled.",
        "Move vessels with a truck or two people; a resin vessel weighs as much as a person.",
    ),
    "tank": (
        "A full tank weighs a kilogram for each litre, 8.3 lb for each US gallon: ask what the"
        " floor may carry.",
        CONFINED,
        "Pumps and heaters on a wet floor run behind a ground-fault breaker (GFCI or RCD).",
        "Water that stands warm breeds bacteria, and spraying carries them into lungs (Legionella):"
        " drain it, do not store it warm, follow the local guidance.",
    ),
    "powder": (
        "Powder dust: read the safety data sheet, wear a fitted particulate respirator, goggles"
        " and gloves, keep others away. Only people trained on it open bags.",
        "Lift bags with two people, or half at a time.",
        "Never sweep spilt powder dry and never blow it off: wipe it up wet, or use a vacuum"
        " cleaner made for fine dust.",
    ),
    "mixing": (
        "Mixer and pump run behind a ground-fault breaker (GFCI or RCD), cords up off the wet"
        " floor; unplug before a hand goes near the mixer.",
    ),
    "spraying": (
        "Spray carries powder too: keep the respirator and goggles on, keep others off the ice.",
        "Hoses under pressure: stop the pump and let the pressure off before clearing a nozzle.",
        "Wet ice and floors are slippery: grips on clean soles, no running, hoses out of the way.",
    ),
    "wash-out": (
        "Wash water does not go to a storm drain: let it settle, bag the solids, ask where the"
        " local authority wants them.",
    ),
    "flooding": (
        "Grips on boots; nobody floods alone at night without somebody who expects their call.",
        "Cords and pumps on wet floors only behind a ground-fault breaker (GFCI or RCD).",
    ),
    "pebbling": (
        "A full can weighs 13 to 18 kg (30 to 40 lb): lift it with straight back, do not run with"
        " it.",
        "Water above 50 °C (120 °F) scalds; warm spray must be fresh, not water that stood.",
    ),
    "plant": (
        "At a refrigerant or carbon monoxide alarm, or a smell of ammonia: leave, keep others out,"
        " call. Do not look for the leak. Refrigeration is for licensed people.",
    ),
    "burners": (
        "Propane torches and sheet burners make carbon monoxide: ventilate, watch the alarm, have"
        " an extinguisher at hand, store cylinders outdoors.",
    ),
    "cleaners": (
        "Never mix cleaners: bleach with acid or with ammonia gives off poisonous gas. Rinse the"
        " tank until the meter is back at its usual reading.",
    ),
    "people": ("Nobody works alone: agree on a call before and after.",),
}


def cautions_at(*places: Place) -> tuple[str, ...]:
    """What to remind people of at one or more places, in the order given, each once."""
    return tuple(dict.fromkeys(text for place in places for text in CAUTIONS[place]))
