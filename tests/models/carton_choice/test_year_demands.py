"""Sizes chosen on several demands of the year to come: given rows, and every set of sizes tried in plain Python."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from itertools import combinations

import numpy as np
import pandas as pd
import pytest

from models.carton_choice import choosing
from models.carton_choice.demand_costs import demand_costs
from models.carton_choice.sizes import INSIDE, Announced, CostTable, SizeList
from models.carton_choice.year_demands import YearDemand, year_demands
from models.carton_choice.year_words import ANNOUNCED, PAST
from models.settings.cartons import Cartons
from tests.sampling import tries

Parcels = Mapping[tuple[int, str], Sequence[int]]
FIRST = pd.Timestamp("2024-01-01")
NEVER = np.datetime64("NaT")


def usages(monthly: Parcels) -> pd.DataFrame:
    """Parcels of a class and item type in each month from the first on, spread over its first four weeks."""
    rows = [
        (key, item, month, month + pd.Timedelta(days=7 * week - month.weekday()), parcels)
        for (key, item), counts in monthly.items()
        for month, parcels in zip(pd.date_range(FIRST, periods=len(counts), freq="MS"), counts, strict=True)
        for week in range(5)
        if parcels
    ]
    columns = ["class_key", "item_type", "shipped_month", "shipped_week", "parcel_count"]
    return pd.DataFrame(rows, columns=columns).assign(today_code="S-0")


def costs(classes: int, sizes: int = 1, announced: Announced | None = None) -> CostTable:
    return CostTable(np.full((classes, sizes), 100.0), np.zeros((classes, sizes), dtype=np.int64), announced)


def told(demands: tuple[YearDemand, ...]) -> dict[str, tuple[list[float], list[float]]]:
    return {each.name: (each.now.round(6).tolist(), each.later.round(6).tolist()) for each in demands}


def test_a_year_and_less_counts_as_it_is() -> None:
    sent = usages({(1, "tripod"): [1, 2, 3]})
    found = told(year_demands(sent, sent, costs(1)))
    assert found == {"months on record": ([5 * 2.0], [0.0])}


def test_each_month_of_the_calendar_counts_alike_where_all_are_on_record() -> None:
    """Fifteen months: January to March are there twice, and busy; a mean over months would count them twice."""
    sent = usages({(1, "tripod"): [14] * 3 + [2] * 9 + [14] * 3})
    found = told(year_demands(sent, sent, costs(1)))
    assert found == {"months on record": ([5 * (3 * 14 + 9 * 2) / 12], [0.0])}


def test_an_item_type_that_doubled_goes_on_from_its_last_year() -> None:
    sent = usages({(1, "tripod"): [4] * 12 + [8] * 12, (2, "mount"): [4] * 24})
    found = told(year_demands(sent, sent, costs(2)))
    assert found == {"months on record": ([30.0, 20.0], [0.0, 0.0]), "growth": ([80.0, 20.0], [0.0, 0.0])}


def test_growth_is_of_all_parcels_on_record_and_not_of_those_that_could_be_judged() -> None:
    """In the first year only half of the tripods had a price: what was judged doubled, what was sent did not."""
    judged, sent = usages({(1, "tripod"): [4] * 12 + [8] * 12}), usages({(1, "tripod"): [8] * 24})
    assert list(told(year_demands(judged, sent, costs(1)))) == ["months on record"]


def test_announced_prices_hold_from_their_day_on_and_only_for_their_carrier() -> None:
    """Twelve months to December; the list of class 1 begins on 16 October: half of October, November, December."""
    days = np.array(["2025-10-16", NEVER], dtype="datetime64[ns]")
    sent = usages({(1, "tripod"): [0] * 8 + [12, 31, 12, 12], (2, "mount"): [12] * 12})
    found = told(year_demands(sent, sent, costs(2, announced=Announced(np.full((2, 1), 120.0), days))))
    later = 5 * (16 + 12 + 12) / 12
    assert found["announced prices"] == ([round(5 * 67 / 12 - later, 6), 60.0], [round(later, 6), 0.0])
    # A list of nobody's parcels is no demand.
    nobody = Announced(np.full((2, 1), 120.0), np.array([NEVER, NEVER], dtype="datetime64[ns]"))
    assert list(told(year_demands(sent, sent, costs(2, announced=nobody)))) == ["months on record"]


def test_a_size_that_announced_prices_make_dear_gives_way() -> None:
    """The long size is cheaper by 10 now, dearer by 100 under the list that comes: of two demands one has it."""
    now = np.array([[100.0, 110.0]])
    days = np.array(["2025-01-01"], dtype="datetime64[ns]")
    table = CostTable(now, np.array([[0, 1]]), Announced(np.array([[210.0, 110.0]]), days))
    settings = Cartons(sizes=1, fixed_cents_per_month=0, new_size_cents=0)
    sent = usages({(1, "tripod"): [1] * 12})
    for given, size in ((CostTable(now, table.option), 0), (table, 1)):
        choice = choosing.choose(sent, sent, list(_months(12)), size_list(2), given, settings, _clock)
        assert choice.chosen.sizes == (size,)
    rows = demand_costs(choice, settings, _clock).set_index("year_demand")
    # Five parcels a month: 10 cents each lost as on record, nothing under the list announced.
    assert rows["regret_month_cents"].to_dict() == {PAST: 50, ANNOUNCED: 0}
    assert rows["monthly_cents"].to_dict() == {PAST: 550, ANNOUNCED: 550}


@pytest.mark.parametrize("seed", range(tries(200)))
def test_the_sizes_are_the_best_of_all_sets_on_the_mean_and_each_demand_knows_its_own_best(seed: int) -> None:
    chance = random.Random(seed)
    classes, count, most = chance.randint(2, 5), chance.randint(2, 6), chance.randint(1, 3)
    monthly = {(key, f"i{key}"): _counts(chance) for key in range(1, classes + 1)}
    sent, table = usages(monthly), _table(chance, classes, count)
    settings = Cartons(sizes=most, fixed_cents_per_month=chance.choice((0, 500)), new_size_cents=2_400)
    sizes, months = size_list(count), tuple(sorted(sent["shipped_month"].unique()))
    choice = choosing.choose(sent, sent, months, sizes, table, settings, _clock)
    demands = year_demands(sent, sent, table)
    tried = [each for size in range(1, most + 1) for each in combinations(range(count), size)]
    totals = {each: [_spent(demand, table, settings, each) for demand in demands] for each in tried}
    best = min(tried, key=lambda each: sum(totals[each]))
    assert sum(totals[choice.chosen.sizes]) == pytest.approx(sum(totals[best]))
    rows = demand_costs(choice, settings, _clock)
    assert len(rows) == (len(demands) if len(demands) > 1 else 0)
    for at, row in enumerate(rows.to_dict("records")):
        alike = [totals[each][at] for each in tried if len(each) <= len(choice.chosen.sizes)]
        assert row["monthly_cents"] == pytest.approx(totals[choice.chosen.sizes][at], abs=1)
        assert min(alike) - 1 <= row["best_monthly_cents"] <= min(alike) * 1.001 + 1


def _counts(chance: random.Random) -> list[int]:
    base, ratio = chance.randint(1, 6), chance.choice((1, 1, 0.3, 2.5))
    return [max(0, round((base + chance.randint(-1, 1)) * (ratio if at >= 12 else 1))) for at in range(24)]


def _table(chance: random.Random, classes: int, count: int) -> CostTable:
    cents = np.array(
        [[chance.choice((chance.randint(500, 900), np.inf)) for _ in range(count)] for _ in range(classes)]
    )
    cents[:, 0] = 1_000.0
    days = np.array([chance.choice(("2026-03-10", NEVER)) for _ in range(classes)], dtype="datetime64[ns]")
    later = Announced(cents + np.array([[chance.randint(0, 400) for _ in range(count)] for _ in range(classes)]), days)
    return CostTable(cents, np.zeros((classes, count), dtype=np.int64), chance.choice((None, later)))


def _spent(demand: YearDemand, table: CostTable, settings: Cartons, sizes: tuple[int, ...]) -> float:
    """A month's parcels one class at a time, each in its cheapest size, with stocking and a twelfth of new sizes."""
    cents = sum(settings.fixed_cents_per_month + (settings.new_size_cents / 12 if at else 0) for at in sizes)
    for key in range(len(demand.now)):
        cents += demand.now[key] * min(table.cents[key][at] for at in sizes) if demand.now[key] else 0
        if demand.later[key]:
            assert table.announced is not None
            cents += demand.later[key] * min(table.announced.cents[key][at] for at in sizes)
    return float(cents)


def size_list(count: int) -> SizeList:
    """One size in stock, with nothing on hand, and new ones."""
    rows = pd.DataFrame(
        {
            "size_code": [f"S-{at}" for at in range(count)],
            "size_source": ["stock", *["new"] * (count - 1)],
            **dict.fromkeys(INSIDE, 10.0),
            "unit_cost_cents": 100,
            "stock_left": None,
        }
    )
    return SizeList(rows, "these")


def _clock() -> float:
    return 0.0


def _months(count: int) -> pd.DatetimeIndex:
    return pd.date_range(FIRST, periods=count, freq="MS")
