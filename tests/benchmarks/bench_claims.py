"""Whether what is said of damage holds on shops that nobody planted: `python -m tests.benchmarks claims`.

Shops are drawn by a generator of its own: parcels day by day, each with an item type, method, carrier, service and
distance, broken by chance, claimed after a delay that the record may be too young to show. They go through the analyses
as the program runs them; the truth is each cell's own mix of parcels at their true rates, within the ages that the
record shows where it is younger than the claim window.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

import numpy as np
import pandas as pd
from scipy.special import expit

from models.analyses import Question
from models.analyses.damage import compute
from models.analyses.damage_model import FACTORS, PAIR
from models.damage.arrays import FloatArray, IntArray, sums
from models.damage.laplace import Design, Told, fit
from tests.damage_shops import NOTHING

Row = tuple[str, float, float]
TODAY = pd.Timestamp("2026-11-30")
WINDOW = 120
SIZES = {"item_type": 8, "packing_method": 4, "carrier": 2, "service": 3, "zone_band": 3, "shipped_month": 25}
SPREADS = {"item_type": 0.7, "packing_method": 0.4, "carrier": 0.3, "service": 0.2, "zone_band": 0.2}
SPREADS |= {"shipped_month": 0.1, PAIR: 0.25}
KEYS = ["item_type", "packing_method"]
UNKNOWN_WORTHS = pd.DataFrame(columns=["item_type", "shipped_month", "parcel_count", "worth_cents"])


@dataclass(frozen=True)
class Kind:
    """A kind of shop. days: age of its records. parcels: how many. tied: share of parcels whose carrier, or what `by`
    names, follows from the method. noise: variation from batch to batch, as a share of the rate. tail: degrees of
    freedom of effects; few make a few goods far worse than the rest. delay: mean days until a claim, at the beginning
    and in the middle."""

    days: int = 540
    parcels: int = 4_000
    tied: float = 0.0
    by: str = "carrier"
    noise: float = 0.0
    tail: float = np.inf
    delay: tuple[float, float] = (15.0, 15.0)


KINDS = {
    "31 days old": Kind(days=31, parcels=2_000),
    "62 days old": Kind(days=62, parcels=3_000),
    "92 days old": Kind(days=92, parcels=3_000),
    "with delays that drift": Kind(delay=(10.0, 30.0)),
    "of few claims": Kind(parcels=900),
    "large": Kind(parcels=40_000),
    "that vary from batch to batch": Kind(noise=0.5),
    "with a few goods far worse": Kind(tail=3.0),
    "whose methods go with carriers": Kind(tied=0.97),
    "whose methods go with zones": Kind(parcels=2_000, tied=0.97, by="zone_band"),
    "whose methods go with seasons": Kind(parcels=2_000, tied=0.97, by="shipped_month"),
}


@dataclass(frozen=True)
class Shop:
    """cells: rows of marts.exposure_cells, with the true rate of their parcels within the ages on record. claims: rows
    of marts.claim_losses. effects: the true ones, by factor."""

    cells: pd.DataFrame
    claims: pd.DataFrame
    effects: dict[str, FloatArray]
    kind: Kind

    def question(self) -> Question:
        counts = {"damage_count": 0, "loss_count": 0, "other_claim_count": 0}
        tables = {"marts.exposure_cells": self.cells.assign(**counts), "marts.claim_losses": self.claims}
        tables |= {"goods_worths": UNKNOWN_WORTHS, "claimed_worths": pd.DataFrame(columns=["parcel_id", "worth_cents"])}
        return Question(tables, date(2026, 11, 30), {"damage": {}})


def run(shops: int = 40, tied_shops: int = 200) -> Iterator[Row]:
    """Every kind of shop; about ten minutes, and as many for methods that go with something else."""
    for name in KINDS:
        yield from _kind(name, [shop_of(name, at) for at in range(shops)])
    for name in (name for name, kind in KINDS.items() if kind.tied):
        yield from entangled(name, tied_shops)


def shop_of(name: str, at: int) -> Shop:
    """A shop of the kind of that name."""
    return drawn(KINDS[name], np.random.default_rng([at, *name.encode()]))


def entangled(name: str, shops: int) -> Iterator[Row]:
    """What is said of pairs of methods where these go with something else. A pair is told where the difference is said
    to stand, and left open where it is not; told apart or not, the interval that carriers and months are reckoned into
    is shown."""
    falsehoods, told, misses, pairs = 0, 0, 0, 0
    for at in range(shops):
        shop = shop_of(name, at)
        found = compute(shop.question())["analysis.method_comparison"]
        falsehoods += _falsehoods(shop, found)
        told, pairs = told + int(found["is_different"].sum()), pairs + int((~found["is_entangled"]).sum())
        misses += _missed(shop, found[~found["is_entangled"]])
    yield f"{shops} shops {name}: pairs called the wrong way round, of {told} told", falsehoods, 0
    yield f"{shops} shops {name}: intervals that miss the true ratio, of {pairs} pairs", misses / max(pairs, 1), 0.07


def _missed(shop: Shop, pairs: pd.DataFrame) -> int:
    missed = 0
    for pair in pairs.itertuples():
        truth = _true_ratio(shop, str(pair.method_a), str(pair.method_b))
        missed += not float(str(pair.pooled_low)) <= truth <= float(str(pair.pooled_high))
    return missed


def _kind(name: str, shops: list[Shop]) -> Iterator[Row]:
    held, width, oracle, newest, falsehoods = [], [], [], [], 0
    for shop in shops:
        answers = compute(shop.question())
        rates = answers["analysis.damage_rates"].set_index(KEYS)
        truth = true_rates(shop).reindex(rates.index)
        held += list((rates["shrunk_low"] <= truth) & (truth <= rates["shrunk_high"]))
        width += list(np.log(rates["shrunk_high"] / rates["shrunk_low"]))
        oracle += list(_oracle_width(shop).reindex(rates.index))
        newest.append(_newest_month(shop, answers["analysis.monthly_damage"]))
        falsehoods += _falsehoods(shop, answers["analysis.method_comparison"])
    yield f"shops {name}: intervals that miss the true rate, of {len(held)} cells", 1.0 - float(np.mean(held)), 0.07
    yield f"shops {name}: width against one that knows delays and spreads", np.mean(width) / np.mean(oracle), 1.25
    told, true = np.sum(newest, axis=0)
    few = float(np.mean([len(shop.claims) for shop in shops])) < 100
    yield f"shops {name}: bias of the newest month", abs(told / true - 1.0), 0.15 if few else 0.05
    yield f"shops {name}: methods called better that are worse, or the other way", falsehoods, 0


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
        refund_cents=10_000,
        **NOTHING,
    )
    return Shop(cells, claims.sort_values(["opened_on", "claim_id"], ignore_index=True), effects, kind)


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


def _oracle_width(shop: Shop) -> pd.Series:
    """Width of the logarithm of each rate's interval, by a fit that is told the spreads and which claims will come."""
    cells = shop.cells.assign(shipped_month=shop.cells["shipped_on"].dt.to_period("M"))
    claims = shop.claims.assign(shipped_month=shop.claims["shipped_on"].dt.to_period("M"))
    keys = pd.MultiIndex.from_frame(cells[list(FACTORS)])
    code, known = pd.factorize(keys, sort=True)
    frame = known.set_names(list(FACTORS)).to_frame(index=False)
    pair = pd.MultiIndex.from_frame(frame[KEYS])
    levels = {name: pd.factorize(frame[name])[0].astype(np.int64) for name in FACTORS}
    levels[PAIR] = pd.factorize(pair)[0].astype(np.int64)
    at = known.get_indexer(pd.MultiIndex.from_frame(claims[list(FACTORS)])).astype(np.int64)
    parcels = sums(code.astype(np.int64), cells["parcel_count"].to_numpy(float), len(known))
    sizes = tuple(int(level.max()) + 1 for level in levels.values())
    design = Design(sums(at, np.ones(at.size), len(known)), levels, sizes)
    spreads = np.array([SPREADS[name] for name in levels])
    drawn_effects = fit(Told(design, parcels, spreads, 1.0), np.append(-4.0, np.zeros(sum(sizes)))).drawn(
        np.random.default_rng(0), 400
    )
    rate = expit(design.matrix @ drawn_effects.T)
    groups: IntArray = levels[PAIR]
    by_pair = np.array([np.bincount(groups, parcels * each) for each in rate.T]) / np.bincount(groups, parcels)
    low, high = np.quantile(by_pair, [0.025, 0.975], axis=0)
    first = pd.MultiIndex.from_frame(frame.assign(at=groups).drop_duplicates("at").sort_values("at")[KEYS])
    return pd.Series(np.log(high / low), index=first)


