"""Checks of published examples about ice: each works out what a case expects from its inputs."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tests.test_published import Answers, Case

from waterkit.ice import exposure, freezing, hiding, markings, paint, pebble, spraying
from waterkit.ice.batches import plan_paint
from waterkit.ice.marking_needs import marking_needs, yarn_m
from waterkit.ice.sheet import Rink, sheet_area_m2


def check_ring(case: "Case") -> "Answers":
    """Area between two circles, from their radii."""
    outer, inner = case.quantity("outer", "m"), case.quantity("inner", "m")
    return {"area": (float(markings.ring_area_m2(outer, inner)), "m2")}


def check_house(case: "Case") -> "Answers":
    """Rings of a house as the rules give them, and the rings that are usually coloured."""
    rings = markings.house_rings()
    colours: dict[str, Any] = dict.fromkeys(case.text("coloured").split(), "any")
    painted = markings.Colours(**colours)
    coloured = marking_needs(painted, Rink(1)).rings
    return {
        "ring_12": (rings.ring_12_m2, "m2"),
        "ring_8": (rings.ring_8_m2, "m2"),
        "ring_4": (rings.ring_4_m2, "m2"),
        "button": (rings.button_m2, "m2"),
        "disc": (rings.disc_m2, "m2"),
        "coloured": (sum(ring.area_m2 for ring in coloured), "m2"),
    }


def check_sheet(case: "Case") -> "Answers":
    """Area of a sheet and its lines."""
    length, width = case.quantity("length", "m"), case.quantity("width", "m")
    return {
        "area": (sheet_area_m2(Rink(1, length, width)), "m2"),
        "thin_lines": (float(markings.thin_lines_m(width)), "m"),
        "hog_lines": (float(markings.hog_tape_m(width)), "m"),
        "line_area": (float(markings.line_area_m2(width)), "m2"),
    }


def check_marking(case: "Case") -> "Answers":
    """Where the lines lie, in the rounded metric figures of the rules."""
    tee, hog = markings.TEE_FROM_MIDDLE_M, markings.HOG_FROM_TEE_M
    places = {
        "tee_from_middle": tee,
        "tee_to_tee": 2 * tee,
        "hog_from_tee": hog,
        "hog_to_hog": 2 * (tee - hog),
        "back_from_tee": markings.BACK_FROM_TEE_M,
        "back_to_back": 2 * (tee + markings.BACK_FROM_TEE_M),
        "hack_from_tee": markings.HACK_FROM_TEE_M,
        "hack_to_hack": 2 * (tee + markings.HACK_FROM_TEE_M),
        "centre_line": markings.CENTRE_LINE_M,
        "courtesy_from_hog": markings.COURTESY_FROM_HOG_M,
        "courtesy_length": markings.COURTESY_LINE_LENGTH_M,
        "hack_line_length": markings.HACK_LINE_LENGTH_M,
        "hog_line_width": markings.HOG_LINE_WIDTH_M,
        "thin_line_width": markings.THIN_LINE_WIDTH_M,
        "radius_12": markings.RADIUS_12_M,
        "radius_8": markings.RADIUS_8_M,
        "radius_4": markings.RADIUS_4_M,
        "button_radius": markings.BUTTON_RADIUS_M,
        "wheelchair_line": markings.WHEELCHAIR_LINE_M,
        "wheelchair_from_centre": markings.WHEELCHAIR_FROM_CENTRE_M,
        "middle_guard_from_tee": markings.guard_places_m()[1],
        "guard_step": markings.GUARD_STEP_M,
    }
    return {name: (places[name], "m") for name in case.expected}


def check_ice_density(case: "Case") -> "Answers":
    """Ice at its melting point, and how much more room it takes than its water."""
    return {
        "density": (freezing.ICE_DENSITY_KG_L, "kg/L"),
        "ice": (float(freezing.ice_mm(case.quantity("water", "mm"))), "mm"),
    }


def check_heat(case: "Case") -> "Answers":
    """Heat to freeze water down to ice, and what a spare kilowatt freezes."""
    water, ice = case.quantity("water", "degC"), case.quantity("ice", "degC")
    return {
        "heat": (float(freezing.heat_kj_l(water, ice)), "kJ/L"),
        "rate": (float(freezing.freezing_l_h(case.quantity("spare", "kW"), water)), "L/h"),
    }


def check_slurry(case: "Case") -> "Answers":
    """Density of a slurry of a given mass share of powder, by both meanings of the ratio."""
    share, solid = case.number("mass_share"), case.quantity("powder_density", "kg/L")
    water = case.quantity("water_density", "kg/L")
    per_water = paint.Ratio(share / (1 - share) * water, "water")
    per_mix = paint.Ratio(float(paint.powder_per_mix(per_water, solid)), "mix")
    return {
        "density": (float(paint.mix_density_kg_l(per_water, solid, water)), "kg/L"),
        "density_per_mix": (float(paint.mix_density_kg_l(per_mix, solid, water)), "kg/L"),
    }


def check_pebble_season(case: "Case") -> "Answers":
    """The water of a season's play, built up as in the worked example."""
    sheets, weeks = case.number("sheets"), case.number("weeks")
    rules = pebble.PebbleRules()
    used = pebble.sheets_in_use(sheets, rules)
    games = pebble.pebble_litres(case.number("draws_per_week"), used, "league", rules)
    scrapes = pebble.scrape_litres(rules.scrapes_per_week, sheets, rules)
    week = float(pebble.drawn_litres(games + scrapes, rules))
    events = pebble.PebbleRules(before_scrape_l=case.quantity("bonspiel_before_scrape", "L"))
    bonspiel = pebble.pebble_litres(case.number("bonspiel_draws"), sheets, "bonspiel", events)
    bonspiel += pebble.scrape_litres(case.number("bonspiel_scrapes"), sheets, events)
    return {
        "week": (week, "L"),
        "weeks": (week * weeks, "L"),
        "bonspiels": (float(bonspiel * case.number("bonspiels")), "L"),
        "relevel": (float(pebble.relevel_litres(1, sheets, rules)), "L"),
    }


