"""Alarms under promotions and seasons: how often quiet shops are woken, and how soon a doubling is told.

Each row is (what, measured, limit); measured must not exceed the limit. Shops are drawn: seven item types on two
carriers with two services each, volume and mix by season, and every few weeks a promotion that sells one item type four
times as often. Nothing else changes, so that every alarm is false. Beside today's charts stand those that compare each
week with the mean of the weeks before, whatever it sold, set to the joint rate of false alarms that today's keep.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.stats import betabinom
from scipy.stats import t as student

from models.analyses.alarms import compute, first_week
from models.analyses.charge_charts import charge_charts
from models.analyses.question import Question
from models.damage.alarms import in_a_row
from models.damage.charts import moving_sigma
from models.settings.damage import Damage
from models.tables import TABLES

Row = tuple[str, float, float]
Numbers = NDArray[np.float64]
MONDAYS = pd.date_range("2025-01-06", periods=98, freq="7D")
AS_OF = MONDAYS[-1] + pd.Timedelta(days=6)
START = first_week(AS_OF)
WATCHED = MONDAYS >= START
TYPES, LANES, SURCHARGES = 7, 4, ("long side", "heavy parcel")
SHOPS = 250
QUIET = Damage().weeks_between_false_alarms


@dataclass(frozen=True)
class Shop:
    """What a shop is: weekly parcels by cell (cells x weeks), usual cost and chances of each cell."""

    sent: NDArray[np.int64]
    cents: Numbers
    chances: Numbers
    broken: Numbers
    seed: int


def run() -> list[Row]:
    """All measurements; some minutes of one core."""
    return [*joint_rate(SHOPS), *delays(SHOPS)]


def shop(seed: int) -> Shop:
    """A quiet shop."""
    draw = np.random.default_rng(seed)
    weeks = np.arange(len(MONDAYS))
    phase, depth = draw.uniform(0, 52, TYPES), draw.uniform(0.0, 0.7, TYPES)
    season = 1 + depth[:, None] * np.sin(2 * np.pi * (weeks + phase[:, None]) / 52)
    season *= 1 + 0.8 * np.isin(weeks % 52, range(45, 51))
    at = 0
    while (at := at + int(draw.integers(3, 10))) < len(weeks):
        season[draw.integers(TYPES), at : at + 2] *= 4
    share = draw.dirichlet(np.full(LANES, 3.0), TYPES)
    mean = draw.uniform(40, 200) * draw.dirichlet(np.full(TYPES, 2.0))[:, None] * season
    sent = draw.poisson((mean[:, None, :] * share[:, :, None]).reshape(TYPES * LANES, -1))
    cents = np.repeat(draw.lognormal(7.2, 0.6, TYPES), LANES) * np.tile(draw.uniform(0.8, 1.6, LANES), TYPES)
    chances = np.repeat(draw.beta(0.5, 2.5, (len(SURCHARGES), TYPES)) * 0.45, LANES, axis=1)
    return Shop(sent, cents, chances, np.repeat(draw.uniform(0.005, 0.04, TYPES), LANES), seed)


def question(of: Shop, doubled: str = "") -> Question:
    """The tables that the alarms read. doubled: a surcharge, or `damage`, that doubles with the first watched week."""
    draw = np.random.default_rng(of.seed + 10_000)
    cells = [
        {"item_type": f"goods {item}", "carrier": f"carrier {lane // 2}", "service": f"service {lane % 2}"}
        for item in range(TYPES)
        for lane in range(LANES)
    ]
    billed = draw.gamma(np.maximum(of.sent, 1) * 12.0, of.cents[:, None] / 12.0) * (of.sent > 0)
    weekly, marked = [], []
    for at, cell in enumerate(cells):
        rows = {**cell, "week_on": MONDAYS, "parcel_count": of.sent[at], "charged_count": of.sent[at]}
        weekly.append(pd.DataFrame({**rows, "billed_cents": billed[at].round()}))
        for number, name in enumerate(SURCHARGES):
            chance = np.where(WATCHED & (name == doubled), 2.0, 1.0) * of.chances[number, at]
            counts = draw.binomial(of.sent[at], np.minimum(chance, 1.0))
            marked.append(pd.DataFrame({**cell, "surcharge": name, "week_on": MONDAYS, "charged_parcel_count": counts}))
    exposure, losses = _damage(of, cells, draw, doubled == "damage")
    tables = {
        "marts.weekly_charges": pd.concat(weekly, ignore_index=True),
        "marts.weekly_surcharges": pd.concat(marked, ignore_index=True),
        "marts.exposure_cells": exposure,
        "marts.claim_losses": losses,
        "shop.acknowledgements": pd.DataFrame({"alarm_id": []}),
    }
    return Question(tables, AS_OF.date())


def _damage(
    of: Shop, cells: list[dict[str, str]], draw: np.random.Generator, is_doubled: bool
) -> tuple[pd.DataFrame, pd.DataFrame]:
    cell, week = np.nonzero(of.sent)
    counts = of.sent[cell, week]
    goods = pd.DataFrame([cells[at] for at in cell]).assign(packing_method="paper", zone_band="near")
    goods["shipped_on"] = MONDAYS[week] + pd.to_timedelta(draw.integers(0, 5, len(week)), unit="D")
    exposure = goods.assign(parcel_count=counts, damage_count=0, loss_count=0, other_claim_count=0)
    chance = of.broken[cell] * np.where(is_doubled & WATCHED[week], 2.0, 1.0)
    claims = goods.loc[np.repeat(goods.index, draw.binomial(counts, chance))].reset_index(drop=True)
    lag = draw.integers(4, 32, len(claims))
    claims = claims.assign(reporting_lag_days=lag, opened_on=claims["shipped_on"] + pd.to_timedelta(lag, unit="D"))
    claims = claims[claims["opened_on"] <= AS_OF].reset_index(drop=True)
    losses = claims.reindex(columns=list(TABLES["marts.claim_losses"].columns)).assign(
        claim_id=[f"C{at}" for at in claims.index], claim_cause="damage", claim_state="paid", claim_cost_cents=5_000
    )
    return exposure, losses.fillna({name: 0 for name in losses if str(name).endswith("_cents")})


def joint_rate(shops: int) -> Iterator[Row]:
    """Weeks in which any chart of a quiet shop raises an alarm."""
    weeks = _alarm_weeks([question(shop(seed)) for seed in range(shops)])
    yield f"quiet weeks with a false alarm on any chart, of {weeks.size}", float(weeks.mean()), 0.01


def _alarm_weeks(asked: list[Question]) -> Any:
    found = []
    for each in asked:
        watched = compute(each)["analysis.watched_weeks"]
        raised = set(watched.loc[watched["is_alarm"].astype(bool), "week_on"])
        found.append([week in raised for week in MONDAYS[WATCHED]])
    return np.array(found)


def delays(shops: int) -> Iterator[Row]:
    """Weeks to the first alarm of a surcharge that doubled: today's charts, and those of means at the same rate."""
    drawn = [shop(seed) for seed in range(shops)]
    quiet = [question(each) for each in drawn]
    doubled = [question(each, SURCHARGES[0]) for each in drawn]
    cause = f"surcharge: {SURCHARGES[0]}"
    shown = [_first(_by_goods(each), cause) for each in doubled]
    wanted = float(np.mean([_any(_by_goods(each)) for each in quiet]))
    for level in (200.0 * 4**step for step in range(20)):
        rate = float(np.mean([_any(_by_means(each, level)) for each in quiet]))
        if rate <= max(wanted, 1 / (WATCHED.sum() * shops)):
            break
    usual = [_first(_by_means(each, level), cause) for each in doubled]
    yield (
        f"median weeks to a doubled surcharge over {np.median(usual):g} by means at the same rate",
        (float(np.median(shown) / np.median(usual))),
        1.2,
    )
    before = float(np.mean([_any(_by_means(each, QUIET)) for each in quiet]))
    yield "for comparison: such weeks by charts of means as they were set, charges alone", before, 1.0


