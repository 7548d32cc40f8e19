"""What a club has not told at all: each as the club would be with a low and with a high figure."""

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from waterkit.club.places import with_analyte
from waterkit.club.schema import Club
from waterkit.ice.common_layers import default_layers
from waterkit.ice.layers import LayerStep
from waterkit.ice.sheet import sheets_area_m2
from waterkit.plan import usual
from waterkit.plan.feed import read_feed
from waterkit.season.demand import COMMON_DRAWS
from waterkit.treatment.ion_exchange import Vessel, lead_vessel
from waterkit.treatment.train import Deioniser
from waterkit.water.ions import SPECIES, to_mmol_l
from waterkit.water.sample import Sample


@dataclass(frozen=True, slots=True)
class Missing:
    """Something not told: its key, where it belongs, and the club with its low and its high.

    ``unit`` is that of ``low`` and ``high``; a missing file has neither.
    """

    key: str
    path: str
    file: str
    clubs: tuple[Club, Club]
    unit: str = ""
    low: float | None = None
    high: float | None = None


def missing_inputs(club: Club, as_of: dt.date) -> Iterator[Missing]:
    """Every such input of a club."""
    if club.samples and not club.lacks("samples", "source"):
        yield from _analytes(club, as_of)
    if not club.lacks("chiller") and _nothing_of_the_plant(club):
        yield from _plant(club)
    if not club.lacks("vessels", "train"):
        yield from _vessels(club)
    if club.rink.floor_m2 is None:
        area = sheets_area_m2(club.rink)
        low, high = (share * area for share in usual.FLOOR_SHARE)
        clubs = _each(lambda m2: replace(club, rink=replace(club.rink, floor_m2=m2)), low, high)
        yield Missing("rink.floor", "rink.floor", "club.toml", clubs, "m2", low, high)
    if not club.layers and not club.lacks("layers"):
        clubs = _each(lambda share: replace(club, layers=_scaled(club, share)), *usual.BUILD_SHARE)
        yield Missing("layers", "layers.csv", "layers.csv", clubs)
    if not club.draws and not club.lacks("draws"):
        fewer, more = (
            tuple(replace(row, draws=row.draws + change) for row in COMMON_DRAWS)
            for change in usual.FEWER_OR_MORE_DRAWS
        )
        clubs = (replace(club, draws=fewer), replace(club, draws=more))
        yield Missing("draws", "draws.csv", "draws.csv", clubs)


def _each(make: Callable[[float], Club], low: float, high: float) -> tuple[Club, Club]:
    return make(low), make(high)


def _analytes(club: Club, as_of: dt.date) -> Iterator[Missing]:
    """What the sample in force does not tell."""
    feed = read_feed(club, as_of)
    sample, water = feed.in_force, feed.completed.water
    least, most = (share * float(water.alkalinity_meq_l) for share in usual.ALKALINITY_SHARE)
    found = {
        "SiO2": ("mg/L", usual.SILICA_MG_L),
        "pH": ("1", usual.PH),
        "Na": ("mg/L", usual.SODIUM_MG_L),
        "alkalinity": ("meq/L", (least, most)),
    }
    told = {*sample.mmol_l, *(["pH"] if sample.ph is not None else [])}
    if sample.alkalinity_meq_l is not None or "HCO3" in told:
        told.add("alkalinity")
    for analyte, (unit, (low, high)) in found.items():
        if analyte not in told and (analyte != "pH" or "CO2" not in told):
            clubs = _each(partial(_with_sample, club, sample, analyte), low, high)
            path = f"water-tests.csv:{sample.sample}:{analyte}"
            yield Missing(f"analyte.{analyte}", path, "water-tests.csv", clubs, unit, low, high)


def _with_sample(club: Club, sample: Sample, analyte: str, value: float) -> Club:
    """The club with one more figure in a sample; a mass is turned into an amount."""
    core = float(to_mmol_l(value, analyte)) if analyte in SPECIES else value
    changed = with_analyte(sample, analyte, core)
    samples = tuple(changed if one is sample else one for one in club.samples)
    return replace(club, samples=samples)


def _nothing_of_the_plant(club: Club) -> bool:
    chiller = club.chiller
    return chiller.freeze_test_l_h is chiller.spare_kw is chiller.capacity_kw is None


def _plant(club: Club) -> Iterator[Missing]:
    low, high = (kw * club.rink.sheets for kw in usual.SPARE_KW_PER_SHEET)
    clubs = _each(lambda kw: replace(club, chiller=replace(club.chiller, spare_kw=kw)), low, high)
    yield Missing("chiller", "chiller.freeze_test", "club.toml", clubs, "kW", low, high)


def _vessels(club: Club) -> Iterator[Missing]:
    beds = [process for process in club.train if isinstance(process, Deioniser)]
    lead = lead_vessel(club.vessels)
    if not club.vessels:
        clubs = _each(
            lambda litres: replace(club, vessels=(Vessel("vessel", "single", litres),)),
            *usual.RESIN_L,
        )
        yield Missing("vessels", "vessels.csv", "vessels.csv", clubs)
    elif lead and lead.rated_eq_l is None and lead.cation_total_eq_l is None:
        low, high = usual.RATED_EQ_L
        clubs = _each(lambda eq_l: _rated(club, eq_l), low, high)
        path = f"vessels.csv:{lead.vessel}:rated"
        yield Missing("vessels.rated", path, "vessels.csv", clubs, "eq/L", low, high)
    if lead and beds and beds[0].flow_l_h is None:
        low, high = (volumes * lead.resin_l for volumes in usual.BED_VOLUMES_H)
        clubs = _each(lambda flow: _with_flow(club, beds[0], flow), low, high)
        path = f"train.{club.train.index(beds[0]) + 1}.flow"
        yield Missing("train.di.flow", path, "club.toml", clubs, "L/h", low, high)


def _rated(club: Club, eq_l: float) -> Club:
    plain = [vessel.rated_eq_l is vessel.cation_total_eq_l is None for vessel in club.vessels]
    vessels = tuple(
        replace(vessel, rated_eq_l=eq_l) if bare else vessel
        for vessel, bare in zip(club.vessels, plain, strict=True)
    )
    return replace(club, vessels=vessels)


def _with_flow(club: Club, bed: Deioniser, flow: float) -> Club:
    train = tuple(replace(bed, flow_l_h=flow) if one is bed else one for one in club.train)
    return replace(club, train=train)


def _scaled(club: Club, share: float) -> tuple[LayerStep, ...]:
    """The layer plan of common practice with another amount of water."""

    def of(amount: float | None) -> float | None:
        return None if amount is None else amount * share

    return tuple(
        replace(
            row,
            depth_per_pass_mm=of(row.depth_per_pass_mm),
            litres_per_pass_and_sheet_l=of(row.litres_per_pass_and_sheet_l),
        )
        for row in default_layers(club.rink)
    )
