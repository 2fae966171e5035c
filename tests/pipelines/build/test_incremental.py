"""Only what new or corrected records touch is built again, and every table is as if all had been built."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import settings as tried
from hypothesis import strategies as st

from models.columns.goods import SALE_STATES
from models.contracts import key
from models.reference import RECORDS
from models.tables import TABLES
from models.tables.kept import DATED, LOOKUPS, WORKINGS
from models.tariffs.rules import Tariff
from pipelines.build import tariffs
from pipelines.build.partitions import parts, parts_of
from pipelines.build.sql_models import Model, models
from pipelines.review import runs
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, Shop, load
from tests.pipelines.build.spark.comparing import differing_rows
from tests.shops import build_tables

Records = dict[str, pd.DataFrame]
Change = Callable[[pd.DataFrame, pd.DataFrame, np.random.Generator], Any]

SETTINGS = Settings(folder=Path(), shop=Shop(wage_cents_per_hour=2_400))
SALES = 300
# Records dated after this come by and by; the demo's eighteen months end in October 2026.
LATE = pd.Timestamp("2026-09-10")
COMPARED = sorted(set(models()) - WORKINGS)


def moved(rows: pd.DataFrame, known: pd.DataFrame, chance: np.random.Generator) -> pd.Series:
    return rows["shipped_on"] + pd.to_timedelta(chance.integers(-40, 20, len(rows)), unit="D")


def other(name: str) -> Change:
    """The value that some other row has."""
    return lambda rows, known, chance: known[name].sample(len(rows), random_state=chance).to_numpy()


CORRECTIONS: dict[str, dict[str, Change]] = {
    "sales": {name: other(name) for name in ("shipping_charged_cents", "item_type", "quantity", "channel")}
    | {name: other(name) for name in ("parcel_id", "sale_state", "shipping_refunded_cents")},
    "weights": {"shipped_on": moved, "length_in width_in height_in": lambda rows, known, chance: None}
    | {name: other(name) for name in ("sale_id", "scale_weight_lb", "zone", "carton_code", "packing_method")},
    "charges": {name: other(name) for name in ("parcel_id", "amount_cents", "charge_kind", "charge_code", "sale_id")},
    "claims": {name: other(name) for name in ("parcel_id", "claim_cause", "claim_state", "refund_cents")},
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
        same = " and ".join(f"a.{name} = n.{name}" for name in key(RECORDS[kind]))
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
            found[kind] = pd.concat([come, self._corrected(kind)]).drop_duplicates(list(key(RECORDS[kind])))
        return {kind: rows for kind, rows in found.items() if self.chance.random() < 0.7}

    def _corrected(self, kind: str) -> pd.DataFrame:
        known = self.records[kind]
        rows = known.sample(int(self.chance.integers(0, 3)), random_state=self.chance)
        for names, change in CORRECTIONS[kind].items():
            if self.chance.random() < 0.5:
                rows = rows.assign(**dict.fromkeys(names.split(), change(rows, known, self.chance)))
        return rows


@pytest.fixture(scope="module")
def price_lists(demo_folder: Path) -> list[Tariff]:
    return tariffs.tariffs_of(load(demo_folder))


@pytest.fixture(scope="module")
def records(demo: warehouse.Connection) -> Records:
    """Some of the demo's sales, the parcels they went out in, and what was charged and claimed for these."""
    found = {kind: demo.execute(f"select * from accepted.{kind} order by all").df() for kind in RECORDS}
    numbers = found["sales"]["sale_id"].drop_duplicates().sample(SALES, random_state=1)
    found["sales"] = found["sales"][found["sales"]["sale_id"].isin(numbers)]
    found["weights"] = found["weights"][found["weights"]["sale_id"].isin(numbers)]
    parcels = found["weights"]["parcel_id"]
    is_fee = found["charges"]["parcel_id"].isna()
    found["charges"] = found["charges"][found["charges"]["parcel_id"].isin(parcels) | is_fee]
    found["claims"] = found["claims"][found["claims"]["parcel_id"].isin(parcels)]
    return without_some_bench_rows(found)


def without_some_bench_rows(found: Records) -> Records:
    """The same where a third of the sales name their parcel and the bench log is silent; some are taken back."""
    packed, sales = found["weights"], found["sales"]
    unlogged = set(packed["sale_id"].drop_duplicates().sample(frac=0.33, random_state=2))
    parcel_of = packed.drop_duplicates("sale_id").set_index("sale_id")["parcel_id"]
    states = pd.Series(np.random.default_rng(3).choice(SALE_STATES, len(sales)), sales.index)
    named = sales["sale_id"].map(parcel_of).where(sales["sale_id"].isin(unlogged))
    found["sales"] = sales.assign(parcel_id=named, sale_state=states.where(sales["quantity"] > 1))
    found["weights"] = packed[~packed["sale_id"].isin(unlogged)]
    return found


