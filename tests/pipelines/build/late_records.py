"""A few hundred of the demo's sales whose records come by and by, some of them corrected, as intake would land them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from models.columns.goods import SALE_STATES
from models.reference import RECORDS
from models.tables.incremental_rules import DATED
from models.tariffs.rules import Tariff
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, Shop
from tests.shops import build_tables

Records = dict[str, pd.DataFrame]
Change = Callable[[pd.DataFrame, pd.DataFrame, np.random.Generator], Any]

SETTINGS = Settings(folder=Path(), shop=Shop(wage_cents_per_hour=2_400))
SALES = 300
# Records dated after this come by and by; the demo's eighteen months end in October 2026.
LATE = pd.Timestamp("2026-09-10")


def moved(rows: pd.DataFrame, known: pd.DataFrame, chance: np.random.Generator) -> pd.Series:
    return rows["shipped_on"] + pd.to_timedelta(chance.integers(-40, 20, len(rows)), unit="D")


def other(name: str) -> Change:
    """The value that some other row has."""
    return lambda rows, known, chance: known[name].sample(len(rows), random_state=chance).to_numpy()


CORRECTIONS: dict[str, dict[str, Change]] = {
    "sales": {name: other(name) for name in ("shipping_charged_cents", "item_type", "quantity", "channel")}
    | {name: other(name) for name in ("parcel_id", "sale_state", "shipping_refunded_cents")},
    "weights": {"shipped_on": moved, "length_in width_in height_in": lambda rows, known, chance: None}
    | {
        name: other(name)
        for name in ("sale_id", "scale_weight_lb", "zone", "carton_code", "packing_method", "shipment_id")
    },
    "charges": {
        name: other(name)
        for name in ("parcel_id", "amount_cents", "charge_kind", "charge_code", "sale_id", "shipment_id")
    },
    "claims": {name: other(name) for name in ("parcel_id", "claim_cause", "claim_state", "refund_cents")},
    "returns": {name: other(name) for name in ("parcel_id", "return_parcel_id", "return_carriage_cents")},
    "labels": {name: other(name) for name in ("sale_id", "quoted_cents", "is_voided", "first_scan_on")},
}


@dataclass
class Landing:
    """Brings rows into a warehouse as intake does, what they replace going to history, and builds it."""

    connection: warehouse.Connection
    price_lists: Sequence[Tariff]
    delivery: int = 0
    steps: list[str] = field(default_factory=list)

    def bring(self, kind: str, rows: pd.DataFrame) -> None:
        """One delivery of one kind."""
        self.delivery += 1
        fresh = rows[list(RECORDS[kind].columns)].assign(delivery_id=self.delivery, row_number=np.arange(len(rows)) + 1)
        same = " and ".join(f"a.{name} = n.{name}" for name in RECORDS[kind].key)
        old = f"from accepted.{kind} as a where exists (select 1 from fresh as n where {same})"
        self.connection.register("fresh", fresh)
        history = f"select *, {self.delivery} as superseded_by {old}"
        self.connection.execute(f"insert into superseded.{kind} by name {history}")
        self.connection.execute(f"delete {old}")
        self.connection.execute(f"insert into accepted.{kind} by name select * from fresh")
        self.connection.unregister("fresh")
        self.connection.execute(
            "insert into intake.deliveries values "
            "(?, 'test', ?, 'a.csv', '', 0, timestamp '2026-11-02 06:00:00', 0, 0, 0, 0, 0, '')",
            [self.delivery, kind],
        )

    def build(self) -> None:
        """Build what has changed."""
        self.steps.clear()
        build_tables(self.connection, SETTINGS, self.price_lists, self.steps.append)

    def is_by_part(self) -> bool:
        """Whether the last build was of what is touched only, brought in at the end."""
        return "merging" in self.steps


@dataclass
class Fate:
    """A few hundred of the demo's sales with all that names them; what is recent comes late, and some is corrected."""

    records: Records
    seed: int
    chance: np.random.Generator = field(init=False)
    waiting: Records = field(init=False)

    def __post_init__(self) -> None:
        self.chance = np.random.default_rng(self.seed)
        self.waiting = {kind: rows[rows[DATED[kind]] >= LATE] for kind, rows in self.records.items() if kind in DATED}

    def early(self) -> Records:
        """What is there from the start."""
        return {
            kind: rows.drop(self.waiting[kind].index) if kind in DATED else rows for kind, rows in self.records.items()
        }

    def delivery(self) -> Records:
        """A third of what is still to come, of each kind or not at all, and up to two corrections."""
        found = {}
        for kind in sorted(DATED):
            come = self.waiting[kind].sample(frac=0.3, random_state=self.chance)
            self.waiting[kind] = self.waiting[kind].drop(come.index)
            found[kind] = pd.concat([come, self._corrected(kind)]).drop_duplicates(list(RECORDS[kind].key))
        return {kind: rows for kind, rows in found.items() if self.chance.random() < 0.7}

    def _corrected(self, kind: str) -> pd.DataFrame:
        known = self.records[kind]
        rows = known.sample(min(int(self.chance.integers(0, 3)), len(known)), random_state=self.chance)
        for names, change in CORRECTIONS[kind].items():
            if self.chance.random() < 0.5:
                rows = rows.assign(**dict.fromkeys(names.split(), change(rows, known, self.chance)))
        return rows


