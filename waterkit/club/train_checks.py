"""What must hold between the train of club.toml, the vessels and the water tests."""

from waterkit.club.draft import Draft, Found, twice
from waterkit.club.fields import did_you_mean
from waterkit.errors import FieldError
from waterkit.treatment.ion_exchange import check_vessel
from waterkit.treatment.reverse_osmosis import ReverseOsmosis, check_reverse_osmosis
from waterkit.treatment.train import BoughtIn, Deioniser, Tank


def check_vessels(draft: Draft) -> Found:
    """Each vessel is described in one way; one vessel stands in one position."""
    taken: dict[str, str] = {}
    for row in draft.vessels.rows:
        vessel = row.record
        try:
            check_vessel(vessel)
        except FieldError as error:
            yield draft.vessels.problem((row, error.field), error.message, error.hint)
        if vessel.position != "spare" and vessel.position in taken:
            message = f"{taken[vessel.position]!r} stands in {vessel.position} already"
            hint = "one vessel in each position; the others are spare"
            yield draft.vessels.problem((row, "position"), message, hint)
        taken.setdefault(vessel.position, vessel.vessel)
    yield from twice(draft.vessels, "vessel")


def check_train(draft: Draft) -> Found:
    """Each process is described in one way, and what it names stands in the tables."""
    train = draft.of("train")
    if train is None:
        return
    for number, process in enumerate(train):
        if isinstance(process, ReverseOsmosis):
            try:
                check_reverse_osmosis(process)
            except FieldError as error:
                path = ("train", number, error.field)
                yield draft.head.problem(path, error.message, error.hint)
        elif isinstance(process, BoughtIn):
            yield from _tested(draft, number, process)
        elif isinstance(process, Tank) and process.heel_l >= process.volume_l:
            message = f"a heel of {process.heel_l:g} L leaves nothing of {process.volume_l:g} L"
            hint = "the heel is what the pump cannot draw; the tank has to be larger"
            yield draft.head.problem(("train", number, "heel"), message, hint)
        elif isinstance(process, Deioniser) and process.flow_l_h == 0:
            hint = "write what the meter and a watch say, or leave the key out"
            yield draft.head.problem(("train", number, "flow"), "nothing flows", hint)
    beds = {number: one for number, one in enumerate(train) if isinstance(one, Deioniser)}
    if not draft.vessels.problems:
        yield from _positions(draft, beds)


def _tested(draft: Draft, number: int, process: BoughtIn) -> Found:
    names = sorted(draft.tests.names)
    if process.sample in names or (draft.tests.present and not names):
        return
    path, message = ("train", number, "sample"), f"there is no sample {process.sample!r}"
    hint = did_you_mean(process.sample, names) if names else f"write it in {draft.tests.file}"
    yield draft.head.problem(path, f"{message} in {draft.tests.file}", hint)


def _positions(draft: Draft, beds: dict[int, Deioniser]) -> Found:
    """Vessels stand where the train says, and nowhere else."""
    filled = {vessel.position for vessel in draft.vessels.records}
    used: set[str] = set()
    for number, bed in beds.items():
        for position in bed.positions:
            path = ("train", number, "positions")
            if position in used:
                yield draft.head.problem(path, f"{position} stands twice", "take one away")
            elif draft.vessels.rows and position not in filled:
                hint = "add the vessel to vessels.csv, or take the position away"
                yield draft.head.problem(path, f"no vessel stands in {position}", hint)
            used.add(position)
    for row in draft.vessels.rows:
        place = row.record.position
        if beds and place != "spare" and place not in used:
            hint = "add the position to the di row of club.toml, or call the vessel spare"
            message = f"the train has no position {place}"
            yield draft.vessels.problem((row, "position"), message, hint)