Charts = dict[str, NDArray[np.bool_]]


def _by_goods(asked: Question) -> Charts:
    """Of each chart of charges, which watched weeks raise an alarm."""
    charts = list(charge_charts(asked, START))
    drawn = [draw(QUIET * len(charts)) for draw in charts]
    return {each.cause: each.weeks["is_alarm"].to_numpy(dtype=bool) for each in drawn}


def _by_means(asked: Question, quiet: float) -> Charts:
    """The same by charts that know the mean of the weeks before and nothing of goods."""
    weekly, marked = (asked.table(name) for name in ("marts.weekly_charges", "marts.weekly_surcharges"))
    first, found = int((~WATCHED).sum()), {}
    tail = 0.5 / (quiet * weekly["carrier"].nunique() * (1 + len(SURCHARGES)))
    for carrier, part in weekly.groupby("carrier"):
        sums = part.groupby("week_on")[["charged_count", "billed_cents"]].sum()
        sizes = sums["charged_count"].to_numpy(dtype=float)
        each = sums["billed_cents"].to_numpy() / np.maximum(sizes, 1)
        reach = student.ppf(1 - tail, 0.605 * (first - 1)) * np.sqrt(1 + 1 / first) * moving_sigma(each[:first])
        found[f"carriage: {carrier}"] = _starts(each > each[:first].mean() + reach)
        for name, rows in marked[marked["carrier"] == carrier].groupby("surcharge"):
            counts = rows.groupby("week_on")["charged_parcel_count"].sum().to_numpy(dtype=float)
            seen, sent = counts[:first].sum(), sizes[:first].sum()
            limit = betabinom.ppf(1 - tail, np.maximum(sizes, 1).astype(int), seen + 0.5, sent - seen + 0.5)
            found[f"surcharge: {name}, {carrier}"] = _starts(counts > limit)
    return found


def _starts(is_high: Any) -> NDArray[np.bool_]:
    return np.isin(np.arange(is_high.size), in_a_row(np.asarray(is_high)))[WATCHED]


def _any(charts: Charts) -> float:
    """Share of the watched weeks in which any chart raises an alarm."""
    return float(np.any(list(charts.values()), axis=0).mean())


def _first(charts: Charts, cause: str) -> float:
    """Weeks until the first chart of the cause raises an alarm; one beyond all where none does."""
    weeks = np.flatnonzero(np.any([each for name, each in charts.items() if name.startswith(cause)], axis=0))
    return float(weeks[0] + 1) if weeks.size else float(WATCHED.sum() + 1)
