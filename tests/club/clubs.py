"""Any club that its files can hold, for hypothesis: from the records, with what must hold."""

import dataclasses
import datetime as dt
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from tests.club.any_log import logs, scenarios
from tests.club.any_record import DATES, ENDPOINTS, PLAIN, WORDS, Strategy, any_of
from waterkit.club.ice_checks import CHECKED
from waterkit.club.schema import Club, People, SourceWater
from waterkit.ice.layers import PRACTICE, LayerStep, check_step
from waterkit.ice.paint import Boom, Ratio, White
from waterkit.ice.pebble import PebbleRules
from waterkit.ice.sheet import Rink, Slab, sheets_area_m2
from waterkit.purchasing.records import (
    Bill,
    Budget,
    Item,
    Offer,
    OpenOrder,
    StockLot,
    Supplier,
)
from waterkit.season.build import Chiller, Closure, SeasonDates
from waterkit.season.demand import DrawRow, Flush
from waterkit.treatment.experience import VesselChange
from waterkit.treatment.ion_exchange import Changeout, Vessel
from waterkit.treatment.reverse_osmosis import COMMON_REJECTION_PERCENT, ReverseOsmosis
from waterkit.treatment.softening import Softener
from waterkit.treatment.train import BoughtIn, Carbon, Deioniser, Filter, Tank
from waterkit.water.ions import SPECIES
from waterkit.water.limits import USES, Limit
from waterkit.water.meter import Meter
from waterkit.water.readings import SpotCheck
from waterkit.water.sample import Sample, WaterTest, gather, measure

# What must hold in each record.

SPANS = st.tuples(DATES, DATES).map(sorted)
CLOSURES = st.builds(
    lambda span, why, relevel: Closure(span[0], span[1], why, relevel),
    SPANS,
    PLAIN[str],
    st.booleans(),
)


SEASONS = st.builds(
    lambda first, days, closures, hours: SeasonDates(
        first, first + dt.timedelta(days=days), closures, hours
    ),
    DATES,
    st.integers(0, 300),
    st.lists(CLOSURES, max_size=2).map(tuple),
    st.floats(0.5, 16),
)


@st.composite
def rinks(draw: st.DrawFn) -> Rink:
    rink = Rink(draw(st.integers(1, 8)), draw(st.floats(20, 60)), draw(st.floats(2, 8)))
    floor = draw(st.none() | st.floats(sheets_area_m2(rink), 20_000))
    return dataclasses.replace(rink, floor_m2=floor)


@st.composite
def sources(draw: st.DrawFn, named: tuple[str, ...]) -> SourceWater:
    degrees = st.floats(0, 30)
    blend: dict[str, float] = {}
    if len(named) > 1 and draw(st.booleans()):
        share = draw(st.integers(1, 99))
        blend = {named[0]: share / 100, named[1]: (100 - share) / 100}
    if draw(st.booleans()):
        return SourceWater(draw(degrees), {}, blend)
    months = {month: draw(degrees) for month in range(1, 13)}
    return SourceWater(sum(months.values()) / 12, months, blend)


CHILLERS = st.sampled_from([(None, None), (120.5, 47.25)]).flatmap(
    lambda loads: any_of(
        Chiller,
        freeze_test_l_h=st.none() | st.floats(1, 5000),
        spare_kw=st.none() | st.floats(1, 500),
        capacity_kw=st.just(loads[0]),
        standing_load_kw=st.just(loads[1]),
        plant_on=st.none(),
    )
)
BOOMS = any_of(
    Boom, width_m=st.floats(0.5, 9), nozzles=st.integers(1, 40),
    nozzle_flow_l_h=st.floats(1, 500), pace_m_s=st.floats(0.1, 3),
)  # fmt: skip
_PATCHES = {
    "patch_black_percent": st.floats(10, 50),
    "patch_white_percent": st.floats(50, 90),
    "patch_one_coat_percent": st.floats(10, 50),
    "patch_three_coats_percent": st.floats(50, 90),
}


