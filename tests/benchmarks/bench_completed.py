"""Months completed, going back: five generated shops at 24 month-ends each, from the records known on that day.

The shops are tests/late_shops.py's: late weekly invoices, one carrier that bills once a month, lost invoices, claims
with lags, changes of mix and price, a bench log or sales alone. Of each month at its own end: whether the 80 % interval
holds what it made when all was known, and how far the completed margin and the margin so far were from that.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tests.late_shops import SHOPS, completed_on, generated, month_ends

Result = tuple[str, float, float]
MONTH_ENDS = 24
LEAST_COVERED, MOST_COVERED = 0.75, 0.85
MOST_ERROR = 1 / 3


def run() -> Iterator[Result]:
    """Error of the completed margin over that of the margin so far, by shop and of all; coverage either way."""
    held: list[bool] = []
    errors = np.zeros(2)
    for name, habits in SHOPS.items():
        shop = generated(habits)
        made, own = shop.final_margins(), np.zeros(2)
        for day in month_ends(MONTH_ENDS):
            month = day.to_period("M").start_time
            row = completed_on(shop, day).loc[month]
            held.append(bool(row["completed_low_cents"] <= made[month] <= row["completed_high_cents"]))
            own += np.abs([row["completed_margin_cents"] - made[month], row["margin_cents"] - made[month]])
        errors += own
        yield f"{name}: error completed over error so far", own[0] / own[1], 1.0
    yield "all shops: mean error completed over mean error so far", errors[0] / errors[1], MOST_ERROR
    share = float(np.mean(held))
    yield f"share of {len(held)} months outside their 80 % interval", 1.0 - share, 1.0 - LEAST_COVERED
    yield "share inside", share, MOST_COVERED
