"""Shops that insure some of their parcels, from a generator of their own: chances, losses and carriers' habits are
drawn for each shop, and what a rule brings on its parcels is reckoned here from these, without the program.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pandas as pd

# Goods: usual worth in cents, how far it varies, fragile or not, share of a shop's parcels.
GOODS = {"oar": (6_000, 0.3, False, 0.4), "lamp": (14_000, 0.5, True, 0.35), "harp": (42_000, 0.4, True, 0.25)}
BANDS = (0, 5_000, 10_000, 20_000, 30_000, 50_000, 100_000)


@dataclass(frozen=True)
class InsuredShop:
    """cells, claims: as analyses/insurance.py reads them. chance: of a claim; insured, other: mean share paid; of each
    parcel in `parcels`, which has worth_cents, has_fragile, chance and mean loss as a share of the worth."""

    cells: pd.DataFrame
    claims: pd.DataFrame
    parcels: pd.DataFrame
    insured: float
    other: float

    def truth(self, least_worth_cents: int, is_fragile_only: bool) -> float:
        """What the rule is to be expected to bring on these parcels, less their premiums."""
        covered = self.parcels[self.parcels["worth_from_cents"] >= least_worth_cents]
        covered = covered[covered["has_fragile"] | (not is_fragile_only)]
        lost = (covered["chance"] * covered["worth_cents"] * covered["lost_share"]).sum()
        return float(lost * (self.insured - self.other) - covered["worth_cents"].map(premium).sum())


def premium(worth_cents: int) -> int:
    """Nothing up to 100.00, then 1.20 for each further 100.00 begun: a carrier's usual way of stating it, invented."""
    return 120 * max(0, math.ceil((worth_cents - 10_000) / 10_000))


def generated(seed: int, parcels: int = 4_000) -> InsuredShop:
    """One shop: chances of one to six in a hundred, insured parcels paid at .6 to .95, others at .1 to .5."""
    draw = np.random.default_rng(seed)
    kinds = list(GOODS)
    kind = draw.choice(len(kinds), size=parcels, p=[GOODS[each][3] for each in kinds])
    usual, spread, fragile = (np.array([GOODS[each][at] for each in kinds])[kind] for at in range(3))
    worth = np.maximum(500, np.round(usual * np.exp(draw.normal(0, spread.astype(float))))).astype(int)
    chance = draw.uniform(0.01, 0.06, size=len(kinds))[kind]
    lost_share = draw.uniform(0.5, 1.0, size=len(kinds))[kind]
    is_insured = draw.random(parcels) < np.where(worth > 10_000, draw.uniform(0.2, 0.6), 0.0)
    rows = pd.DataFrame({"worth_cents": worth, "has_fragile": fragile.astype(bool), "is_insured": is_insured})
    rows = rows.assign(chance=chance, lost_share=lost_share, worth_from_cents=_bands(worth))
    rows = rows.assign(premium_cents=np.where(is_insured, [premium(each) for each in worth], 0))
    insured, other = draw.uniform(0.6, 0.95), draw.uniform(0.1, 0.5)
    claims = _claims(draw, rows, insured, other)
    by = ["worth_from_cents", "has_fragile", "is_insured"]
    summed = rows.groupby(by, as_index=False)[["worth_cents", "premium_cents"]].sum()
    counted = rows.groupby(by, as_index=False).size().rename(columns={"size": "parcel_count"})
    return InsuredShop(summed.merge(counted, on=by), claims, rows, insured, other)


def _bands(worth: np.ndarray) -> np.ndarray:
    return np.array(BANDS)[np.searchsorted(BANDS, worth, side="right") - 1]


def _claims(draw: np.random.Generator, rows: pd.DataFrame, insured: float, other: float) -> pd.DataFrame:
    """Losses vary about their mean; a claim is paid in full, at half or not, so that the mean share is right."""
    hit = rows[draw.random(len(rows)) < rows["chance"]]
    size = np.minimum(1.0, draw.beta(4, 4 * (1 / hit["lost_share"] - 1) + 1e-9))
    lost = np.maximum(1, np.round(hit["worth_cents"] * size)).astype(int)
    mean = np.where(hit["is_insured"], insured, other)
    half = np.minimum(mean, 1 - mean) * 0.5  # the chance of half is twice this
    drawn = draw.random(len(hit))
    share = np.where(drawn < mean - half, 1.0, np.where(drawn < mean + half, 0.5, 0.0))
    found = hit[["worth_from_cents", "has_fragile", "is_insured"]].assign(lost_cents=lost)
    return found.assign(paid_cents=np.round(lost * share).astype(int), is_claim_decided=draw.random(len(hit)) < 0.95)
