"""Shops whose records come late, from a generator of their own: weekly and monthly invoices, a lost one, corrections,
claims with lags, changes of mix and price, bench logs or sales alone. What came when, and what each month made at last,
is reckoned here with plain sums, without the program.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from models.analyses import completed
from models.analyses.question import Question
from models.reference import RECORDS
from pipelines.build.analysing import _read, as_of
from pipelines.build.making import make_here
from pipelines.build.rebuilding import load_grounds
from pipelines.build.sql_models import Model, models, needed_for, ordered
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, Shop

FIRST, DAYS = pd.Timestamp("2023-01-02"), 36 * 30 + 20
# Item type: usual carriage and shipping paid in cents, chance of damage, worth in cents.
GOODS = {
    "kayak paddle": (1_900, 2_100, 0.02, 9_000),
    "lamp": (1_300, 1_250, 0.05, 7_000),
    "oar": (2_600, 2_400, 0.015, 12_000),
    "globe": (3_400, 3_000, 0.06, 22_000),
}
ZONES = {"2": 0.8, "5": 1.0, "8": 1.35}


@dataclass(frozen=True)
class Habits:
    """How a shop and its carriers keep records. carriers: name -> (days between invoices, days until one is there);
    30 days mean one on the fifth of the next month. lost: numbers of invoices that never come, of the first carrier."""

    seed: int
    parcels_a_day: float = 6.0
    carriers: dict[str, tuple[int, int]] = field(default_factory=lambda: {"Tern": (7, 6)})
    lost: Sequence[int] = ()
    has_bench: bool = True
    claim_days: float = 14.0
    price_rise: float = 0.0
    changes_mix: bool = False
    days: int = DAYS


SHOPS = {
    "weekly, late": Habits(11, carriers={"Tern": (7, 10)}),
    "one weekly, one monthly": Habits(12, carriers={"Tern": (7, 4), "Auk": (30, 5)}, changes_mix=True),
    "sales and charges only": Habits(13, has_bench=False, lost=(95,)),
    "lost invoices": Habits(14, carriers={"Tern": (7, 5), "Auk": (7, 9)}, lost=(70, 110, 128)),
    "rising prices, late claims": Habits(15, parcels_a_day=10.0, claim_days=30.0, price_rise=0.07, changes_mix=True),
}


@dataclass(frozen=True)
class LateShop:
    """Every record with the day on which it is known, `known_on`; charges of lost invoices with none."""

    records: dict[str, pd.DataFrame]

    def known(self, day: pd.Timestamp) -> dict[str, pd.DataFrame]:
        """The records as they stood on a day: a claim decided later is still open."""
        found = {kind: rows[rows["known_on"] <= day].drop(columns="known_on") for kind, rows in self.records.items()}
        claims = found["claims"].copy()
        is_open = claims["decided_on"].isna() | (claims["decided_on"] > day)
        claims.loc[is_open, ["claim_state", "decided_on", "paid_cents"]] = ["filed", None, None]
        return found | {"claims": claims}

    def final_margins(self) -> pd.Series:
        """What each month of shipping made when all is known, lost invoices too, in cents."""
        month = self.records["parcels"].set_index("parcel_id")["shipped_on"].dt.to_period("M").dt.start_time
        claims = self.records["claims"]
        parts = (
            self.records["sales"].set_index("parcel")["shipping_charged_cents"],
            -self.records["charges"].set_index("parcel_id")["amount_cents"],
            -claims.set_index("parcel_id")["refund_cents"],
            claims.set_index("parcel_id")["paid_cents"].fillna(0),
        )
        by_month = [part.groupby(month.reindex(part.index).to_numpy()).sum() for part in parts]
        return pd.concat(by_month).groupby(level=0).sum()


def generated(habits: Habits) -> LateShop:
    """Three years of a shop."""
    chance = np.random.default_rng(habits.seed)
    parcels = _parcels(chance, habits)
    charges, claims = _charges(chance, habits, parcels), _claims(chance, habits, parcels)
    sales = pd.DataFrame(
        {
            "sale_id": "S" + parcels["parcel_id"],
            "line_number": 1,
            "sold_at": parcels["sold_on"],
            "item_type": parcels["item_type"],
            "quantity": 1,
            "item_price_cents": parcels["item_type"].map(lambda each: GOODS[each][3]),
            "shipping_charged_cents": parcels["paid"],
            "parcel": parcels["parcel_id"],
            "parcel_id": None if habits.has_bench else parcels["parcel_id"],
            "known_on": parcels["sold_on"],
        }
    )
    names = ["parcel_id", "shipped_on", "carrier", "zone"]
    weights = parcels[names].assign(
        sale_id=sales["sale_id"], line_number=1, packed_quantity=1, service="ground", known_on=parcels["shipped_on"]
    )
    weights = weights if habits.has_bench else weights.iloc[:0]
    parcels = parcels.assign(known_on=FIRST)
    return LateShop({"sales": sales, "weights": weights, "charges": charges, "claims": claims, "parcels": parcels})


def _parcels(chance: np.random.Generator, habits: Habits) -> pd.DataFrame:
    season = 1.0 + 0.3 * np.sin(np.arange(habits.days) / 58.0)
    day = np.repeat(np.arange(habits.days), chance.poisson(habits.parcels_a_day * season))
    late = day / habits.days if habits.changes_mix else np.full(len(day), 0.5)
    shares = np.stack([0.4 - 0.3 * late, 0.3 + 0 * late, 0.2 + 0 * late, 0.1 + 0.3 * late], axis=1)
    picked = (chance.random((len(day), 1)) > shares.cumsum(axis=1)).sum(axis=1).clip(0, 3)
    item_type = np.array(list(GOODS))[picked]
    sold_on = FIRST + pd.to_timedelta(day, unit="D")
    carriers = list(habits.carriers)
    return pd.DataFrame(
        {
            "parcel_id": [f"P{n:06d}" for n in range(len(day))],
            "item_type": item_type,
            "sold_on": sold_on,
            "shipped_on": sold_on + pd.to_timedelta(chance.choice([0, 1, 2, 3, 5], len(day)), unit="D"),
            "carrier": chance.choice(carriers, len(day), p=[0.7, 0.3] if len(carriers) == 2 else [1.0]),
            "zone": chance.choice(list(ZONES), len(day), p=[0.3, 0.45, 0.25]),
            "paid": [GOODS[each][1] for each in item_type],
        }
    )


def _charges(chance: np.random.Generator, habits: Habits, parcels: pd.DataFrame) -> pd.DataFrame:
    usual = np.array([GOODS[each][0] for each in parcels["item_type"]]) * parcels["zone"].map(ZONES).to_numpy()
    years = (parcels["shipped_on"] - FIRST).dt.days.to_numpy() // 365
    base = np.rint(usual * (1.0 + habits.price_rise) ** years * chance.lognormal(0.0, 0.12, len(parcels)))
    lines = [_invoiced(habits, parcels, "base", base, 0)]
    for kind, share, least, most, days in (("surcharge", 0.15, 600, 1_400, 0), ("adjustment", 0.05, 200, 1_200, 24)):
        has = chance.random(len(parcels)) < share
        lines.append(_invoiced(habits, parcels[has], kind, chance.integers(least, most, int(has.sum())), days))
    charges = pd.concat(lines, ignore_index=True)
    is_lost = (charges["carrier"] == next(iter(habits.carriers))) & charges["number"].isin(habits.lost)
    return charges.assign(
        invoice_number=charges["carrier"] + "-" + charges["number"].astype(str),
        line_number=np.arange(1, len(charges) + 1),
        known_on=charges["invoiced_on"].where(~is_lost),
    ).drop(columns="number")


def _invoiced(habits: Habits, parcels: pd.DataFrame, kind: str, cents: Any, days: int) -> pd.DataFrame:
    seen = parcels["shipped_on"] + pd.Timedelta(days=days)
    every = parcels["carrier"].map({name: each[0] for name, each in habits.carriers.items()}).to_numpy()
    until = parcels["carrier"].map({name: each[1] for name, each in habits.carriers.items()}).to_numpy()
    week = (seen - FIRST).dt.days // 7
    weekly = FIRST + pd.to_timedelta(week * 7 + 6 + until, unit="D")
    monthly = seen.dt.to_period("M").dt.end_time.dt.normalize() + pd.to_timedelta(until, unit="D")
    is_monthly = every == 30
    months = seen.dt.year * 12 + seen.dt.month
    return pd.DataFrame(
        {
            "parcel_id": parcels["parcel_id"],
            "carrier": parcels["carrier"],
            "service": "ground",
            "zone": parcels["zone"],
            "shipped_on": parcels["shipped_on"],
            "charge_code": kind,
            "charge_kind": kind,
            "amount_cents": np.asarray(cents, dtype=np.int64),
            "invoiced_on": monthly.where(is_monthly, weekly),
            "number": months.where(is_monthly, week),
        }
    )


def _claims(chance: np.random.Generator, habits: Habits, parcels: pd.DataFrame) -> pd.DataFrame:
    breaks = chance.random(len(parcels)) < np.array([GOODS[each][2] for each in parcels["item_type"]])
    rows = parcels[breaks].reset_index(drop=True)
    worth = np.array([GOODS[each][3] for each in rows["item_type"]])
    lost = np.rint(worth * chance.uniform(0.3, 1.0, len(rows))).astype(np.int64)
    opened = rows["shipped_on"] + pd.to_timedelta(
        3 + chance.gamma(2.0, habits.claim_days / 2.0, len(rows)).astype(int), "D"
    )
    decided = opened + pd.to_timedelta(chance.integers(15, 45, len(rows)), unit="D")
    is_paid = chance.random(len(rows)) < 0.5
    return pd.DataFrame(
        {
            "claim_id": [f"C{n:05d}" for n in range(len(rows))],
            "parcel_id": rows["parcel_id"],
            "opened_on": opened,
            "filed_on": opened,
            "decided_on": decided,
            "claim_cause": "damage",
            "claim_state": np.where(is_paid, "paid", "refused"),
            "claimed_cents": lost,
            "paid_cents": pd.array(np.where(is_paid, lost, 0), dtype="Int64"),
            "refund_cents": lost,
            "known_on": opened,
        }
    )


def _steps() -> list[Model]:
    wanted = {name for name in completed.READS if name.startswith("marts.")}
    wanted |= {"marts.coverage", "core.unsent_sales", "core.packed_lines", "core.parcel_gaps"}
    needed = {model.name for name in wanted for model in needed_for(name, models())}
    return [model for model in ordered(models()) if model.name in needed]


@contextmanager
def standing_on(shop: LateShop, day: pd.Timestamp) -> Iterator[warehouse.Connection]:
    """The warehouse as it stood on a day: only the tables that completed months read."""
    settings = Settings(folder=Path(), shop=Shop())
    with warehouse.scratch() as connection:
        for kind, found in shop.known(day).items():
            if kind in RECORDS:
                columns = [name for name in RECORDS[kind].columns if name in found]
                rows = found[columns].assign(delivery_id=1, row_number=np.arange(len(found)))
                connection.register("rows_known", rows)
                connection.execute(f"insert into accepted.{kind} by name select * from rows_known")
                connection.unregister("rows_known")
        load_grounds(connection, settings, ())
        make_here(connection, settings, _steps(), lambda name: None)
        yield connection


def completed_on(shop: LateShop, day: pd.Timestamp) -> pd.DataFrame:
    """analysis.completed_months as the records of that day give it, by month."""
    with standing_on(shop, day) as connection:
        tables = {name: _read(connection, name) for name in completed.READS}
        answer = completed.compute(Question(tables, as_of(connection)))
    return answer["analysis.completed_months"].set_index("shipped_month")


def month_ends(count: int) -> list[pd.Timestamp]:
    """The last days of that many months, the last of them early enough for all that follows to be known."""
    last = (FIRST + pd.Timedelta(days=DAYS - 150)).to_period("M")
    return [pd.Timestamp((last - back).end_time.date()) for back in reversed(range(count))]
