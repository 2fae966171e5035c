"""Sizes chosen on past months, their saving checked on later ones, and what to buy: given rows, expected rows.

Two classes, three sizes. For one parcel: class 1 costs 100 in the small, 150 in the middle, 300 in the large size;
class 2 fits the middle (180) and the large one (300). 3 parcels of class 1 and 1 of class 2 are sent every month.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from models.carton_choice import advice, choosing, moves
from models.carton_choice import chosen as chosen_tables
from models.carton_choice.choosing import Choice
from models.carton_choice.offers import Offers
from models.carton_choice.sizes import INSIDE, CostTable, SizeList
from models.carton_choice.supply import PriceSteps
from models.carton_choice.use import YEAR_DAYS
from models.errors import InfeasibleError, NotFoundError
from models.settings.cartons import Cartons
from tests.damage_shops import only

MONTHS = pd.to_datetime(["2026-06-01", "2026-07-01", "2026-08-01", "2026-09-01"])
SIZES = SizeList(
    pd.DataFrame(
        {
            "size_code": ["small", "middle", "large"],
            "size_source": ["stock", "new", "stock"],
            **dict.fromkeys(INSIDE, 10.0),
            "unit_cost_cents": [80, 90, 120],
            "board_in": 0.16,
            "minimum_order": pd.NA,
            "pack_quantity": [20, pd.NA, 10],
            "stock_left": [5, pd.NA, 40],
        }
    ),
    "the three there are",
)
# The same sizes with nothing on hand that could be written off.
BARE = SizeList(SIZES.rows.assign(stock_left=None), SIZES.statement)
COSTS = CostTable(np.array([[100.0, 150.0, 300.0], [np.inf, 180.0, 300.0]]), np.array([[0, 1, 2], [-1, 4, 5]]))
SETTINGS = Cartons(sizes=1, hold_out_months=1, fixed_cents_per_month=0, new_size_cents=0)


def usages(carton: str = "large") -> pd.DataFrame:
    """Every month the same parcels, all in the large size: 300 each as sent."""
    rows = [
        (key, month, month + pd.Timedelta(days=7), parcels, 300 * parcels, 300 * parcels, "tripod", carton)
        for month in MONTHS
        for key, parcels in ((1, 3), (2, 1))
    ]
    columns = ["class_key", "shipped_month", "shipped_week", "parcel_count", "spent_cents", "cut down", "item_type"]
    return pd.DataFrame(rows, columns=[*columns, "carton_code"]).assign(
        spent=lambda rows: rows["spent_cents"], today_code=lambda rows: rows["carton_code"], void_cents=0
    )


def both(settings: Cartons = SETTINGS, costs: CostTable = COSTS, sizes: SizeList = BARE) -> tuple[Choice, Choice]:
    """Chosen on all months but the last, which is held out, and chosen on all months."""
    return choosing.tested_and_final(usages(), usages(), sizes, costs, settings, lambda: 0.0)


def chosen(settings: Cartons = SETTINGS, costs: CostTable = COSTS, sizes: SizeList = BARE) -> Choice:
    return both(settings, costs, sizes)[0]


def names(choice: Choice) -> list[str]:
    return [str(code) for code in SIZES.rows["size_code"].iloc[list(choice.chosen.sizes)]]


def test_the_best_single_size_holds_everything_and_two_are_cheaper() -> None:
    one, two = chosen(), chosen(replace(SETTINGS, sizes=2))
    assert names(one) == ["middle"] and names(two) == ["small", "middle"]
    assert one.chosen.total_cents == 3 * 150 + 180
    assert two.chosen.total_cents == 3 * 100 + 180
    assert two.price_cents.tolist() == [100, 180] and two.size.tolist() == [0, 1]


def test_a_new_size_bears_its_taking_up_over_a_year() -> None:
    # The middle size saves 570 a month against the large one; 6,900 over twelve months is 575.
    assert names(chosen(replace(SETTINGS, new_size_cents=6_900))) == ["large"]
    assert names(chosen(replace(SETTINGS, new_size_cents=6_700))) == ["middle"]


def test_stock_that_would_be_written_off_speaks_for_its_size() -> None:
    # A month, the middle size saves 570 against the large one, and the small one 360 more; large ones at 120 cents
    # a piece cost 560 a month over a year where there are 56.
    def with_stock(large: int) -> SizeList:
        return SizeList(SIZES.rows.assign(stock_left=pd.Series([0, None, large])), SIZES.statement)

    assert names(chosen(sizes=with_stock(56))) == ["middle"]  # 560 a month
    assert names(chosen(sizes=with_stock(58))) == ["large"]  # 580 a month
    run = chosen_tables.run_row(*both(sizes=with_stock(56))[::-1], SETTINGS, pd.Timestamp("2026-10-01"), 16).iloc[0]
    assert (run["once_cost_cents"], run["stocking_month_cents"]) == (56 * 120, 0)
    costly = replace(SETTINGS, sizes=2, fixed_cents_per_month=30, new_size_cents=100)
    run = chosen_tables.run_row(*both(costly)[::-1], costly, pd.Timestamp("2026-10-01"), 16).iloc[0]
    # One size is new; two are stocked, as today.
    assert (run["once_cost_cents"], run["stocking_month_cents"]) == (100, 0)


def test_the_sizes_to_stock_are_chosen_on_all_months() -> None:
    """In the last month, which is held out, parcels of class 1 are many: then a size of their own is worth its cost."""
    grown = usages()
    grown.loc[(grown["shipped_month"] == MONTHS[3]) & (grown["class_key"] == 1), "parcel_count"] = 60
    settings = replace(SETTINGS, sizes=2, fixed_cents_per_month=400)
    tested, final = choosing.tested_and_final(grown, grown, BARE, COSTS, settings, lambda: 0.0)
    assert (names(tested), names(final)) == (["middle"], ["small", "middle"])
    assert (tested.chosen_on, tested.held_out) == (tuple(MONTHS[:3]), (MONTHS[3],))
    assert (final.chosen_on, final.held_out) == (tuple(MONTHS), ())


def test_codes_to_keep_and_to_drop_are_obeyed_and_unknown_ones_named() -> None:
    # With the large one kept, the small one is the better second: 3 x 100 + 300 against 3 x 150 + 180.
    assert names(chosen(replace(SETTINGS, sizes=2, keep=["large"]))) == ["small", "large"]
    assert names(chosen(replace(SETTINGS, drop=["middle"]))) == ["large"]
    with pytest.raises(NotFoundError, match="name huge"):
        chosen(replace(SETTINGS, keep=["huge"]))


def test_too_few_sizes_for_the_goods_are_reported() -> None:
    apart = CostTable(np.array([[100.0, np.inf, np.inf], [np.inf, 180.0, np.inf]]), COSTS.option)
    with pytest.raises(InfeasibleError, match="at least 2"):
        chosen(costs=apart)


def test_the_last_months_are_held_out_and_one_must_be_left() -> None:
    assert choosing.split_months(pd.Series(MONTHS), 1) == (tuple(MONTHS[:3]), (MONTHS[3],))
    with pytest.raises(NotFoundError, match="only 4 months"):
        choosing.split_months(pd.Series(MONTHS), 4)


def test_what_the_chosen_sizes_would_have_cost_and_saved() -> None:
    rows = choosing.served(usages(), chosen())
    assert rows["chosen_cents"].tolist() == [450, 180] * 4
    assert rows["saving_part"].tolist() == [choosing.CHOSEN_ON] * 6 + [choosing.HELD_OUT] * 2
    saving = chosen_tables.saving_table(rows.assign(spent=300 * rows["parcel_count"]))
    past = only(saving, saving_part=choosing.CHOSEN_ON, saving_against="spent")
    later = only(saving, saving_part=choosing.HELD_OUT, saving_against="spent")
    assert (past["parcel_count"], past["saving_cents"], past["saving_per_parcel_cents"]) == (12, 3 * 570, 142)
    assert (later["parcel_count"], later["saving_cents"]) == (4, 570)
    # Each week is like the others, so that the interval has no width; of one week there is none.
    assert past["saving_low_cents"] == past["saving_high_cents"] == 142
    assert pd.isna(later["saving_low_cents"])


def test_goods_that_no_chosen_size_holds_stay_as_they_were_sent() -> None:
    choice = replace(chosen(), price_cents=np.array([100.0, np.nan]), size=np.array([0, -1]))
    rows = choosing.served(usages(), choice)
    assert rows["chosen_cents"].tolist() == [300, 300] * 4
    ladder = chosen_tables.chosen_ladder(rows)
    assert ladder["better_parcel_count"].tolist() == [3] * 4
    assert ladder["saving_cents"].tolist() == [600] * 4


def test_the_curve_and_the_run_tell_the_proof() -> None:
    tested, choice = both()
    curve = chosen_tables.curve_table(choice)
    assert curve["size_count"].tolist() == [1, 2, 3]
    assert curve["monthly_cents"].tolist() == [630, 480, 480]
    assert curve["is_proven"].all() and (curve["gap_share"] == 0).all()
    (run,) = chosen_tables.run_row(choice, tested, SETTINGS, pd.Timestamp("2026-10-01"), 16).to_dict("records")
    assert (run["chosen_from_on"], run["chosen_to_on"], run["held_out_month_count"]) == (MONTHS[0], MONTHS[3], 1)
    assert (run["size_count"], run["candidate_count"], run["monthly_cents"], run["parcel_count"]) == (1, 3, 630, 16)


def test_a_command_may_say_sizes_and_months_and_nothing_leaves_the_settings() -> None:
    assert choosing.with_sizes(SETTINGS, None, None) == SETTINGS
    said = choosing.with_sizes(SETTINGS, 4, 2)
    assert (said.sizes, said.hold_out_months, said.new_size_cents) == (4, 2, 0)


def test_each_chosen_size_has_its_parcels_and_its_saving_for_a_year() -> None:
    choice = both(replace(SETTINGS, sizes=2))[1]
    found = advice.size_rows(choice, choosing.served(usages(), choice)).set_index("size_code")
    assert found["served_parcel_count"].to_dict() == {"small": 12, "middle": 4}
    assert found["monthly_use"].to_dict() == {"small": 3, "middle": 1}
    assert found["saving_year_cents"].to_dict() == {"small": 12 * 3 * 200, "middle": 12 * 120}


def test_advice_orders_whole_packs_and_counts_what_would_be_left_over() -> None:
    # Dropping the large ones writes off 4,800, which a year of the middle size does not make up unless it must.
    choice = both(replace(SETTINGS, sizes=2, drop=["large"]), sizes=SIZES)[1]
    sizes = advice.size_rows(choice, choosing.served(usages(), choice))
    found = bought(choice, sizes, Cartons(stock_months=9))
    assert found["advice"].to_dict() == {"small": "buy", "middle": "buy", "large": "use up"}
    # 3 a month for 9 months less 5 left are 22 missing: two packs of 20, at 80 cents each.
    assert [found.loc["small", name] for name in ("order_count", "order_cents")] == [40, 40 * 80]
    assert found.loc["small", "stock_months"] == pytest.approx(5 / 3)
    # A new size has no pack quantity yet: nine pieces are wanted.
    assert found.loc["middle", "order_count"] == 9
    assert found.loc["large", "leftover_cents"] == 40 * 120 and found.loc["small", "leftover_cents"] == 0
    assert found.loc["large", ["order_count", "order_cents"]].isna().all()
    assert bought(choice, sizes, Cartons(stock_months=1)).loc["small", "advice"] == "keep"


def test_what_to_buy_follows_the_season_and_the_suppliers_prices() -> None:
    choice = both(replace(SETTINGS, sizes=2, drop=["large"]), sizes=SIZES)[1]
    sizes = advice.size_rows(choice, choosing.served(usages(), choice))
    # Twice as many parcels are expected: 6 a month for 9 months less 5 left are 49.
    found = bought(choice, sizes, Cartons(stock_months=9), {"small": ((60, 70),)}, season=2.0)
    assert [found.loc["small", name] for name in advice.ORDERED] == [60, 70, 60 * 70]
    assert found.loc["middle", "order_count"] == 18


def bought(
    choice: Choice, sizes: pd.DataFrame, settings: Cartons, steps: Mapping[str, PriceSteps] = {}, season: float = 1.0
) -> pd.DataFrame:
    found = advice.purchase_advice(choice, sizes, settings, steps, np.full(YEAR_DAYS, season))
    return found.set_index("size_code")


def offers() -> Offers:
    """The offers that COSTS number: each size whole, but the last, the large one cut."""
    codes = ["small", "middle", "large", "none", "middle", "large"]
    rows = pd.DataFrame({"carton_code": codes, "inside_height_in": [5.0, 6.0, 9.0, 0.0, 6.0, 7.0]})
    cut = [None, None, None, None, None, 7.0]
    return Offers(rows.assign(cut_height_in=pd.Series(cut, dtype="float64")), np.zeros((6, 3)))


def test_where_each_parcel_goes_among_the_sizes_to_stock() -> None:
    choice = both(replace(SETTINGS, sizes=2))[1]
    used = usages().assign(contents_key=usages()["class_key"], packing_method="wrap", used_height_in=9.0)
    found = moves.chosen_cartons(choosing.served(used, choice), choice, offers(), {1: "1 tripod"})
    assert len(found) == 2 * len(MONTHS)
    first = found[found["shipped_month"] == MONTHS[0]].set_index("contents")
    assert first["size_code"].to_dict() == {"1 tripod": "small", "contents not looked at": "middle"}
    assert first["size_source"].to_dict() == {"1 tripod": "stock", "contents not looked at": "new"}
    assert first["best_height_in"].tolist() == [5.0, 6.0] and not first["is_cut"].any()
    assert first["saving_cents"].tolist() == [3 * 200, 120]
    assert (
        found["saving_cents"].sum() == chosen_tables.chosen_ladder(choosing.served(used, choice))["saving_cents"].sum()
    )


def test_a_parcel_stays_as_it_was_sent_in_a_carton_that_stays_and_is_no_dearer() -> None:
    choice = both(replace(SETTINGS, drop=["middle"]))[1]
    cheap = usages().assign(spent_cents=100, contents_key=usages()["class_key"], packing_method="wrap")
    served = choosing.served(cheap.assign(used_height_in=8.0), choice)
    assert served["is_as_sent"].all() and served["size"].eq(2).all()
    found = moves.chosen_cartons(served, choice, offers(), {1: "1 tripod"})
    assert (found["size_code"].eq("large") & found["best_height_in"].eq(8.0) & found["saving_cents"].eq(0)).all()
    # One that is dropped must be left, at a loss.
    dropped = choosing.served(cheap.assign(used_height_in=8.0), both()[1])
    assert not dropped["is_as_sent"].any()
    assert moves.chosen_cartons(dropped, both()[1], offers(), {1: "1 tripod"})["saving_cents"].lt(0).all()