def _newest_month(shop: Shop, months: pd.DataFrame) -> tuple[float, float]:
    """Claims that the last month's adjusted rate stands for, and those that its parcels will truly have."""
    last = months.sort_values("shipped_month").iloc[-1]
    own = shop.cells[shop.cells["shipped_on"] >= last["shipped_month"]]
    return float(last["shrunk_rate"] * last["parcel_count"]), float((own["rate"] * own["parcel_count"]).sum())


def _falsehoods(shop: Shop, pairs: pd.DataFrame) -> int:
    """Pairs of methods said to differ where the truth is on the other side, or where they hardly differ at all."""
    found = 0
    for pair in pairs[pairs["is_different"]].itertuples():
        truth = np.log(_true_ratio(shop, str(pair.method_a), str(pair.method_b)))
        found += truth * np.log(float(str(pair.adjusted_ratio))) < 0.0 and abs(truth) > 0.05
    return found


def _true_ratio(shop: Shop, method_a: str, method_b: str) -> float:
    cells = shop.cells
    used = cells[cells["packing_method"].isin([method_a, method_b])].groupby("item_type")["packing_method"].nunique()
    both = cells[cells["item_type"].isin(used[used == 2].index) & cells["packing_method"].isin([method_a, method_b])]
    item = both["item_type"].str.split().str[-1].astype(int).to_numpy()
    own = both["packing_method"].str.split().str[-1].astype(int).to_numpy()
    sides = []
    for method in (method_a, method_b):
        number = int(method.split()[-1])
        change = shop.effects["packing_method"][number] - shop.effects["packing_method"][own]
        pairs = shop.effects[PAIR]
        change += pairs[item * SIZES["packing_method"] + number] - pairs[item * SIZES["packing_method"] + own]
        sides.append(float((both["rate"] * np.exp(change) * both["parcel_count"]).sum()))
    return sides[0] / sides[1]
