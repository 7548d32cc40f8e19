"""What a column tells: litres to each mark, what leaves first, the silica wave, the scaled bed."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from waterkit.errors import FieldError
from waterkit.treatment.bed import Bed, FeedWater
from waterkit.treatment.exchange import ANIONS, CATIONS, CHARGE
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.treatment.points import crossing
from waterkit.treatment.selectivity import Selectivity
from waterkit.water.ions import CACO3_EQUIVALENT_G, SPECIES
from waterkit.water.pairs import log_k
from waterkit.water.saturation import AMORPHOUS_SILICA
from waterkit.water.sums import RESIDUE_OF_ALKALINITY
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

    Array = NDArray[np.float64]

LEAVES_AT = 0.05
"""Share of its strength in the feed at which a side, or an ion, is said to leave."""
TOGETHER = 0.05
"""Both sides leave together where their litres differ by no more than this share."""
CAUSTIC_PH, ACID_PH = 9.5, 5.5
TRACE = 1e-3
"""Share of the load below which an ion is not named in the order."""

Order = Literal["anion-first", "cation-first", "together", "none"]
Reason = Literal["", "below-fresh-resin", "not-reached"]


@dataclass(frozen=True, slots=True)
class Reached:
    """Litres until a mark is passed; None with the reason where it is not.

    ``below-fresh-resin``: the water shows more than that from the first litre on; ``not-reached``:
    the run of ``ran_l`` litres shows at most ``most``.
    """

    litres_l: float | None
    reason: Reason = ""
    most: float = 0.0
    ran_l: float = 0.0


@dataclass(frozen=True, slots=True)
class Leaving:
    """What leaves a bed at one point of its run; conductivity as it is and at 25 degC."""

    litres_l: float
    conductivity_us_cm: float
    conductivity_25_us_cm: float
    silica_mg_l: float
    ph: float


@dataclass(frozen=True, slots=True)
class SilicaWave:
    """Silica that resin first takes and then lets go.

    Parameters
    ----------
    peak_mg_l : float
        The most that leaves [mg/L].
    peak_at_l : float
        Litres when it does [L].
    feed_mg_l : float
        What the feed holds [mg/L].
    grams_g : float
        What leaves above the strength of the feed [g].
    soluble_mg_l : float
        What stays dissolved at the water's temperature and pH 7 [mg/L].
    """

    peak_mg_l: float
    peak_at_l: float
    feed_mg_l: float
    grams_g: float
    soluble_mg_l: float


@dataclass(frozen=True, slots=True)
class ColumnRun:
    """What leaves beds in series, against litres.

    Arrays have points, or points and beds. Litres are what has left the last bed, the water that
    stood in the pores counted.

    Parameters
    ----------
    beds_after : tuple of Bed
        The beds with what they hold in the end.
    litres : array
        Points of the run [L].
    mmol_l : mapping of str to array
        What leaves: ions, total inorganic carbon as ``C``, ``SiO2`` [mmol/L].
    ph : array
        At the temperature of the feed [1].
    conductivity_us_cm, conductivity_25_us_cm : array
        At that temperature, and kept closed and brought to 25 degC [uS/cm].
    balance_error : float
        What is missing of any species, as a share of the charge that came in [1].
    """

    beds_after: tuple[Bed, ...]
    feed: FeedWater
    resins: Selectivity
    litres: "Array"
    mmol_l: "Mapping[str, Array]"
    ph: "Array"
    conductivity_us_cm: "Array"
    conductivity_25_us_cm: "Array"
    balance_error: float
    notes: tuple[Note, ...] = ()

    @property
    def silica_mg_l(self) -> "Array":
        """Silica that leaves, as SiO2 [mg/L]."""
        return self._amount("SiO2") * SPECIES["SiO2"].molar_mass_g_mol

    @property
    def solids_mg_l(self) -> "Array":
        """Dissolved solids that leave, silica with them, as a dried residue would weigh [mg/L].

        ions + 0.6 alkalinity as CaCO3 + SiO2, as Standard Methods 1030 E adds up an analysis
        """
        strong = tuple(key for key in ANIONS if key not in ("C", "SiO2"))
        ions = sum(self._amount(key) * SPECIES[key].molar_mass_g_mol for key in CATIONS + strong)
        alkalinity = np.maximum(self._meq(CATIONS) - self._meq(strong), 0.0)
        residue = RESIDUE_OF_ALKALINITY * CACO3_EQUIVALENT_G * alkalinity
        return np.asarray(ions + residue + self.silica_mg_l)

    @property
    def pore_l(self) -> "Numeric":
        """Water in the pores of all beds [L]."""
        return sum(np.asarray(bed.pore_l, dtype=float) for bed in self.beds_after)

    def _amount(self, key: str) -> "Array":
        return self.mmol_l.get(key, np.zeros_like(self.litres))

    def _meq(self, keys: tuple[str, ...]) -> "Array":
        return np.asarray(sum(CHARGE[key] * self._amount(key) for key in keys))

    def bed(self, place: int) -> "ColumnRun":
        """The run of one of many beds."""

        def one(value: "Numeric") -> "Numeric":
            return value if np.ndim(value) == 0 else np.asarray(value)[place]

        beds = tuple(
            replace(
                bed, cation_eq=one(bed.cation_eq), anion_eq=one(bed.anion_eq),
                pore_l=one(bed.pore_l),
                held_mmol={key: held[:, place] for key, held in (bed.held_mmol or {}).items()},
            )
            for bed in self.beds_after
        )  # fmt: skip
        feed = FeedWater(
            {key: one(amount) for key, amount in self.feed.mmol_l.items()},
            one(self.feed.temperature_c),
            None if self.feed.ph is None else one(self.feed.ph),
            self.feed.notes,
        )
        return replace(
            self, beds_after=beds, feed=feed, litres=self.litres[:, place],
            mmol_l={key: amount[:, place] for key, amount in self.mmol_l.items()},
            ph=self.ph[:, place], conductivity_us_cm=self.conductivity_us_cm[:, place],
            conductivity_25_us_cm=self.conductivity_25_us_cm[:, place],
        )  # fmt: skip

    def litres_to_each(self, mark: Endpoint) -> "Array":
        """Litres until each bed passes a mark; infinite where it is not passed, or from the first.

        Parameters
        ----------
        mark : Endpoint
            Conductivity at 25 degC or silica.

        Returns
        -------
        litres_l : array
            Litres that have left, the first pore volume counted [L].
        """
        found = crossing(self.litres, self._watched(mark), mark.value)
        return np.where(found <= self._rinsed_l, np.inf, found)

    def litres_to(self, mark: Endpoint) -> Reached:
        """Litres until one bed passes a mark, or why it does not.

        Parameters
        ----------
        mark : Endpoint
            Conductivity at 25 degC or silica.

        Returns
        -------
        Reached
            Litres that have left, the first pore volume counted [L].
        """
        values = self._watched(mark)
        litres = float(crossing(self.litres, values, mark.value))
        at_once = values[0] >= mark.value or litres <= self._rinsed_l
        if np.isfinite(litres) and not at_once:
            return Reached(litres)
        reason: Reason = "below-fresh-resin" if at_once else "not-reached"
        return Reached(None, reason, float(values.max()), float(self.litres[-1]))

    @property
    def _rinsed_l(self) -> "Numeric":
        """What stood in the pores: a mark that is passed with it is passed at once."""
        return np.multiply(self.pore_l, 1.0 + 1e-9)

    def _watched(self, mark: Endpoint) -> "Array":
        if mark.watched == "litres":
            raise ValueError("mark: a column knows no rated litres")
        return self.silica_mg_l if mark.watched == "silica" else self.conductivity_25_us_cm

    def at(self, litres_l: float) -> "Leaving":
        """What leaves one bed when so many litres have left it.

        Parameters
        ----------
        litres_l : float
            Litres that have left [L].

        Returns
        -------
        Leaving
            Conductivities and silica between two points by their logarithms, pH straight.

        References
        ----------
        None needed: between two points.
        """

        def of(values: "Array") -> float:
            return float(np.interp(litres_l, self.litres, values))

        def by_logarithm(values: "Array") -> float:
            return float(np.exp(of(np.log(np.maximum(values, 1e-12)))))

        return Leaving(
            litres_l,
            by_logarithm(self.conductivity_us_cm),
            by_logarithm(self.conductivity_25_us_cm),
            by_logarithm(self.silica_mg_l),
            of(self.ph),
        )

    def _side_l(self, keys: tuple[str, ...]) -> float:
        came = sum(float(CHARGE[key] * self.feed.mmol_l.get(key, 0.0)) for key in keys)
        return float(crossing(self.litres, self._meq(keys), LEAVES_AT * came)) if came else np.inf

    @property
    def leaving_order(self) -> tuple[tuple[str, float], ...]:
        """The ions of the feed in the order they leave, each with the litres until it does [L]."""
        load = sum(float(CHARGE[key] * amount) for key, amount in self.feed.mmol_l.items())
        found = [
            (key, self._side_l((key,)))
            for key, amount in self.feed.mmol_l.items()
            if CHARGE[key] * amount > TRACE * load
        ]
        return tuple(sorted((each for each in found if np.isfinite(each[1])), key=lambda x: x[1]))

    @property
    def order(self) -> Order:
        """Which side lets something pass first; carbon and silica belong to the anion side.

        Caustic from a spent cation side drives carbon out, and acid from a spent anion side holds
        cations back: where both sides leave together, pH tells which of them is spent.
        """
        cations, anions = self._side_l(CATIONS), self._side_l(ANIONS)
        if np.isinf(cations) and np.isinf(anions):
            return "none"
        if abs(cations - anions) > TOGETHER * min(cations, anions):
            return "anion-first" if anions < cations else "cation-first"
        ph = float(np.interp(min(cations, anions), self.litres, self.ph))
        if ph > CAUSTIC_PH:
            return "cation-first"
        return "anion-first" if ph < ACID_PH else "together"

    @property
    def caustic_l(self) -> float | None:
        """Litres until caustic leaves, pH 9.5 and more; None if never."""
        litres = float(crossing(self.litres, self.ph, CAUSTIC_PH))
        return litres if np.isfinite(litres) else None

    @property
    def mineral_acid_l(self) -> float | None:
        """Litres until strong anions leave with hydrogen ion instead of cations; None if never."""
        strong = tuple(key for key in ANIONS if key not in ("C", "SiO2"))
        came = sum(float(CHARGE[key] * self.feed.mmol_l.get(key, 0.0)) for key in strong)
        acid = self._meq(strong) - self._meq(CATIONS)
        litres = float(crossing(self.litres, acid, LEAVES_AT * came)) if came else np.inf
        return litres if np.isfinite(litres) else None

    @property
    def silica_wave(self) -> SilicaWave:
        """Peak of the silica that leaves, and the grams of it above the strength of the feed."""
        silica, mass = self.silica_mg_l, SPECIES["SiO2"].molar_mass_g_mol
        came, top = float(self.feed.mmol_l.get("SiO2", 0.0)) * mass, int(silica.argmax())
        above = np.maximum(silica - came, 0.0)
        grams = float(np.trapezoid(above, self.litres)) / 1000.0
        soluble = 10.0 ** float(log_k(AMORPHOUS_SILICA, self.feed.temperature_c)) * mass * 1000.0
        return SilicaWave(float(silica[top]), float(self.litres[top]), came, grams, soluble)

    def scaled(self, factor: "Numeric") -> "ColumnRun":
        """The same run of beds that take so many times as much.

        V' = pores + factor (V - pores): a cell that takes twice as much needs parcels twice as
        large, and nothing else changes.

        Parameters
        ----------
        factor : float or array
            What the capacities are multiplied by, more than 0 [1].

        Returns
        -------
        ColumnRun
            Litres stretched, capacities and what is held multiplied.
        """
        beds = tuple(
            replace(
                bed, cation_eq=bed.cation_eq * factor, anion_eq=bed.anion_eq * factor,
                held_mmol={key: held * factor for key, held in (bed.held_mmol or {}).items()},
            )
            for bed in self.beds_after
        )  # fmt: skip
        beyond = np.maximum(self.litres - self.pore_l, 0.0)
        return replace(
            self, beds_after=beds, litres=np.minimum(self.litres, self.pore_l) + factor * beyond
        )

    def moved(self, from_l: float, to_l: float) -> "tuple[ColumnRun, float]":
        """The run of a bed in which at some litres happens what now happens at others.

        Parameters
        ----------
        from_l : float
            Litres at which it happens now [L].
        to_l : float
            Litres at which it is to happen [L].

        Returns
        -------
        run, factor : ColumnRun, float
            The scaled run, and what its capacities were multiplied by [1].

        Raises
        ------
        FieldError
            If either litres are no more than stand in the pores.
        """
        pore_l = float(self.pore_l)
        if from_l <= pore_l:
            hint = "check the shares of both resins"
            raise FieldError("one of the two resins of the bed takes nothing", hint, "cation share")
        if to_l <= pore_l:
            hint = "check the rating and the litres of resin"
            message = "the trusted litres do not even rinse the pores of the bed"
            raise FieldError(message, hint, "rated")
        factor = (to_l - pore_l) / (from_l - pore_l)
        return self.scaled(factor), factor
