"""The plan that the list of actions is, carried out on the months that followed, in shops whose demand is known.

Thirty shops in which an oracle that knows the later demand saves 3 % or more, half of them with a second carrier; ten
in which nothing can be saved. What came is priced in plain Python (tests/plan_shops/oracle.py), not by the program.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count, islice

from tests.plan_shops.judged import Outcome, best, off_the_whole, outcome, summary
from tests.plan_shops.oracle import spent
from tests.plan_shops.trade import LATER, PlanShop, content, wasteful, with_other_carrier

Result = tuple[str, float, float]
SHOPS, CONTENT, WHOLE = 30, 10, 10
# What a new size costs is estimated from the prices of the stocked ones.
MOST_OFF_THE_WHOLE = 0.02
LEAST_TO_SAVE = 0.03
LEAST_FOUND, MOST_WRONG, MOST_OFF, NOTHING_CENTS = 0.7, 0.05, 0.1, 500


def run() -> Iterator[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    found = summary([outcome(shop) for shop in islice(worth_it(), SHOPS)])
    yield "share of the oracle's saving that the plans miss, of all shops", 1 - found["found"], 1 - LEAST_FOUND
    yield "the same of the fifth of shops that miss most, at best", 1 - found["fifth found"], 1 - LEAST_FOUND
    yield "money promised over money that came, away from 1", abs(found["promised over came"] - 1), MOST_OFF
    yield f"share of {found['sure']:.0f} nearly sure rows that brought nothing", found["sure wrong"], MOST_WRONG
    yield "rows that exclude one another", found["contradictions"], 0
    off = max(off_the_whole(shop) for shop in islice(worth_it(), WHOLE))
    yield "the sum of the rows beside the plan priced whole, worst of ten shops", off, MOST_OFF_THE_WHOLE
    shown = [_told(outcome(content(seed))) for seed in range(CONTENT)]
    yield "cents a month of the largest action where nothing is to be saved", max(shown), NOTHING_CENTS


def worth_it() -> Iterator[PlanShop]:
    """Shops in which enough is to be saved; every other one holds the list of a second carrier."""
    for seed in count():
        shop = with_other_carrier(wasteful(seed)) if seed % 2 else wasteful(seed)
        if best(shop) >= LEAST_TO_SAVE * spent(shop, shop.later) / LATER:
            yield shop


def _told(one: Outcome) -> float:
    return max(one.promised, default=0.0)
