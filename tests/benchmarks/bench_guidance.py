"""Whether eight of ten is eight of ten: parcels of held-out months against the guidance of the day before them.

Each row is (what, measured, limit); measured must not exceed the limit. Shops are drawn: three item types to six zones,
weights and sides that differ, an older price list within the year, re-measured weights on some bills. The list of the
held-out months is announced, 0 to 8 percent above the one in force. Bills follow the lists by the literal reading
below. The guidance knows nothing beyond the last day before the held-out months.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from models.analyses import guidance
from models.tariffs.rules import Tariff
from pipelines.build.forward_costs import forward_costs
from tests.models.tariffs.price_lists import parsed, rules_text
from tests.shops import built, table

Row = tuple[str, float, float]
ZONES = ("2", "3", "4", "5", "6", "7")
BANDS = dict(zip(ZONES, (*["zones up to 3"] * 2, *["zones 4 and 5"] * 2, *["zones 6 and more"] * 2), strict=True))
RISES = (0.0, 0.02, 0.04, 0.06, 0.08)
SHOPS = 5
STARTS = ("2025-01-01", "2026-03-01", "2026-10-01")  # of the lists; the last is the one announced
HELD_OUT = pd.Timestamp(STARTS[2])
EARLIER_RISE, LONG_SIDE = 0.05, 900
ITEMS = ("tripod", "mount", "dome")
MATERIAL = 300


@dataclass(frozen=True)
class Shop:
    """parcels: what each is, and in `billed_cents` what the list of its day bills. lists: rules and prices."""

    parcels: pd.DataFrame
    lists: Sequence[Tariff]


def run() -> Iterator[Row]:
    """Coverage at each rise, pooled over shops; some minutes of one core."""
    for rise in RISES:
        share = float(np.mean([covered(shop(seed, rise)) for seed in range(SHOPS)]))
        yield (
            f"rise of {100 * rise:g} percent: {100 * share:.1f} percent covered, away from 80 by",
            abs(share - 0.8),
            0.03,
        )


def shop(seed: int, rise: float, count: int = 1_600) -> Shop:
    """Fifteen months, the last three held out."""
    draw = np.random.default_rng(seed)
    days = np.sort(draw.integers(0, 456, count))
    item = draw.choice(3, count, p=draw.dirichlet((6.0, 6.0, 6.0)))
    weight = np.array([6.0, 18.0, 11.0])[item] * draw.lognormal(0.0, 0.3, count)
    rows = pd.DataFrame(
        {
            "parcel_id": [f"P{at}" for at in range(count)],
            "item_type": np.array(ITEMS)[item],
            "zone": draw.choice(ZONES, count),
            "shipped_on": pd.Timestamp("2025-10-01") + pd.to_timedelta(days, unit="D"),
            "scale_weight_lb": weight.round(2),
            "length_in": np.array([46.0, 20.0, 30.0])[item] + draw.uniform(-1, 4, count).round(1),
        }
    )
    rises = [1.0, 1.0 + EARLIER_RISE, (1.0 + EARLIER_RISE) * (1.0 + rise)]
    which = np.searchsorted(pd.to_datetime(list(STARTS)), rows["shipped_on"], side="right") - 1
    heavier = np.ceil(rows["scale_weight_lb"] * np.where(draw.random(count) < 0.06, 1.2, 1.0))
    place = rows["zone"].map({zone: at for at, zone in enumerate(ZONES)})
    base = [price(int(pounds), at, rises[each]) for pounds, at, each in zip(heavier, place, which, strict=True)]
    long_side = [round(LONG_SIDE * rises[each]) for each in which]
    rows["billed_cents"] = np.array(base) + np.where(rows["length_in"] > 48, long_side, 0)
    return Shop(rows, [price_list(at, rises[at]) for at in range(3)])


def price(pounds: int, place: int, rise: float) -> int:
    """A parcel's base price, literally: so much at all, a pound and a zone."""
    return round((700 + 55 * pounds * (1 + 0.12 * place)) * rise)


def price_list(number: int, rise: float) -> Tariff:
    """The list from its day on, as a shop would write it."""
    surcharge = (
        '[[surcharges]]\nsurcharge = "long side"\ncharge_code = "LONG"\n'
        f'when = [[{{ measure = "longest_side", more_than = 48.0 }}]]\namount_cents = {round(LONG_SIDE * rise)}\n'
    )
    ends = [str((pd.Timestamp(day) - pd.Timedelta(days=1)).date()) for day in STARTS[1:]]
    text = rules_text(
        "Northline",
        surcharge,
        effective_from=STARTS[number],
        effective_to=ends[number] if number < 2 else "",
        divisor=100_000.0,
        side_rounding="none",
    ).replace('tariff_code = "Northline"', f'tariff_code = "list-{number}"')
    rows = [
        f"plain,{zone},{pounds},{price(pounds, place, rise)}"
        for place, zone in enumerate(ZONES)
        for pounds in range(1, 151)
    ]
    prices = "\n".join(["service,zone,up_to_weight,price_cents", *rows, ""])
    return parsed(f"list-{number}.toml", text, lambda name: prices)


def covered(of: Shop) -> float:
    """Share of the held-out parcels that the charge pays for, damage and fees being none."""
    known, later = of.parcels[of.parcels["shipped_on"] < HELD_OUT], of.parcels[of.parcels["shipped_on"] >= HELD_OUT]
    advised = _advised(known, of.lists).set_index(["item_type", "zone_band"])["break_even_cents"]
    cells = pd.MultiIndex.from_arrays([later["item_type"], later["zone"].map(BANDS)])
    charges = advised.reindex(cells).to_numpy(dtype=float)
    costs = later["billed_cents"].to_numpy(dtype=float) + MATERIAL
    return float((costs <= charges)[~np.isnan(charges)].mean())


def _advised(known: pd.DataFrame, lists: Sequence[Tariff]) -> pd.DataFrame:
    with built(price_lists=lists, **_records(known)) as connection:
        costs = forward_costs(connection, (HELD_OUT - pd.Timedelta(days=1)).date())
        levels = table(connection, "marts.shipping_cost_levels").rename(columns=guidance.PAST)
    found = guidance.guidance(guidance.priced(levels, costs))
    return found[~found["is_too_few"]]


def _records(known: pd.DataFrame) -> dict[str, Any]:
    rows = known.assign(shipped_on=known["shipped_on"].dt.date.astype(str)).to_dict("records")
    sides = {"width_in": 8.0, "height_in": 7.0}
    facts = ("parcel_id", "zone", "shipped_on", "scale_weight_lb", "length_in")
    return {
        "sales": [{"sale_id": f"S{row['parcel_id']}", "item_type": row["item_type"]} for row in rows],
        "weights": [
            {name: row[name] for name in facts}
            | {"sale_id": f"S{row['parcel_id']}", "service": "plain", "packing_method": "paper", "pack_minutes": 0}
            | sides
            for row in rows
        ],
        "charges": [
            {"parcel_id": row["parcel_id"], "charge_kind": "base", "amount_cents": row["billed_cents"]}
            | {"invoiced_on": row["shipped_on"]}
            for row in rows
        ],
        "packing_methods": [{"packing_method": "paper", "material_cents": MATERIAL, "pack_minutes": 0}],
    }
