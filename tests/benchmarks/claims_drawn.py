"""Shops drawn day by day, with parcels, claims and true rates: for benches that ask whether what is said holds."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

import numpy as np
import pandas as pd
from scipy.special import expit

from models.analyses import Question
from models.analyses.damage_model import FACTORS, PAIR
from models.damage.arrays import FloatArray

TODAY = pd.Timestamp("2026-11-30")
WINDOW = 120
SIZES = {"item_type": 8, "packing_method": 4, "carrier": 2, "service": 3, "zone_band": 3, "shipped_month": 25}
SPREADS = {"item_type": 0.7, "packing_method": 0.4, "carrier": 0.3, "service": 0.2, "zone_band": 0.2}
SPREADS |= {"shipped_month": 0.1, PAIR: 0.25}
KEYS = ["item_type", "packing_method"]
UNKNOWN_RECORD = pd.DataFrame(columns=["reported_on", "imported_on"])
UNKNOWN_WORTHS = pd.DataFrame(columns=["item_type", "shipped_month", "parcel_count", "worth_cents"])


@dataclass(frozen=True)
class Kind:
    """A kind of shop. days: age of its records. parcels: how many. tied: share of parcels whose carrier, or what `by`
    names, follows from the method. noise: variation from batch to batch, as a share of the rate. tail: degrees of
    freedom of effects; few make a few goods far worse than the rest. delay: mean days until a claim, at the beginning
    and in the middle. files_days: days between files of claims; the last one came on any of so many last days.
    is_import_known: whether the day on which it was imported is on record, up to three days later."""

    days: int = 540
    parcels: int = 4_000
    tied: float = 0.0
    by: str = "carrier"
    noise: float = 0.0
    tail: float = np.inf
    delay: tuple[float, float] = (15.0, 15.0)
    files_days: int = 0
    is_import_known: bool = False


@dataclass(frozen=True)
class Shop:
    """cells: rows of marts.exposure_cells, with the true rate of their parcels within the ages on record. claims: rows
    of marts.claim_losses. effects: the true ones, by factor."""

    cells: pd.DataFrame
    claims: pd.DataFrame
    effects: dict[str, FloatArray]
    kind: Kind
    claims_record: pd.DataFrame = field(default_factory=lambda: UNKNOWN_RECORD)

    def question(self) -> Question:
        counts = {"damage_count": 0, "loss_count": 0, "other_claim_count": 0}
        tables = {"marts.exposure_cells": self.cells.assign(**counts), "marts.claim_losses": self.claims}
        tables |= {"goods_worths": UNKNOWN_WORTHS, "claimed_worths": pd.DataFrame(columns=["parcel_id", "worth_cents"])}
        tables |= {"claims_record": self.claims_record}
        return Question(tables, date(2026, 11, 30), {"damage": {}})


def drawn(kind: Kind, rng: np.random.Generator) -> Shop:
    """A shop of that kind."""
    count = kind.parcels
    day = rng.integers(kind.days, size=count)
    levels = {name: rng.choice(size, count, p=rng.dirichlet(np.ones(size))) for name, size in SIZES.items()}
    shares = rng.dirichlet(np.full(SIZES["packing_method"], 0.7), SIZES["item_type"])
    levels["packing_method"] = (rng.random(count)[:, None] > shares.cumsum(axis=1)[levels["item_type"]]).sum(axis=1)
    levels["packing_method"] = levels["packing_method"].clip(0, SIZES["packing_method"] - 1)
    is_tied = rng.random(count) < kind.tied
    if kind.by == "shipped_month":
        quarter = kind.days // SIZES["packing_method"]
        day = np.where(is_tied, levels["packing_method"] * quarter + day % quarter, day)
    else:
        levels[kind.by] = np.where(is_tied, levels["packing_method"] % SIZES[kind.by], levels[kind.by])
    shipped = TODAY - pd.to_timedelta(kind.days - day, unit="D")
    levels["shipped_month"] = np.asarray((TODAY.year - shipped.year) * 12 + TODAY.month - shipped.month)
    levels[PAIR] = levels["item_type"] * SIZES["packing_method"] + levels["packing_method"]
    effects = {name: _effects(name, kind, rng) for name in SPREADS}
    reach = np.log(rng.uniform(0.008, 0.03)) + sum(effects[name][levels[name]] for name in SPREADS)
    rate = expit(reach)
    batch = levels[PAIR] * SIZES["shipped_month"] + levels["shipped_month"]
    noise = rng.gamma(1.0 / max(kind.noise, 1e-9) ** 2, max(kind.noise, 1e-9) ** 2, int(batch.max()) + 1)
    broken = rng.random(count) < (rate * noise[batch] if kind.noise else rate).clip(0.0, 0.95)
    middle = np.sin(np.pi * day / kind.days)
    mean = kind.delay[0] + (kind.delay[1] - kind.delay[0]) * middle
    lag = np.floor(rng.gamma(2.0, mean / 2.0)).astype(int)
    within = _share_within(mean, min(WINDOW, kind.days))
    named = {name: [f"{name} {at}" for at in levels[name]] for name in FACTORS if name != "shipped_month"}
    rows = pd.DataFrame(named).assign(shipped_on=shipped, rate=rate * within, lag=lag, parcel_count=1)
    cells = rows.groupby([*named, "shipped_on"], as_index=False).agg(
        parcel_count=("parcel_count", "sum"), rate=("rate", "mean")
    )
    claims = rows[broken & (lag <= kind.days - day)].reset_index(drop=True)
    claims = claims.assign(
        opened_on=claims["shipped_on"] + pd.to_timedelta(claims["lag"], unit="D"),
        reporting_lag_days=claims["lag"],
        claim_id=[f"C{at}" for at in range(len(claims))],
        parcel_id=[f"P{at}" for at in range(len(claims))],
        claim_cause="damage",
        claim_state="refused",
        claimed_cents=10_000,
        paid_cents=0,
        claim_cost_cents=10_000,
    )
    claims, record = _in_files(claims.sort_values(["opened_on", "claim_id"], ignore_index=True), kind, rng)
    return Shop(cells, claims, effects, kind, record)


def _in_files(claims: pd.DataFrame, kind: Kind, rng: np.random.Generator) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Claims that the last file holds, and its row of claims_record."""
    if not kind.files_days:
        return claims, UNKNOWN_RECORD
    to = TODAY - pd.Timedelta(days=int(rng.integers(kind.files_days)))
    kept = claims[claims["opened_on"] <= to].reset_index(drop=True)
    imported = to + pd.Timedelta(days=int(rng.integers(4))) if kind.is_import_known else TODAY
    return kept, pd.DataFrame({"reported_on": [kept["opened_on"].max()], "imported_on": [imported]})


def _effects(name: str, kind: Kind, rng: np.random.Generator) -> FloatArray:
    size = SIZES["item_type"] * SIZES["packing_method"] if name == PAIR else SIZES[name]
    if np.isinf(kind.tail):
        return rng.normal(0.0, SPREADS[name], size)
    return np.asarray(SPREADS[name] * rng.standard_t(kind.tail, size) / np.sqrt(kind.tail / (kind.tail - 2.0)))


def _share_within(mean: FloatArray, days: int) -> FloatArray:
    """Share of delays of at most so many whole days: a gamma distribution of shape two."""
    reach = (days + 1.0) * 2.0 / mean
    return np.asarray(1.0 - np.exp(-reach) * (1.0 + reach))


def true_rates(shop: Shop) -> pd.Series:
    """The rate of each item type with each method, of its own parcels."""
    weighted = shop.cells.assign(claims=shop.cells["rate"] * shop.cells["parcel_count"]).groupby(KEYS)
    return weighted["claims"].sum() / weighted["parcel_count"].sum()
