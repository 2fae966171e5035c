"""Carriers that nobody planted: price matrices of services, zones and weights, and what shops are billed by them.

Each has its own shape of prices, a discount that may change within the year, a way in which bills scatter (not at all,
or by an amount folded into the base price), zones that hardly occur, and a few bills that are simply wrong.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

Numbers = npt.NDArray[np.float64]
HEAVIEST = 90
WRONG_SHARE = 0.04


@dataclass(frozen=True)
class Carrier:
    """A list of prices in cents by (service, zone, whole weight from 1), and what its shop sends and is billed."""

    prices: Numbers
    services: tuple[str, ...]
    zones: tuple[str, ...]
    bills: pd.DataFrame


def carrier(seed: int, count: int | None = None) -> Carrier:
    """One generated carrier with the bills of one shop: those of learned() and `is_wrong`, `right_cents`."""
    source = np.random.default_rng(seed)
    services = ("ground", "express", "economy")[: source.integers(1, 4)]
    zones = tuple(str(zone) for zone in range(1, 1 + source.integers(4, 10)))
    prices = price_list(source, len(services), len(zones))
    number = count or int(np.exp(source.uniform(np.log(600), np.log(6_000))))
    return Carrier(prices, services, zones, _bills(source, prices, services, zones, number))


def price_list(source: np.random.Generator, services: int, zones: int) -> Numbers:
    """Prices that rise with weight: a start, an amount a pound that falls off at breaks, dearer zones, rounded ends."""
    weights = np.arange(1, HEAVIEST + 1, dtype=np.float64)
    found = np.empty((services, zones, HEAVIEST))
    bend = source.uniform(0.6, 1.0)
    for service in range(services):
        level = source.uniform(0.8, 1.2) * (1 + 1.1 * (service == 1))
        for zone in range(zones):
            start = level * source.uniform(550, 750) * (1 + 0.06 * zone)
            rate = level * source.uniform(25, 45) * (1 + source.uniform(0.12, 0.22) * zone)
            breaks = 1 + 0.12 * np.searchsorted(np.sort(source.choice(weights, 3, replace=False)), weights)
            rises = rate * np.diff(weights**bend, prepend=1.0) * source.uniform(0.4, 1.6, HEAVIEST) / breaks
            found[service, zone] = start + np.cumsum(rises)
    ending = source.choice([1, 5, 10])
    rounded: Numbers = np.round(found / ending) * ending
    return rounded


def _bills(
    source: np.random.Generator, prices: Numbers, services: tuple[str, ...], zones: tuple[str, ...], count: int
) -> pd.DataFrame:
    goods = np.exp(source.normal(source.uniform(1.2, 2.6), 0.8, source.integers(4, 14)))
    weight = goods[source.integers(0, len(goods), count)] * np.exp(source.normal(0, 0.15, count))
    place = np.clip(np.ceil(weight), 1, HEAVIEST).astype(int) - 1
    zone = source.choice(len(zones), count, p=source.dirichlet(np.full(len(zones), 0.7)))
    service = source.choice(len(services), count, p=source.dirichlet(np.full(len(services), 1.5)))
    day = source.integers(0, 365, count)
    scatter = _discount(source, day) * _folded(source, day)
    right = np.floor(prices[service, zone, place] * scatter + 0.5)
    wrong = source.random(count) < WRONG_SHARE
    faults = prices[service, (zone + 1) % len(zones), place] * scatter, right * source.uniform(1.05, 2.2, count)
    cents = np.where(wrong, np.where(source.random(count) < 0.4, *faults), right)
    return pd.DataFrame(
        {
            "carrier": "trial",
            "service": np.array(services)[service],
            "zone": np.array(zones)[zone],
            "period": "2025",
            "billed_weight": place + 1.0,
            "base_cents": np.floor(cents + 0.5),
            "right_cents": right,
            "is_wrong": wrong,
            "day": day,
        }
    )


def _discount(source: np.random.Generator, day: npt.NDArray[np.int64]) -> Numbers:
    """A share of the price for all parcels, in some shops another one from a day on."""
    first = 1 - source.uniform(0, 0.4)
    later = first * (1 - source.choice([0, 0, 0.02, 0.05]))
    return np.where(day < source.integers(90, 300), first, later)


def _folded(source: np.random.Generator, day: npt.NDArray[np.int64]) -> Numbers:
    """Nothing, or fuel of the week, or an amount that differs from bill to bill."""
    kind = source.integers(0, 3)
    if kind == 0:
        return np.ones(len(day))
    if kind == 1:
        weekly = 1.1 + np.cumsum(source.normal(0, 0.006, 53))
        return np.asarray(weekly[day // 7], dtype=np.float64)
    return np.asarray(np.exp(source.normal(0, source.uniform(0.01, 0.05), len(day))), dtype=np.float64)
