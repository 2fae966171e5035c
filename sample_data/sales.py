"""What buyers bought: sales with their lines, and which pieces travel together."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from sample_data import shop
from sample_data.shop import ITEM_TYPES, Contents

CHANNELS = (("marketplace", 0.64), ("own site", 0.36))
FEE_SHARE = {"marketplace": 0.12, "own site": 0.03}
FREE_SHIPPING_SHARE = 0.12
PARCELS_PER_SALE = 1.095
_WEIGHTS = np.array([shop.REMOTE_WEIGHT if prefix in shop.REMOTE else 1.0 for prefix in shop.ZONES])
DESTINATION_SHARES = _WEIGHTS / _WEIGHTS.sum()


@dataclass(frozen=True)
class SaleLine:
    """One item type and quantity of a sale; amounts in cents."""

    line_number: int
    item_type: str
    sku: str
    has_item_type: bool
    has_sku: bool
    title: str
    quantity: int
    price_cents: int
    shipping_cents: int
    fee_cents: int


@dataclass(frozen=True)
class Sale:
    """A sale and the contents of each of its parcels."""

    sale_id: str
    buyer_number: int
    sold_at: dt.datetime
    ship_on: dt.date
    channel: str
    destination_prefix: str
    lines: tuple[SaleLine, ...]
    parcels: tuple[Contents, ...]

    def line_of(self, item_type: str) -> SaleLine:
        """The line that sold this item type."""
        return next(line for line in self.lines if line.item_type == item_type)


def skus() -> dict[str, str]:
    """Stock number -> item type: three numbers for each type."""
    return {
        f"{name.replace(' ', '')[:3].upper()}-{10 * position + n:04d}": name
        for position, name in enumerate(ITEM_TYPES, 1)
        for n in range(1, 4)
    }


def draw_sales(rng: np.random.Generator, parcels: int) -> list[Sale]:
    """About `parcels` parcels' worth of sales, in order of sale."""
    days = shop.days()
    weights = np.array([shop.MONTH_WEIGHT[day.month] * (0.5 if day.weekday() == 5 else 1.0) for day in days])
    chosen = rng.choice(len(days), size=round(parcels / PARCELS_PER_SALE), p=weights / weights.sum())
    moments = sorted((_sold_at(rng, days[n]), n) for n in chosen.tolist())
    return [_draw_sale(rng, number, sold_at, days[n]) for number, (sold_at, n) in enumerate(moments)]


def _sold_at(rng: np.random.Generator, ship_on: dt.date) -> dt.datetime:
    day = dt.datetime.combine(ship_on, dt.time()) - dt.timedelta(days=int(rng.integers(1, 4)))
    return day + dt.timedelta(minutes=int(rng.integers(7 * 60, 23 * 60)))


def _draw_sale(rng: np.random.Generator, number: int, sold_at: dt.datetime, ship_on: dt.date) -> Sale:
    channel = str(rng.choice([name for name, _ in CHANNELS], p=[share for _, share in CHANNELS]))
    parcels = _draw_basket(rng)
    pieces: dict[str, int] = {}
    for contents in parcels:
        for item_type, quantity in contents:
            pieces[item_type] = pieces.get(item_type, 0) + quantity
    is_free = channel == "own site" and rng.random() < FREE_SHIPPING_SHARE
    lines = tuple(
        _draw_line(rng, position, item_type, quantity, channel, is_free)
        for position, (item_type, quantity) in enumerate(pieces.items(), 1)
    )
    prefix = str(rng.choice(list(shop.ZONES), p=DESTINATION_SHARES))
    return Sale(f"S-{10001 + number}", number + 1, sold_at, ship_on, channel, prefix, lines, parcels)


def _draw_basket(rng: np.random.Generator) -> tuple[Contents, ...]:
    chances = [chance for chance, _ in shop.BASKETS]
    pick = int(rng.choice(len(chances) + 1, p=[*chances, 1 - sum(chances)]))
    if pick < len(chances):
        return shop.BASKETS[pick][1]
    shares = np.array([each.share for each in ITEM_TYPES.values()])
    return (((str(rng.choice(list(ITEM_TYPES), p=shares / shares.sum())), 1),),)


def _draw_line(
    rng: np.random.Generator, position: int, item_type: str, quantity: int, channel: str, is_free: bool
) -> SaleLine:
    goods = ITEM_TYPES[item_type]
    stock_numbers = [sku for sku, name in skus().items() if name == item_type]
    pick = int(rng.integers(len(stock_numbers)))
    price_cents = int(goods.price_cents * rng.uniform(0.85, 1.2)) // 100 * 100
    shipping_cents = 0 if is_free else goods.shipping_cents * quantity
    fee_on = price_cents * quantity + (shipping_cents if channel == "marketplace" else 0)
    names = rng.choice(3, p=[0.5, 0.35, 0.15])  # by stock number only, by kind only, both
    return SaleLine(
        line_number=position,
        item_type=item_type,
        sku=stock_numbers[pick],
        has_item_type=names != 0,
        has_sku=names != 1,
        title=goods.titles[pick % len(goods.titles)],
        quantity=quantity,
        price_cents=price_cents,
        shipping_cents=shipping_cents,
        fee_cents=int(fee_on * FEE_SHARE[channel] + 0.5),
    )
