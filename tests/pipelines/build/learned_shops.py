"""A shop that learns its carrier's prices from its own bills, right and wrong ones, and checks the bills by them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import pyarrow as pa

from pipelines.build import learning_prices, tariffs
from pipelines.shop import warehouse
from tests.pipelines.build.billed_list import CODES
from tests.pipelines.build.billed_shops import DAYS, FIRST, Billed
from tests.shops import built, rows

ASKED = learning_prices.Asked("trial", FIRST, FIRST + timedelta(days=DAYS))
# What prices alone can tell: rules of surcharges, options, events and fuel are not in the bills.
SEEN_BY_PRICES = ("amount", "zone", "twice")
LEARNED_FROM = ("core.charge_lines", "core.parcels", "core.shipment_parcels")
JUDGED = ("marts.billing_disputes", "marts.unchecked_charges")


@dataclass(frozen=True)
class Outcome:
    """Right bills that are disputed; wrong ones beyond the interval of their price, and the share missed of them."""

    disputed_right: int
    above: int
    missed_share: float


@contextmanager
def taught(shop: Billed, folder: Path) -> Iterator[warehouse.Connection]:
    """The shop's records, checked by the tariff that `tariff learn` writes from them."""
    with built(needed=LEARNED_FROM, weights=shop.weights, charges=shop.charges, charge_codes=CODES) as connection:
        file, _ = learning_prices.write(learning_prices.learn(connection, ASKED, "USD", "learned"), folder)
    found, findings = tariffs.check(file)
    assert found, findings
    intervals = [
        {"zone": price.zone, "weight_milli": price.up_to_milli, "interval_cents": price.interval_cents}
        for price in found.prices
    ]
    with built(None, [found], JUDGED, weights=shop.weights, charges=shop.charges, charge_codes=CODES) as connection:
        connection.register("intervals", pa.Table.from_pylist(intervals))
        yield connection


def outcome(connection: warehouse.Connection, shop: Billed) -> Outcome:
    """What became of right bills, and of the faults that prices can tell."""
    disputed = {
        str(row["parcel_id"])
        for row in rows(
            connection,
            "select parcel_id from marts.billing_disputes where difference_class not in ('rounding', 'fixed fee') "
            "group by parcel_id having sum(over_cents) > 1",
        )
    }
    interval = {
        str(row["parcel_id"]): row["interval_cents"]
        for row in rows(
            connection,
            "select l.parcel_id, max(i.interval_cents) as interval_cents from core.charge_lines as l "
            "inner join intervals as i on i.zone = l.zone "
            "and i.weight_milli = cast(l.billed_weight_lb * 1000 as bigint) "
            "where l.charge_kind = 'base' group by l.parcel_id",
        )
    }
    shown = [name for name, fault in shop.faults.items() if fault in SEEN_BY_PRICES and name in shop.planted]
    above = {name for name in shown if shop.faults[name] == "twice" or shop.planted[name] > (interval.get(name) or 0)}
    return Outcome(len(disputed - set(shop.planted)), len(above), len(above - disputed) / max(len(above), 1))