def without_some_bench_rows(found: Records) -> Records:
    """The same where a third of the sales name their parcel and the bench log is silent; some are taken back.

    Of three parcels in ten the bench log does not know the zone, of half of these the invoice neither.
    """
    packed, sales = found["weights"], found["sales"]
    unlogged = set(packed["sale_id"].drop_duplicates().sample(frac=0.33, random_state=2))
    parcel_of = packed.drop_duplicates("sale_id").set_index("sale_id")["parcel_id"]
    states = pd.Series(np.random.default_rng(3).choice(SALE_STATES, len(sales)), sales.index)
    named = sales["sale_id"].map(parcel_of).where(sales["sale_id"].isin(unlogged))
    found["sales"] = sales.assign(parcel_id=named, sale_state=states.where(sales["quantity"] > 1))
    found["weights"] = packed[~packed["sale_id"].isin(unlogged)]
    silent = packed["parcel_id"].drop_duplicates().sample(frac=0.3, random_state=6)
    for kind, unzoned in (("weights", silent), ("charges", silent.sample(frac=0.5, random_state=7))):
        rows = found[kind]
        found[kind] = rows.assign(zone=rows["zone"].mask(rows["parcel_id"].isin(unzoned)))
    found["labels"] = labels_of(packed.drop_duplicates("parcel_id").sample(frac=0.5, random_state=4))
    found["returns"] = returns_of(packed.drop_duplicates("parcel_id"), found["charges"])
    return with_shipments(found)


def with_shipments(found: Records) -> Records:
    """The same where some parcels of one carrier and day are one shipment, by the bench log, the invoice or both.

    A third of the invoice lines of these name the shipment alone.
    """
    chance, packed = np.random.default_rng(11), found["weights"].drop_duplicates("parcel_id")
    paired = packed[packed.groupby(["carrier", "shipped_on"])["parcel_id"].transform("size") > 1].sample(
        frac=0.4, random_state=12
    )
    number_of = ("SH" + paired["carrier"] + paired["shipped_on"].astype(str)).set_axis(paired["parcel_id"])
    for kind in ("weights", "charges"):
        rows = found[kind]
        named = rows["parcel_id"].map(number_of).where(chance.random(len(rows)) < 0.7)
        found[kind] = rows.assign(shipment_id=named.astype(object).where(named.notna(), None))
    lines = found["charges"]
    alone = lines["shipment_id"].notna() & (chance.random(len(lines)) < 0.3)
    found["charges"] = lines.assign(parcel_id=lines["parcel_id"].mask(alone, None))
    return found


def returns_of(packed: pd.DataFrame, charges: pd.DataFrame) -> pd.DataFrame:
    """A return of one parcel in eight; every second way back has the label of a parcel that an invoice bills."""
    chance, back = np.random.default_rng(8), packed.sample(frac=0.12, random_state=9)
    billed = charges["parcel_id"].dropna().drop_duplicates().sample(len(back), random_state=10).to_numpy()
    stated = {
        "return_id": [f"R{at}" for at in range(len(back))],
        "parcel_id": back["parcel_id"].to_numpy(),
        "returned_on": (back["shipped_on"] + pd.Timedelta(days=5)).to_numpy(),
        "return_condition": "opened",
        "return_parcel_id": [name if at % 2 else None for at, name in enumerate(billed)],
        "return_carriage_cents": chance.integers(500, 3_000, len(back)),
        "depreciation_cents": chance.integers(0, 2_000, len(back)),
    }
    return pd.DataFrame(stated).reindex(columns=list(RECORDS["returns"].columns))


def labels_of(packed: pd.DataFrame) -> pd.DataFrame:
    """A label for each of these parcels; one in ten is voided, one in five never scanned."""
    chance, count = np.random.default_rng(5), len(packed)
    days = packed["shipped_on"]
    stated = {
        "parcel_id": packed["parcel_id"],
        "sale_id": packed["sale_id"],
        "carrier": packed["carrier"],
        "bought_on": days,
        "first_scan_on": days.where(chance.random(count) < 0.8),
        "quoted_cents": chance.integers(500, 4_000, count),
        "is_voided": chance.random(count) < 0.1,
    }
    return pd.DataFrame(stated).reindex(columns=list(RECORDS["labels"].columns))