def differing(one: warehouse.Connection, another: warehouse.Connection) -> dict[str, dict[str, int]]:
    """By table and column, how many rows differ; keys made of facts are the same wherever they were made."""
    found = {}
    for name in COMPARED:
        here, there = (connection.execute(f"select * from {name}").df() for connection in (one, another))
        found[name] = differing_rows(here, there, key(TABLES[name]))
    return {name: columns for name, columns in found.items() if columns}


def test_every_table_kept_by_part_is_built_and_reads_only_such() -> None:
    found, kept = models(), parts()
    for name in sorted(kept.every & set(found)):
        strangers = {
            each for each in found[name].references - kept.every if not each.startswith(("accepted.", "shop."))
        }
        assert strangers == set(), name
        if name in kept.by_month:
            assert found[name].references <= {*kept.by_parcel, *kept.row_by_row}, name
        elif name not in LOOKUPS:
            assert found[name].references.isdisjoint(kept.by_month), name


def test_a_table_that_nobody_thought_of_is_built_every_time() -> None:
    """It is kept by part only where all that it reads is, whatever its columns promise."""
    reads = {
        "parcels": ("core.parcels", "by_parcel"),
        "months": ("core.parcels", "by_month"),
        "ranks": ("marts.shipping_margin", None),
        "of_months": ("marts.margin_cells", None),
        "of_intake": ("intake.deliveries", None),
    }
    keys = {"months": "marts.coverage", "of_months": "marts.coverage"}
    added = {f"marts.{name}": Model(f"marts.{name}", "", frozenset({read})) for name, (read, _) in reads.items()}
    contracts = {f"marts.{name}": TABLES[keys.get(name, "marts.claim_losses")] for name in reads}
    kept = parts_of({**models(), **added}, {**TABLES, **contracts})
    for name, (_, how) in reads.items():
        assert (f"marts.{name}" in kept.merged) == (how is not None), name
        assert how is None or f"marts.{name}" in getattr(kept, how), name
    assert set(models()) - kept.merged >= {"marts.shipping_margin", "marts.billing_disputes", "core.learned_sides"}


def test_a_review_after_late_records_is_that_of_building_everything(demo_folder: Path, tmp_path: Path) -> None:
    shutil.copytree(demo_folder, tmp_path / "by_and_by")
    by_and_by = load(tmp_path / "by_and_by")
    with warehouse.writing(by_and_by, "test") as connection:
        (last,) = connection.execute("select max(delivery_id) from intake.deliveries").fetchall()[0]
        known = {kind: connection.execute(f"select * from accepted.{kind} order by all").df() for kind in DATED}
        recent = {kind: rows[rows[DATED[kind]] >= LATE] for kind, rows in known.items()}
        landing = Landing(connection, (), last)
        for kind, rows in Fate(recent, 7).delivery().items():
            landing.bring(kind, rows)
    shutil.copytree(tmp_path / "by_and_by", tmp_path / "at_once")
    at_once = load(tmp_path / "at_once")
    with warehouse.writing(at_once, "test") as connection:
        connection.execute("delete from intake.builds")
    steps: list[str] = []
    _, one = runs.month_tables(by_and_by, "2026-10", steps.append)
    _, another = runs.month_tables(at_once, "2026-10")
    found = {name: differing_rows(one[name], another[name], key(TABLES[name])) for name in another}
    assert {name: columns for name, columns in found.items() if columns} == {}
    assert "merging" in steps


@given(seed=st.integers(0, 10**6))
@tried(max_examples=3, derandomize=True, deadline=None)
def test_what_is_touched_built_alone_gives_what_building_everything_gives(
    records: Records, price_lists: list[Tariff], seed: int
) -> None:
    fate = Fate(records, seed)
    with warehouse.scratch() as connection, warehouse.scratch() as whole:
        by_and_by, at_once = Landing(connection, price_lists), Landing(whole, price_lists)
        for landing in (by_and_by, at_once):
            for kind, rows in fate.early().items():
                landing.bring(kind, rows)
        by_and_by.build()
        by_part = []
        for _ in range(3):
            for kind, rows in fate.delivery().items():
                by_and_by.bring(kind, rows)
                at_once.bring(kind, rows)
            by_and_by.build()
            whole.execute("delete from intake.builds")
            at_once.build()
            by_part.append(by_and_by.is_by_part())
            assert differing(connection, whole) == {}
        assert any(by_part)