def whites(patch: tuple[str, ...]) -> Strategy:
    """White with one kind of test patch, or with none."""
    readings = {name: _PATCHES[name] if name in patch else st.none() for name in _PATCHES}
    return any_of(
        White,
        powder_density_kg_l=st.floats(2, 6),
        ratio=st.builds(Ratio, st.floats(0.05, 1.5), st.sampled_from(["water", "mix"])),
        coats=st.integers(1, 9),
        per_coat_l_m2=st.floats(0.01, 1),
        tank_l=st.floats(100, 1000),
        heel_l=st.floats(0, 50),
        jug_l=st.none() | st.floats(0.5, 20),
        scale_g=st.none() | st.floats(0.5, 100),
        patch_grams_g=st.floats(1, 200),
        panel_black_percent=st.floats(0, 5),
        panel_white_percent=st.floats(60, 100),
        **readings,
    )


WHITES = st.sampled_from([(), tuple(_PATCHES)[:2], tuple(_PATCHES)[2:]]).flatmap(whites)
LIMITS = any_of(Limit, solids_mg_l=st.floats(0, 1000), hardness_mg_l=st.floats(0, 1000)).map(
    lambda one: dataclasses.replace(one, act_us_cm=max(one.good_us_cm, one.act_us_cm))
)
OSMOSIS = st.one_of(
    any_of(ReverseOsmosis, kind=st.just("reverse osmosis"), concentrate_flow_l_h=st.none(),
           recovery_percent=st.floats(10, 90)),
    any_of(ReverseOsmosis, kind=st.just("reverse osmosis"), recovery_percent=st.none(),
           concentrate_flow_l_h=st.floats(1, 1000)),
).map(
    lambda one: dataclasses.replace(
        one,
        output_l_h=max(one.output_l_h, 1.0),
        temperature_factor=max(one.temperature_factor, 1.0),
        rejection_percent=dict.fromkeys(COMMON_REJECTION_PERCENT, 90.5) | {"Ca": 97.25},
    )
)  # fmt: skip


def trains(sample: str) -> Strategy:
    others = st.one_of(
        any_of(Filter, kind=st.just("filter")),
        any_of(Carbon, kind=st.just("carbon")),
        any_of(Softener, kind=st.just("softener")),
        OSMOSIS,
        any_of(Tank, kind=st.just("tank"), volume_l=st.floats(100, 1e5), heel_l=st.floats(0, 99)),
        any_of(BoughtIn, kind=st.just("bought in"), sample=st.just(sample)),
    )
    bed = any_of(Deioniser, kind=st.just("di"), positions=st.just(("lead", "lag")),
                 flow_l_h=st.none() | st.floats(1, 5000))  # fmt: skip
    return st.tuples(st.lists(others, max_size=3), bed).map(lambda two: (*two[0], two[1]))


@st.composite
def samples(draw: st.DrawFn, name: str, source: str) -> Sample:
    """A sample as reading leaves it: measured, with the notes on what is below detection."""
    rows = []
    units = {"pH": ("", "", 12), "temperature": ("degC", "", 40), "TDS": ("mg/L", "", 9000),
             "alkalinity": ("meq/L", "", 90), "hardness": ("mg/L", "CaCO3", 9000),
             "conductivity": ("uS/cm", "25 degC", 9000), "chlorine": ("mg/L", "", 9),
             "turbidity": ("NTU", "", 90), "TOC": ("mg/L", "", 90)}  # fmt: skip
    analytes = [*SPECIES, *units]
    for analyte in draw(st.lists(st.sampled_from(analytes), min_size=1, unique=True)):
        unit, as_, most = units.get(analyte, ("mmol/L", "", 90))
        number = repr(draw(st.floats(3.5 if analyte == "pH" else 0.001, most)))
        below = draw(st.booleans()) and analyte not in ("pH", "temperature")
        called = SPECIES[analyte].name if analyte in SPECIES else analyte
        value = f"<{number}" if below else number
        rows.append(WaterTest(name, dt.date(2027, 6, 1), called, value, source, unit=unit, as_=as_))
    return gather(name, source, dt.date(2027, 6, 1), "feed", map(measure, rows))


