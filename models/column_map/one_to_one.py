"""The one-to-one pairing of greatest worth. Of a few columns and headers, so that no solver needs to be loaded."""

from collections.abc import Sequence
from math import inf


def best_pairs(worth: Sequence[Sequence[float]]) -> list[tuple[int, int]]:
    """Pairs of row and column with the greatest sum of worth, each used once; those worth nothing are left out.

    worth: a rectangle of numbers, 0 or more. By shortest augmenting paths with potentials: H. W. Kuhn, "The Hungarian
    Method for the Assignment Problem", Naval Research Logistics Quarterly 2 (1955); R. Jonker, A. Volgenant, "A
    Shortest Augmenting Path Algorithm for Dense and Sparse Linear Assignment Problems", Computing 38 (1987).
    """
    if not worth or not worth[0]:
        return []
    if len(worth) > len(worth[0]):
        return sorted((row, at) for at, row in best_pairs([list(column) for column in zip(*worth, strict=True)]))
    row_price, column_price = [0.0] * len(worth), [0.0] * len(worth[0])
    row_of: list[int | None] = [None] * len(worth[0])
    for row in range(len(worth)):
        _give_place(row, worth, row_price, column_price, row_of)
    found = ((row, at) for at, row in enumerate(row_of) if row is not None)
    return sorted((row, at) for row, at in found if worth[row][at] > 0)


def _give_place(
    row: int,
    worth: Sequence[Sequence[float]],
    row_price: list[float],
    column_price: list[float],
    row_of: list[int | None],
) -> None:
    """Give one more row a column; others move along the path on which least is lost."""
    count = len(row_of)
    least, come_from, is_done = [inf] * count, [-1] * count, [False] * count
    at, here, spent = -1, row, 0.0
    reached: list[tuple[int, int]] = []
    while True:
        for each in range(count):
            loss = spent - worth[here][each] - row_price[here] - column_price[each]
            if not is_done[each] and loss < least[each]:
                least[each], come_from[each] = loss, at
        at = min((each for each in range(count) if not is_done[each]), key=least.__getitem__)
        spent, is_done[at] = least[at], True
        following = row_of[at]
        if following is None:
            break
        reached.append((following, at))
        here = following
    row_price[row] += spent
    for held, each in reached:
        row_price[held] += spent - least[each]
        column_price[each] -= spent - least[each]
    while at >= 0:
        before = come_from[at]
        row_of[at] = row_of[before] if before >= 0 else row
        at = before