def check_hiding(case: "Case") -> "Answers":
    """Scattering that a contrast ratio takes, and what the layer then shows over black."""
    absorbed, target = case.number("absorbed"), case.number("contrast")
    light = case.number("light")
    scattered = hiding.scattering_to_hide(absorbed, target, 0.0, light)
    return {
        "scattered": float(scattered),
        "over_black": float(hiding.film_reflectance(scattered, absorbed, 0.0)),
        "contrast": float(hiding.contrast_ratio(scattered, absorbed, 0.0, light)),
    }


def check_paint_job(case: "Case") -> "Answers":
    """A paint job as told: its ratio, litres for a square metre, batches and bags.

    The tank is told by the water that it takes, before the powder.
    """
    water, area = case.quantity("water", "L"), case.quantity("area", "m2")
    powder, density = case.quantity("powder", "kg"), case.quantity("powder_density", "kg/L")
    mix, coats = water + powder / density, int(case.number("coats"))
    white = paint.White(
        powder_density_kg_l=density, ratio=paint.Ratio(powder / water, "water"), coats=coats,
        per_coat_l_m2=mix / coats / area, loss_percent=0.0,
        tank_l=case.quantity("tank", "L") * mix / water, heel_l=0.0,
    )  # fmt: skip
    plan = plan_paint(white, area, case.quantity("bag", "kg"))
    return {
        "ratio": (white.ratio.value_kg_l, "kg/L"),
        "water_per_m2": (plan.water_l / area, "L/m2"),
        "powder": (plan.powder_kg, "kg"),
        "batches": float(len(plan.batches)),
        "bags": float(plan.bags or 0),
        "grams": (plan.grams_per_m2, "g/m2"),
    }


def check_mix(case: "Case") -> "Answers":
    """Mix for an area, from its coats."""
    white = paint.White(
        coats=int(case.number("coats")), per_coat_l_m2=case.quantity("per_coat", "L/m2")
    )
    return {"mix": (paint.mix_need(white, case.quantity("area", "m2")).on_ice_l, "L")}


def check_swapped(case: "Case") -> "Answers":
    """Room that a kilogram of powder takes, and what the wrong way of mixing costs."""
    density = case.quantity("powder_density", "kg/L")
    ratio = paint.Ratio(case.quantity("ratio", "kg/L"), "water")
    return {
        "room": 1.0 / float(paint.water_per_mix(paint.Ratio(1.0, "water"), density)) - 1.0,
        "off": (float(paint.swapped_percent(ratio, density)), "%"),
    }


def check_boom(case: "Case") -> "Answers":
    """Depth that one pass of a boom leaves."""
    boom = paint.Boom(
        case.quantity("width", "m"), 1, case.quantity("flow", "L/h"), case.quantity("pace", "m/s")
    )
    return {"pass": (spraying.boom_pass_l_m2(boom), "L/m2")}


def check_lines(case: "Case") -> "Answers":
    """Colour and lines of one sheet."""
    rink = Rink(1, 45.72, case.quantity("width", "m"))
    colours = markings.Colours(
        "blue", "", "red", coats=int(case.number("coats")),
        per_coat_l_m2=1.0 / case.number("coverage"), spare_percent=0.0,
        guide_lines=case.text("guide_lines") == "yes", wheelchair=case.text("wheelchair") == "yes",
    )  # fmt: skip
    needs = marking_needs(colours, rink)
    plain = markings.Colours(wheelchair=colours.wheelchair)
    return {
        "blue": (needs.litres["blue"], "L"),
        "red": (needs.litres["red"], "L"),
        "yarn": (needs.yarn_m, "m"),
        "guide_lines": (needs.yarn_m - yarn_m(plain, rink), "m"),
        "hog_tape": (needs.hog_tape_m, "m"),
    }


def check_dust(case: "Case") -> "Answers":
    """Limits of one body for a powder, in milligrams of a cubic metre of air."""
    limits = exposure.dust_limits(case.text("powder"))
    names = {"total": "total", "respirable": "respirable", "fine, respirable": "fine",
             "ultrafine, respirable": "ultrafine"}  # fmt: skip
    return {
        "danger" if limit.danger else names[limit.dust]: limit.mg_m3
        for limit in limits
        if case.text("body") in limit.source.text
    }
