"""Whether what is said of damage holds on shops that nobody planted: `python -m tests.benchmarks claims`.

Shops are drawn by a generator of its own: parcels day by day, each with an item type, method, carrier, service and
distance, broken by chance, claimed after a delay that the record may be too young to show. They go through the analyses
as the program runs them; the truth is each cell's own mix of parcels at their true rates, within the ages that the
record shows where it is younger than the claim window.

A confident falsehood is a pair of methods that the page says differ, with limits that do not hold the true ratio.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd
from scipy.special import expit
from statsmodels.stats.proportion import proportion_confint

from models.analyses.damage import comparisons, compute
from models.analyses.damage_model import FACTORS, PAIR
from models.analyses.damage_records import damage_records
from models.damage.arrays import IntArray, sums
from models.damage.laplace import Design, Posterior, fit
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


def run(shops: int = 40, tied_shops: int = 67) -> Iterator[Row]:
    """Every kind of shop, then 200 whose methods go with something else; 25 minutes of one core."""
    for name in KINDS:
        yield from _kind(name, [shop_of(name, at) for at in range(shops)])
    yield from entangled([name for name, kind in KINDS.items() if kind.tied], tied_shops)


def shop_of(name: str, at: int) -> Shop:
    """A shop of the kind of that name."""
    return drawn(KINDS[name], np.random.default_rng([at, *name.encode()]))


def entangled(names: Sequence[str], shops: int) -> Iterator[Row]:
    """What is said of pairs of methods where these go with something else: so many shops of each kind."""
    total = np.zeros(4, dtype=np.int64)
    for name in names:
        found = np.sum([_said(shop_of(name, at)) for at in range(shops)], axis=0)
        total += found
        yield from _lines(f"{shops} shops {name}", *found.tolist())
    yield from _lines(f"all {shops * len(names)} of these", *total.tolist())


def _lines(which: str, falsehoods: int, shown: int, misses: int, pairs: int) -> Iterator[Row]:
    low, high = proportion_confint(misses, pairs, method="beta")
    said = f"limits that miss, of {pairs} pairs not called entangled ({low:.1%} to {high:.1%})"
    yield f"{which}: {said}", misses / pairs, 0.05
    yield f"{which}: confident falsehoods, of {shown} pairs said to differ", falsehoods, 0


def _said(shop: Shop) -> tuple[int, int, int, int]:
    """Confident falsehoods, pairs said to differ, pairs not called entangled whose limits miss, pairs of these."""
    asked = shop.question()
    pairs = comparisons(asked, damage_records(asked).recent())
    truth = [_true_ratio(shop, a, b) for a, b in zip(pairs["method_a"], pairs["method_b"], strict=True)]
    is_missed = ~((pairs["pooled_low"] <= truth) & (truth <= pairs["pooled_high"]))
    shown, open_ = pairs["is_different"], ~pairs["is_entangled"]
    return tuple(int(each.sum()) for each in (shown & is_missed, shown, open_ & is_missed, open_))  # type: ignore[return-value]


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
        falsehoods += _wrong_way_round(shop, answers["analysis.method_comparison"])
    yield f"shops {name}: intervals that miss the true rate, of {len(held)} cells", 1.0 - float(np.mean(held)), 0.07
    yield f"shops {name}: width against one that knows delays and spreads", np.mean(width) / np.mean(oracle), 1.25
    shown, true = np.sum(newest, axis=0)
    few = float(np.mean([len(shop.claims) for shop in shops])) < 100
    yield f"shops {name}: bias of the newest month", abs(shown / true - 1.0), 0.15 if few else 0.05
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
    drawn_effects = fit(Posterior(design, parcels, spreads, 1.0), np.append(-4.0, np.zeros(sum(sizes)))).drawn(
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


def _wrong_way_round(shop: Shop, pairs: pd.DataFrame) -> int:
    """Pairs of methods said to differ where the truth is on the other side."""
    shown = pairs[pairs["is_different"]]
    truth = [_true_ratio(shop, a, b) for a, b in zip(shown["method_a"], shown["method_b"], strict=True)]
    return int((np.log(truth) * np.log(shown["pooled_ratio"].to_numpy(float)) < 0.0).sum())


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
