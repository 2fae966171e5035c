"""Contents with pieces wrapped together: a bundle is one piece with sides of its own, and may stand for its pieces.

What fits as bundles fits, whether or not the single pieces would; clearance is kept around a bundle, not within it.
"""

from collections.abc import Iterator
from functools import lru_cache
from itertools import islice, product

from models.packing.needed import ASKED_AGAIN, Bundle, Contents, PackedItem, contents

# Ways to wrap that are tried, those with the largest bundles first.
MOST_VARIANTS = 8
Line = tuple[tuple[PackedItem, int], ...]


@lru_cache(maxsize=ASKED_AGAIN)
def variants(packed: Contents) -> tuple[Contents, ...]:
    """The same goods with some of them as bundles; none where nothing says how its goods are wrapped together."""
    ways = [tuple(_ways(item, quantity, packed.clearance_in)) for item, quantity in packed.lines]
    every = islice(product(*ways), MOST_VARIANTS + 1)
    found = (contents((line for way in chosen for line in way), packed.clearance_in) for chosen in every)
    return tuple(dict.fromkeys(each for each in found if each != packed))


def _ways(item: PackedItem, quantity: int, clearance_in: float) -> Iterator[Line]:
    """The pieces with the largest bundle, with smaller ones, then each for itself."""
    usable = [
        (each.bundled_count, together)
        for each in sorted(item.bundles, reverse=True)
        if each.bundled_count <= quantity and (together := wrapped(item, each, clearance_in))
    ]
    for at in range(len(usable)):
        yield tuple(_filled(item, quantity, usable[at:]))
    yield ((item, quantity),)


def _filled(item: PackedItem, quantity: int, usable: list[tuple[int, PackedItem]]) -> Iterator[tuple[PackedItem, int]]:
    """As many as possible of the first bundle, then of the next, the rest single."""
    left = quantity
    for count, together in usable:
        if left >= count:
            yield together, left // count
            left %= count
    if left:
        yield item, left


def wrapped(item: PackedItem, bundle: Bundle, clearance_in: float) -> PackedItem | None:
    """The bundle as one piece; None where its sides say nothing at that clearance.

    A bundle learned from parcels is the inside that held them with a clearance: with as much or less the goods need
    that inside; nothing is proved of a smaller one.
    """
    sides = bundle.sides_in
    if bundle.clearance_in is not None:
        if clearance_in > bundle.clearance_in or min(sides) <= 2 * clearance_in:
            return None
        sides = (sides[0] - 2 * clearance_in, sides[1] - 2 * clearance_in, sides[2] - 2 * clearance_in)
    name = f"{bundle.bundled_count} {item.item_type} wrapped together"
    return PackedItem(name, *sides, bundle.turns, item.may_lie_under)
