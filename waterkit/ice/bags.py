"""Bags of powder shared out over the fillings of a tank, so that at most one is opened."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BagShare:
    """Powder of one filling: bags that go in unopened, and what is weighed beside them [mg]."""

    whole: int
    weighed_mg: int

    def powder_mg(self, bag_mg: int) -> int:
        """Powder in all [mg]."""
        return self.whole * bag_mg + self.weighed_mg


def share_bags(
    total_mg: int, bag_mg: int, first_mg: int, later_mg: int, may_open: bool = True
) -> tuple[BagShare, ...] | None:
    """Powder in as few fillings as whole bags allow; None where a filling takes no whole bag.

    Only whole bags go into a filling, and the last one takes what is weighed out of the one bag
    that is opened. Where the last one has no room for all of that, the opened bag tops up the
    fillings from the first on.

    Parameters
    ----------
    total_mg, bag_mg : int
        Powder in all, and in one bag, above 0 [mg].
    first_mg, later_mg : int
        Powder that the empty tank takes, and a filling on top of the heel [mg].
    may_open : bool
        Whether a bag may be opened that would be emptied in the end, if that spares a filling.
    """
    whole, rest_mg = divmod(total_mg, bag_mg)
    fillings = _fillings(total_mg, whole, bag_mg, first_mg, later_mg)
    if rest_mg == 0 and may_open:
        opened = _fillings(total_mg, whole - 1, bag_mg, first_mg, later_mg)
        if opened is not None and (fillings is None or opened < fillings):
            fillings, whole, rest_mg = opened, whole - 1, bag_mg
    if fillings is None:
        return None
    room_mg = [first_mg] + [later_mg] * (fillings - 1)
    bags = _in_turn(whole, [room // bag_mg for room in room_mg])
    free_mg = [room - n * bag_mg for room, n in zip(room_mg, bags, strict=True)]
    weighed = _weighed_mg(rest_mg, free_mg)
    return tuple(BagShare(n, mg) for n, mg in zip(bags, weighed, strict=True))


def _fillings(total_mg: int, whole: int, bag_mg: int, first_mg: int, later_mg: int) -> int | None:
    """The fewest fillings that have room for so many whole bags, and for all powder."""
    first, later = first_mg // bag_mg, later_mg // bag_mg
    if whole <= first and total_mg <= first_mg:
        return 1
    if later == 0:
        return None
    by_bags, by_room = -(-(whole - first) // later), -(-(total_mg - first_mg) // later_mg)
    return 1 + max(by_bags, by_room)


def _weighed_mg(rest_mg: int, free_mg: list[int]) -> list[int]:
    """What is weighed into each filling: all into the last, or from the first on if it is full."""
    if rest_mg <= free_mg[-1]:
        return [0] * (len(free_mg) - 1) + [rest_mg]
    return _in_turn(rest_mg, free_mg)


def _in_turn(amount: int, room: list[int]) -> list[int]:
    """An amount put into one room after another."""
    put = []
    for most in room:
        put.append(min(most, amount))
        amount -= put[-1]
    return put