RATED_ENDS = ENDPOINTS.filter(lambda end: end.watched != "litres")
VESSEL_PARTS = (
    {"rated_eq_l": st.floats(0.1, 2), "cation_total_eq_l": st.none(),
     "anion_total_eq_l": st.none()},
    {"rated_eq_l": st.none(), "cation_total_eq_l": st.floats(0.1, 2),
     "anion_total_eq_l": st.floats(0.1, 2)},
)  # fmt: skip


@st.composite
def vessels(draw: st.DrawFn, rents: tuple[str, ...]) -> tuple[Vessel, ...]:
    names = draw(st.lists(WORDS, min_size=2, max_size=4, unique=True))
    places = ["lead", "lag", "spare", "spare"]
    return tuple(
        draw(
            any_of(
                Vessel,
                vessel=st.just(name),
                position=st.just(place),
                resin_l=st.floats(1, 500),
                rent=st.sampled_from(["", *rents]),
                rated_to=st.none() | RATED_ENDS,
                **draw(st.sampled_from(VESSEL_PARTS)),
            )
        )
        for name, place in zip(names, places, strict=False)
    )


@st.composite
def layers(draw: st.DrawFn) -> tuple[LayerStep, ...]:
    steps: list[LayerStep] = []
    for name in draw(st.lists(WORDS, max_size=4, unique=True)):
        kind = draw(st.sampled_from([kind for kind in PRACTICE if kind != "white"]))
        wet = PRACTICE[kind].wet
        depth = draw(st.none() | st.floats(0, 50)) if wet else None
        litres = draw(st.none() | st.floats(0, 500)) if wet and depth is None else None
        done = draw(st.none() | DATES)
        step = draw(
            any_of(
                LayerStep, step=st.just(name), kind=st.just(kind), passes=st.integers(1, 20),
                depth_per_pass_mm=st.just(depth), litres_per_pass_and_sheet_l=st.just(litres),
                needs=st.sampled_from([(), *((one.step,) for one in steps)]),
                done_on=st.just(done),
                litres_used_l=st.none() | st.floats(0, 900) if done and wet else st.none(),
            )
        )  # fmt: skip
        check_step(step)
        steps.append(step)
    return tuple(steps)


def _ordered(row: DrawRow) -> DrawRow:
    """A row whose days and times go forward."""
    from_, until = row.from_, row.until
    if from_ and until and until < from_:
        from_, until = until, from_
    start, end = row.start, row.end
    if start and end and end <= start:
        end = None
    return dataclasses.replace(row, from_=from_, until=until, start=start, end=end)


def draws(sheets: int) -> Strategy:
    row = any_of(DrawRow, sheets=st.none() | st.integers(0, sheets))
    return st.lists(row.map(_ordered), max_size=5, unique_by=repr).map(tuple)


@st.composite
def purchases(draw: st.DrawFn, steps: tuple[LayerStep, ...], currency: str) -> dict[str, Any]:
    """Items, suppliers, offers, stock, orders and bills that name each other."""
    before = st.none() | DATES | (st.sampled_from([s.step for s in steps]) if steps else st.none())
    items = tuple(
        draw(any_of(Item, item=st.just(name), unit=st.just("kg"), need_before=before))
        for name in draw(st.lists(WORDS, min_size=1, max_size=3, unique=True))
    )
    suppliers = tuple(
        draw(
            any_of(
                Supplier, supplier=st.just(name), currency=st.sampled_from(["", currency]),
                closed_from=st.none(), closed_until=st.none(),
            )
        )
        for name in draw(st.lists(WORDS, min_size=1, max_size=2, unique=True))
    )  # fmt: skip
    item, supplier = (st.sampled_from([i.item for i in items]),
                      st.sampled_from([s.supplier for s in suppliers]))  # fmt: skip
    unit = st.sampled_from(["kg", "g", "lb"])
    offer = any_of(Offer, supplier=supplier, unit=unit, pack_size=st.floats(0.1, 99),
                   from_packs=st.integers(1, 9))  # fmt: skip
    lot = any_of(StockLot, item=item, unit=unit, quantity=st.floats(0, 99))
    order = any_of(OpenOrder, item=item, supplier=supplier, packs=st.integers(1, 9),
                   expected_on=st.none(), received_on=st.none())  # fmt: skip
    bill = any_of(Bill, item=WORDS, season=WORDS)
    return {
        "items": items,
        "suppliers": suppliers,
        "offers": tuple(
            dataclasses.replace(draw(offer), item=one.item) for one in items for _ in range(2)
        ),
        "stock": tuple(draw(st.lists(lot, max_size=3, unique_by=repr))),
        "orders": tuple(draw(st.lists(order, max_size=3, unique_by=repr))),
        "spending": tuple(draw(st.lists(bill, max_size=3, unique_by=repr))),
    }


