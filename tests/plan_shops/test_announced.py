"""Sizes chosen with a price list that is announced, against every parcel priced by it in plain Python."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from models.plain_rows import as_dicts
from models.settings.cartons import Cartons
from pipelines.build import suppliers
from pipelines.shop import warehouse
from tests.plan_shops.advised import NAMES, judged, price_list, records
from tests.plan_shops.oracle import NEW_LOWEST, cost, stocking, ways
from tests.plan_shops.trade import Carton, Parcel, PlanShop, Tariff, month, wasteful

FROM_ON = date(2026, 7, 10)


def light(seed: int) -> PlanShop:
    """A shop whose board weighs nothing, since the scale weight is left as it was; weights as they are written down."""
    shop = wasteful(seed)
    parcels = tuple(replace(each, weight=round(each.weight, 2)) for each in shop.parcels)
    return replace(shop, board_lb=0.0, parcels=parcels, offered=())


def stocked(shop: PlanShop, connection: warehouse.Connection) -> list[Carton]:
    """The sizes to stock."""
    rows = as_dicts(connection.execute("select * from analysis.assortment order by size_code").df())
    known = {each.code: each for each in shop.cartons}
    return [known.get(row["size_code"], _new(row)) for row in rows]


def _new(row: dict[str, object]) -> Carton:
    length, width, height = (float(str(row[f"inside_{name}"])) for name in NAMES)
    return Carton(str(row["size_code"]), (length, width, height), int(str(row["unit_cost_cents"])), NEW_LOWEST, "new")


def share_after(parcel: Parcel) -> float:
    """Share of the parcel's month, in the year from April 2026, that lies under the list announced."""
    at = (parcel.month.month - 4) % 12
    begins, ends = (month(15 + each) for each in (at, at + 1))
    return min(1.0, max(0.0, (ends - FROM_ON).days / (ends - begins).days))


def month_cents(shop: PlanShop, announced: Tariff, sizes: list[Carton], is_later: bool) -> float:
    """Fifteen months, of which January to March count half, each parcel in the cheapest of the sizes."""
    found = stocking(shop, sizes)
    for parcel in shop.past:
        weight = 1 / 24 if parcel.month.month <= 3 else 1 / 12
        share = share_after(parcel) if is_later else 0.0
        for tariff, part in ((shop.tariff, 1 - share), (announced, share)):
            found += weight * part * min(cost(shop, parcel, way, tariff) for way in ways(sizes, parcel.goods))
    return found


@pytest.mark.slow(6)
@pytest.mark.parametrize("seed", [0, 8])
def test_what_the_sizes_cost_under_a_list_announced_is_each_parcel_by_it(seed: int) -> None:
    shop = light(seed)
    beyond = min(24, shop.tariff.longest[0] - 6)
    announced = replace(shop.tariff, divisor=shop.tariff.divisor - 30, longest=(beyond, 900))
    lists = [price_list(shop.tariff), price_list(announced, from_on=str(FROM_ON))]
    settings = Cartons(fixed_cents_per_month=shop.fixed_cents, new_size_cents=shop.new_size_cents, seconds=20)
    with judged(records(shop), lists, settings, suppliers.no_supplier()) as connection:
        rows = as_dicts(connection.execute("select * from analysis.assortment_demands").df())
        sizes = stocked(shop, connection)
    cents = {row["year_demand"]: row["monthly_cents"] for row in rows}
    regret = {row["year_demand"]: row["regret_month_cents"] for row in rows}
    for name, is_later in (("months on record", False), ("announced prices", True)):
        assert cents[name] == pytest.approx(month_cents(shop, announced, sizes, is_later), abs=1), name
        assert regret[name] >= 0
    assert cents["announced prices"] > cents["months on record"]


def test_a_list_that_has_begun_or_begins_after_the_year_is_none() -> None:
    shop = light(0)
    for from_on in ("2025-02-01", "2027-05-01"):
        lists = [price_list(shop.tariff), price_list(shop.tariff, from_on=from_on)]
        with judged(records(shop), lists, Cartons(seconds=5), suppliers.no_supplier()) as connection:
            found = connection.execute("select year_demand from analysis.assortment_demands").fetchall()
        assert ("announced prices",) not in found
