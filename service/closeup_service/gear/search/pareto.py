"""The Pareto front of a search: what nothing else beats in working distance, detail and light at once."""

from bisect import bisect_right
from collections.abc import Sequence
from typing import Generic, TypeVar

import numpy as np

from closeup_service.optics.arithmetic import FloatArray

Item = TypeVar("Item")

LEAST_PENDING = 2_000


class Front(Generic[Item]):
    """Gathers items with three figures each, less being better, and sorts out the beaten ones now and then.

    Of items with the same three figures that with the least rank stays.
    """

    def __init__(self) -> None:
        self.rows: FloatArray = np.zeros((0, 4))
        self.items: list[Item] = []
        self.settled = 0

    def add(self, keys: FloatArray, rank: FloatArray, items: Sequence[Item]) -> None:
        """Take in items; `keys` are (items, 3).

        Parameters
        ----------
        keys : array, three figures of each item, each in its own unit, less being better, shape (items, 3)
        rank : array, without unit, shape (items,)
        """
        self.rows = np.concatenate([self.rows, np.column_stack([keys, rank])])
        self.items += items
        if len(self.items) - self.settled > max(LEAST_PENDING, self.settled):
            self.settle()

    def settle(self) -> None:
        """Leave out what is beaten."""
        kept = pareto_places(self.rows[:, :3], self.rows[:, 3])
        self.rows, self.items = self.rows[kept], [self.items[place] for place in kept]
        self.settled = len(kept)

    @property
    def all(self) -> list[Item]:
        """Every item that nothing beats."""
        self.settle()
        return self.items


def pareto_places(keys: FloatArray, rank: FloatArray) -> list[int]:
    """Places of the keys that no other beats: as good in all three and better in one; of equal ones that of least rank.

    In the order of the first figure a key is beaten by an earlier one that is as good in the other two. Of the earlier ones
    only the stairs count: the third figure falls where the second rises.

    Parameters
    ----------
    keys : array, three figures of each item, each in its own unit, less being better, shape (items, 3)
    rank : array, without unit, shape (items,)
    """
    order = np.lexsort((rank, keys[:, 2], keys[:, 1], keys[:, 0]))
    seconds: list[float] = []
    thirds: list[float] = []
    kept: list[int] = []
    for place, (_, second, third) in zip(order.tolist(), keys[order].tolist(), strict=True):
        stair = bisect_right(seconds, second)
        if stair and thirds[stair - 1] <= third:
            continue
        kept.append(place)
        end = stair
        while end < len(thirds) and thirds[end] >= third:
            end += 1
        start = stair - 1 if stair and seconds[stair - 1] == second else stair
        seconds[start:end], thirds[start:end] = [second], [third]
    return kept
