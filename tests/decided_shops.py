"""Shops that may pack another way, from a generator of their own: rates, what methods do, losses and what carriers pay
are drawn for each shop; what a parcel truly costs with each method is reckoned from these, without the program.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
import pandas as pd

from models.analyses import Question
from models.damage.arrays import FloatArray, IntArray

TODAY = pd.Timestamp("2026-11-30")
TYPES, METHODS, SAMPLED = 5, 3, 60
CARRIERS, BANDS = ("ant", "bee"), ("near", "middle", "far")
WAGE, WINDOW = 2_400, 120
# How much more often parcels break by carrier and by distance.
BY_CARRIER, BY_BAND = np.array([1.0, 1.3]), np.array([0.8, 1.0, 1.25])
# Carriers decide on a claim within about a month.
DECIDED_DAYS = 30.0
# Draws that a mean loss is reckoned from.
MANY = 50_000
NO_LIMIT = 10**9


@dataclass(frozen=True)
class Kind:
    """A kind of shop. days: age of its records. parcels: how many. noise: variation of damage from batch to batch, as a
    share of the rate. tail: standard deviation of the logarithm of a loss. worth: the same of goods' worth within an
    item type. liability_cents: most that carriers pay on a claim."""

    days: int = 540
    parcels: int = 6_000
    noise: float = 0.0
    tail: float = 0.4
    worth: float = 0.3
    liability_cents: int = NO_LIMIT


KINDS = {
    "usual": Kind(),
    "92 days old": Kind(days=92, parcels=2_500),
    "small": Kind(parcels=1_500),
    "large": Kind(parcels=40_000),
    "that vary from batch to batch": Kind(noise=0.6),
    "with few large losses": Kind(tail=1.4, worth=0.8),
    "paid up to a limit": Kind(worth=0.8, liability_cents=10_000),
}


@dataclass(frozen=True)
class DecidedShop:
    """question: what the analyses are asked. cents: what a parcel truly costs, damage included, by item type and
    packing method. yearly: parcels of each item type a year, at the volume of the last twelve months or of the
    record where it is shorter."""

    question: Question
    cents: pd.DataFrame
    yearly: pd.Series[int]

    def saving(self, item_type: str, current: str, other: str) -> float:
        """What another method truly saves in a year, in cents."""
        now, then = (float(self.cents[method].to_dict()[item_type]) for method in (current, other))
        return (now - then) * int(self.yearly[item_type])


@dataclass(frozen=True)
class _Drawn:
    """What is true of a shop. rates: shape (types, methods), before carrier and distance. worth, share: middle worth in
    cents of goods and mean share of it lost, by type. harsher: what a method does to a loss. paid: chances that a claim
    is paid in full or at half, by type. packing: material and minutes by method. carriage: more by method and type."""

    rates: FloatArray
    worth: FloatArray
    share: FloatArray
    harsher: FloatArray
    paid: FloatArray
    packing: FloatArray
    minutes: FloatArray
    carriage: FloatArray


def drawn(kind: Kind, rng: np.random.Generator) -> DecidedShop:
    """A shop of that kind."""
    true = _true(rng)
    rows = _parcels(kind, true, rng)
    claims = _claims(kind, true, rows, rng)
    recent = rows[rows["shipped_on"] > rows["shipped_on"].max() - pd.Timedelta(days=365)]
    yearly = (recent.groupby("item_type").size() * 365 / min(kind.days, 365)).round().astype(int)
    tables = {
        "marts.exposure_cells": _cells(rows),
        "marts.claim_losses": claims,
        "packing_costs": _costs(true),
        "analysis.method_carriage": _carriage(true, rng),
        "goods_worths": _worths(rows),
        "claimed_worths": claims[["parcel_id", "worth_cents"]],
    }
    return DecidedShop(Question(tables, date(2026, 11, 30), {"damage": {}}), _cents(kind, true, rows, rng), yearly)


def _true(rng: np.random.Generator) -> _Drawn:
    """Dearer methods mostly break less, not for all goods."""
    usual = np.exp(rng.uniform(np.log(0.006), np.log(0.07), TYPES))
    less = np.cumprod(np.append(1.0, rng.uniform(0.35, 1.15, METHODS - 1)))
    own = rng.uniform(0.75, 1.3, (TYPES, METHODS))
    return _Drawn(
        rates=usual[:, None] * less * own,
        worth=np.exp(rng.uniform(np.log(3_000), np.log(40_000), TYPES)),
        share=rng.uniform(0.4, 1.1, TYPES),
        harsher=np.exp(rng.uniform(-0.2, 0.2, METHODS)),
        paid=rng.dirichlet((2.0, 1.0, 2.0))[:2] * rng.uniform(0.6, 1.0, (TYPES, 1)),
        packing=np.cumsum(np.append(60.0, rng.uniform(20.0, 160.0, METHODS - 1))),
        minutes=np.cumsum(np.append(4.0, rng.uniform(0.0, 1.5, METHODS - 1))),
        carriage=np.cumsum(np.column_stack([np.zeros(TYPES), rng.uniform(-5.0, 60.0, (TYPES, METHODS - 1))]), axis=1),
    )


def _parcels(kind: Kind, true: _Drawn, rng: np.random.Generator) -> pd.DataFrame:
    count = kind.parcels
    item = rng.choice(TYPES, count, p=rng.dirichlet(np.full(TYPES, 3.0)))
    shares = rng.dirichlet(np.full(METHODS, 1.2), TYPES).cumsum(axis=1)
    method = (rng.random(count)[:, None] > shares[item]).sum(axis=1).clip(0, METHODS - 1)
    carrier, band = rng.integers(len(CARRIERS), size=count), rng.choice(len(BANDS), count, p=(0.3, 0.4, 0.3))
    age = rng.integers(kind.days, size=count)
    batch = (item * METHODS + method) * 40 + age // 30
    noise = (
        rng.gamma(1.0 / kind.noise**2, kind.noise**2, int(batch.max()) + 1) if kind.noise else np.ones(batch.max() + 1)
    )
    rate = true.rates[item, method] * BY_CARRIER[carrier] * BY_BAND[band]
    return pd.DataFrame(
        {
            "item_type": [f"goods {at}" for at in item],
            "packing_method": [f"method {at}" for at in method],
            "carrier": np.array(CARRIERS)[carrier],
            "service": "ground",
            "zone_band": np.array(BANDS)[band],
            "shipped_on": TODAY - pd.to_timedelta(age, unit="D"),
            "worth_cents": np.rint(true.worth[item] * np.exp(rng.normal(0.0, kind.worth, count))).astype(np.int64),
            "is_broken": rng.random(count) < (rate * noise[batch]).clip(0.0, 0.9),
            "lag": np.floor(rng.gamma(2.0, 7.5, count)).astype(np.int64),
            "item": item,
            "method": method,
        }
    )


def _losses(
    kind: Kind, true: _Drawn, item: IntArray, method: IntArray, worth: FloatArray, rng: np.random.Generator
) -> FloatArray:
    """Lost on broken parcels before carriers pay: a share of the worth, with its own tail and its mean as stated."""
    tail = np.exp(rng.normal(-0.5 * kind.tail**2, kind.tail, item.size))
    return np.asarray(np.rint(worth * true.share[item] * true.harsher[method] * tail + 300.0))


def _payments(kind: Kind, true: _Drawn, item: IntArray, gross: FloatArray, rng: np.random.Generator) -> FloatArray:
    dealt = rng.random(item.size)
    full, half = true.paid[item, 0], true.paid[item].sum(axis=1)
    share = np.where(dealt < full, 1.0, np.where(dealt < half, 0.5, 0.0))
    return np.minimum(np.rint(share * gross), kind.liability_cents)


def _claims(kind: Kind, true: _Drawn, rows: pd.DataFrame, rng: np.random.Generator) -> pd.DataFrame:
    reported = rows["shipped_on"] + pd.to_timedelta(rows["lag"], unit="D")
    own = rows[rows["is_broken"] & (reported <= TODAY)].reset_index(drop=True)
    item, method = own["item"].to_numpy(), own["method"].to_numpy()
    gross = _losses(kind, true, item, method, own["worth_cents"].to_numpy(float), rng)
    paid = _payments(kind, true, item, gross, rng)
    opened = own["shipped_on"] + pd.to_timedelta(own["lag"], unit="D")
    is_decided = (TODAY - opened).dt.days.to_numpy() > rng.exponential(DECIDED_DAYS, len(own))
    state = np.where(paid <= 0, "refused", np.where(paid < gross, "paid in part", "paid"))
    claims = own.drop(columns=["is_broken", "item", "method", "lag"]).assign(
        opened_on=opened,
        reporting_lag_days=own["lag"],
        claim_id=[f"C{at}" for at in range(len(own))],
        parcel_id=[f"P{at}" for at in range(len(own))],
        claim_cause="damage",
        claim_state=np.where(is_decided, state, "filed"),
        claimed_cents=gross.astype(np.int64),
        paid_cents=pd.array(np.where(is_decided, paid, np.nan), dtype="Int64"),
        claim_cost_cents=gross.astype(np.int64),
    )
    return claims.sort_values(["opened_on", "claim_id"], ignore_index=True)


def _cells(rows: pd.DataFrame) -> pd.DataFrame:
    keys = ["item_type", "packing_method", "carrier", "service", "zone_band", "shipped_on"]
    cells = rows.groupby(keys, as_index=False).agg(parcel_count=("lag", "size"))
    return cells.assign(damage_count=0, loss_count=0, other_claim_count=0)


def _worths(rows: pd.DataFrame) -> pd.DataFrame:
    by = [rows["item_type"], rows["shipped_on"].dt.to_period("M").dt.start_time.rename("shipped_month")]
    return rows.groupby(by)["worth_cents"].agg(parcel_count="size", worth_cents="sum").reset_index()


def _costs(true: _Drawn) -> pd.DataFrame:
    names = [f"method {at}" for at in range(METHODS)]
    costs = {"packing_method": names, "material_cents": true.packing.round(), "pack_minutes": true.minutes}
    return pd.DataFrame(costs | {"clearance_in": 1.0, "wage_cents_per_hour": WAGE})


def _carriage(true: _Drawn, rng: np.random.Generator) -> pd.DataFrame:
    """Sampled parcels of each item type, rated under every method: dearer by what the method adds, more or less."""
    item, parcel, method = (each.ravel() for each in np.mgrid[:TYPES, :SAMPLED, :METHODS])
    base = rng.gamma(9.0, 150.0, (TYPES, SAMPLED))[item, parcel]
    more = true.carriage[item, method] * rng.gamma(4.0, 0.25, (TYPES, SAMPLED))[item, parcel]
    names = {"parcel_id": [f"S{a}-{b}" for a, b in zip(item, parcel, strict=True)]}
    names |= {"item_type": [f"goods {at}" for at in item], "packing_method": [f"method {at}" for at in method]}
    return pd.DataFrame(
        names | {"carton_cents": 120, "cut_and_fill_cents": 0, "postage_cents": np.rint(base + more).astype(np.int64)}
    )


def _cents(kind: Kind, true: _Drawn, rows: pd.DataFrame, rng: np.random.Generator) -> pd.DataFrame:
    """What a parcel truly costs, by item type and method, but for the postage that all methods have alike."""
    conditions = (
        BY_CARRIER[(rows["carrier"] == "bee").astype(int)]
        * BY_BAND[rows["zone_band"].map({name: at for at, name in enumerate(BANDS)})]
    )
    own = pd.Series(conditions).groupby(rows["item_type"].to_numpy()).mean()
    item, method = (each.ravel() for each in np.mgrid[:TYPES, :METHODS])
    lost = np.array([_mean_loss(kind, true, *cell, rng) for cell in zip(item, method, strict=True)])
    rate = true.rates[item, method] * own.reindex([f"goods {at}" for at in item]).fillna(1.0).to_numpy()
    packing = true.packing[method] + true.minutes[method] / 60.0 * WAGE + true.carriage[item, method]
    found = (packing + rate * lost).reshape(TYPES, METHODS)
    names = [f"goods {at}" for at in range(TYPES)], [f"method {at}" for at in range(METHODS)]
    return pd.DataFrame(found, index=names[0], columns=names[1])


def _mean_loss(kind: Kind, true: _Drawn, item: int, method: int, rng: np.random.Generator) -> float:
    """Cents that a damaged parcel costs on average, net of what carriers pay: by hand, or drawn where they pay only up
    to a limit."""
    mean = true.worth[item] * np.exp(0.5 * kind.worth**2) * true.share[item] * true.harsher[method] + 300.0
    if kind.liability_cents >= NO_LIMIT:
        full, half = true.paid[item]
        return float(mean * (1.0 - full - 0.5 * half))
    items, methods = np.full(MANY, item), np.full(MANY, method)
    worth = true.worth[item] * np.exp(rng.normal(0.0, kind.worth, MANY))
    gross = _losses(kind, true, items, methods, worth, rng)
    return float((gross - _payments(kind, true, items, gross, rng)).mean())
