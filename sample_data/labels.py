"""Labels bought on a screen before sending: a carton's nominal sides are typed, and the tariff quotes for them."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from sample_data import billing, shop
from sample_data.packing import Packed, Sides, nominal_sides
from sample_data.planting import Billing

# Every so many labels one is bought again, because the printer jammed, and the first is never used.
SPOILT_EVERY = 160
# Of the spoilt ones every so many was voided at once.
VOIDED_EVERY = 3


@dataclass(frozen=True)
class Label:
    """One label of a parcel; a spoilt one has a number that no carrier ever scanned, and may have been voided."""

    parcel_id: str
    packed: Packed
    bought_on: dt.date
    typed_sides_in: Sides
    typed_weight_lb: int
    quoted_cents: int
    is_scanned: bool = True
    is_voided: bool = False


def draw_labels(parcels: Sequence[Packed], book: Billing) -> list[Label]:
    """Labels of all parcels since the shop keeps them, in order of shipping, spoilt ones before those used instead."""
    labelled = [parcel for parcel in parcels if parcel.shipped_on >= shop.LABELS_SINCE]
    drawn: list[Label] = []
    for position, parcel in enumerate(labelled, 1):
        label = _label(parcel, book)
        if position % SPOILT_EVERY == 0:
            drawn.append(_spoilt(label, is_voided=position // SPOILT_EVERY % VOIDED_EVERY == 0))
        drawn.append(label)
    return drawn


def _label(parcel: Packed, book: Billing) -> Label:
    sides = nominal_sides(shop.CARTONS[parcel.carton_code], parcel.cut_height_in)
    weight_lb = math.ceil(parcel.true_weight_lb)
    seen = billing.facts(parcel, sides_in=sides, weight_lb=weight_lb)
    rated = billing.rated_or_fail(seen, book.tariff(parcel))
    quoted = sum(line.amount_cents for line in rated.lines)
    return Label(parcel.parcel_id, parcel, parcel.shipped_on, sides, weight_lb, quoted)


def _spoilt(label: Label, is_voided: bool) -> Label:
    number = f"{label.parcel_id[:2]}{int(label.parcel_id[2:]) + 3}"
    return replace(label, parcel_id=number, is_scanned=False, is_voided=is_voided)
