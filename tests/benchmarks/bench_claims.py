"""Whether what is said of damage holds on shops that nobody planted: `python -m tests.benchmarks claims`.

Shops are drawn by a generator of its own: parcels day by day, each with an item type, method, carrier, service and
distance, broken by chance, claimed after a delay that the record may be too young to show. They go through the analyses
as the program runs them; the truth is each cell's own mix of parcels at their true rates, within the ages that the
record shows where it is younger than the claim window.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd
from scipy.special import expit

from models.analyses.damage import compute
from models.analyses.damage_model import FACTORS, PAIR
from models.damage.arrays import IntArray, sums
from models.damage.laplace import Design, Told, fit
from tests.benchmarks.claims_drawn import KEYS, SIZES, SPREADS, Kind, Shop, drawn, true_rates

Row = tuple[str, float, float]
KINDS = {
    "31 days old": Kind(days=31, parcels=2_000),
    "62 days old": Kind(days=62, parcels=3_000),
    "92 days old": Kind(days=92, parcels=3_000),
    "with delays that drift": Kind(delay=(10.0, 30.0)),
    "of few claims": Kind(parcels=900),
    "large": Kind(parcels=40_000),
    "that vary from batch to batch": Kind(noise=0.5),
    "with a few goods far worse": Kind(tail=3.0),
    "whose claims come by month": Kind(files_days=31),
    "whose claims come by month, imports known": Kind(files_days=31, is_import_known=True),
    "of few claims, which come by month": Kind(parcels=900, files_days=31, is_import_known=True),
    "whose methods go with carriers": Kind(tied=0.97),
    "whose methods go with zones": Kind(parcels=2_000, tied=0.97, by="zone_band"),
    "whose methods go with seasons": Kind(parcels=2_000, tied=0.97, by="shipped_month"),
}


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