def _rising(rows: list[VesselChange]) -> tuple[VesselChange, ...]:
    """Rows whose water meter never falls."""
    totals = sorted(row.treated_total_l for row in rows if row.treated_total_l is not None)
    later = iter(totals)
    by_date = sorted(rows, key=lambda row: row.date)
    return tuple(
        row
        if row.treated_total_l is None
        else dataclasses.replace(row, treated_total_l=next(later))
        for row in by_date
    )


MARKS = st.lists(ENDPOINTS, min_size=1, max_size=3).map(tuple)
SPOTS = st.sampled_from(sorted(CHECKED)).flatmap(
    lambda what: any_of(
        SpotCheck, what=st.just(what), unit=st.just(CHECKED[what].unit),
        value=st.floats(max(CHECKED[what].low, -50), min(CHECKED[what].high, 90)),
    )
)  # fmt: skip


@st.composite
def clubs(draw: st.DrawFn) -> Club:
    """Any club whose files hold no problem."""
    rink, currency = draw(rinks()), draw(st.sampled_from(["EUR", "CAD", "CHF"]))
    tests = draw(
        st.lists(st.tuples(WORDS, WORDS), min_size=1, max_size=2, unique_by=lambda t: t[0])
    )
    feed = tuple(draw(samples(name, source)) for name, source in tests)
    steps = draw(layers())
    named = tuple(dict.fromkeys(source for _, source in tests))
    changes = any_of(VesselChange, vessel_out=WORDS, vessel_in=WORDS)
    bought = draw(purchases(steps, currency))
    rents = tuple(item.item for item in bought["items"] if item.driver == "month of rent")
    return Club(
        name=draw(WORDS),
        season=draw(SEASONS),
        rink=rink,
        samples=feed,
        folder=Path(),
        display=draw(st.sampled_from(["metric", "us"])),
        currency=currency,
        locale=draw(st.sampled_from(["en", "de-CH"])),
        timezone=draw(st.sampled_from(["UTC", "Europe/Berlin"])),
        slab=draw(any_of(Slab)),
        chiller=draw(CHILLERS),
        people=draw(any_of(People)),
        source=draw(sources(named)),
        train=draw(trains(tests[0][0])),
        changeout=draw(any_of(Changeout, at=MARKS)),
        limits={use: draw(LIMITS) for use in USES},
        meters=tuple(draw(st.lists(any_of(Meter, name=WORDS), max_size=2,
                                   unique_by=lambda meter: meter.name))),
        pebble=draw(any_of(PebbleRules)),
        white=draw(WHITES),
        boom=draw(BOOMS),
        flush=draw(any_of(Flush)),
        budget=draw(any_of(Budget)),
        layers=steps,
        draws=draw(draws(rink.sheets)),
        vessels=draw(vessels(rents)),
        readings=draw(logs()),
        scenarios=draw(scenarios()),
        changeouts=_rising(draw(st.lists(changes, max_size=3, unique_by=lambda row: row.date))),
        checks=tuple(draw(st.lists(SPOTS, max_size=2, unique_by=repr))),
        **bought,
    )  # fmt: skip
