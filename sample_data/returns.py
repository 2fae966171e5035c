"""Goods that came back undamaged: when, in what condition, what the way back cost and what they lost."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from sample_data import shop
from sample_data.claims import Claim
from sample_data.packing import Packed
from sample_data.shop import ITEM_TYPES

# Of parcels without a claim every so many comes back, from the first on.
RETURNED_EVERY = 70
# Condition: how often, and the share of the goods' cost that is lost.
CONDITIONS = {"as new": (0.6, 0.0), "opened": (0.25, 0.05), "used": (0.1, 0.15), "unsellable": (0.05, 0.6)}


@dataclass(frozen=True)
class Return:
    """One return; a way back that the buyer paid has no carriage. Amounts in cents."""

    return_id: str
    parcel: Packed
    returned_on: dt.date
    condition: str
    carriage_cents: int | None
    depreciation_cents: int
    resold_on: dt.date | None


def draw_returns(rng: np.random.Generator, parcels: Sequence[Packed], claims: Sequence[Claim]) -> list[Return]:
    """Returns that were back by shop.AS_OF, of parcels without a claim, since the shop keeps them."""
    claimed = {claim.parcel.parcel_id for claim in claims}
    kept = [each for each in parcels if each.shipped_on >= shop.RETURNS_SINCE and each.parcel_id not in claimed]
    drawn = [_drawn(rng, parcel) for parcel in kept[::RETURNED_EVERY]]
    back = [each for each in drawn if each.returned_on <= shop.AS_OF]
    back.sort(key=lambda each: (each.returned_on, each.parcel.parcel_id))
    return [
        Return(
            f"R-{at:04d}", each.parcel, each.returned_on, each.condition, each.carriage_cents, each.depreciation_cents,
            each.resold_on,
        )
        for at, each in enumerate(back, 1)
    ]  # fmt: skip


def _drawn(rng: np.random.Generator, parcel: Packed) -> Return:
    returned_on = parcel.shipped_on + dt.timedelta(days=int(rng.integers(9, 40)))
    condition = str(rng.choice(list(CONDITIONS), p=[chance for chance, _ in CONDITIONS.values()]))
    cost = ITEM_TYPES[parcel.contents[0][0]].cost_cents
    carriage = int(rng.integers(24, 60)) * 50 if rng.random() < 0.6 else None
    resold_on = returned_on + dt.timedelta(days=int(rng.integers(3, 60)))
    is_resold = condition != "unsellable" and resold_on <= shop.AS_OF
    lost = int(cost * CONDITIONS[condition][1])
    return Return("", parcel, returned_on, condition, carriage, lost, resold_on if is_resold else None)


def return_rows(returns: Sequence[Return]) -> list[dict[str, Any]]:
    """The shop's own list, in dollars."""
    return [
        {
            "Return": each.return_id,
            "Label out": each.parcel.parcel_id,
            "Back on": f"{each.returned_on}",
            "State": each.condition,
            "Label back": f"RB{each.return_id[2:]}" if each.carriage_cents else "",
            "Postage back": "" if each.carriage_cents is None else f"{each.carriage_cents / 100:.2f}",
            "Worth lost": f"{each.depreciation_cents / 100:.2f}",
            "Sold again": f"{each.resold_on}" if each.resold_on else "",
        }
        for each in returns
    ]
