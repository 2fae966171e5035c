"""What the tables spell out: prices for every weight that can be billed, seasons, bands, places."""

from __future__ import annotations

from datetime import date

import pytest

from models.errors import TariffError
from models.tariffs.rules import MEASURES
from models.tariffs.tables import tables
from tests.models.tariffs.price_lists import tariff


def row(name: str, rest: str) -> str:
    return f'[[surcharges]]\nsurcharge = "{name}"\ncharge_code = "{name}"\namount_cents = 100\n{rest}\n'


def test_a_price_stands_for_every_weight_up_to_it() -> None:
    prices = "service,zone,up_to_weight,price_cents\nplain,2,1,100\nplain,2,5,500\nplain,2,10,\nplain,2,12,900\n"
    found = tables([tariff(rest=row("a", "minimum_weight = 3.5"), prices=prices)])["shop.tariff_prices"]
    assert dict(zip(found["weight_milli"] / 1000, found["price_cents"], strict=True)) == {
        1: 100,
        2: 500,
        3: 500,
        3.5: 500,
        4: 500,
        5: 500,
        11: 900,
        12: 900,
    }


def test_seasons_part_the_days_where_a_row_begins_or_ends() -> None:
    rest = row("a", "from = 2025-10-06\nto = 2026-01-11") + '[[discounts]]\npercent = 1.0\non = ["base"]\n'
    rest += 'from = 2025-07-01\n[[discounts]]\npercent = 2.0\non = ["base"]'
    found = tables([tariff(rest=rest, effective_from="2025-01-01", effective_to="2026-12-31")])
    seasons = found["shop.tariff_seasons"][["valid_from", "valid_to"]].astype(str).to_numpy().tolist()
    assert seasons == [
        ["2025-01-01", "2025-06-30"],
        ["2025-07-01", "2025-10-05"],
        ["2025-10-06", "2026-01-11"],
        ["2026-01-12", "2026-12-31"],
    ]
    discounts = found["shop.tariff_discounts"].query("zone == '2'").sort_values("valid_from")
    assert discounts["share_millionths"].tolist() == [20_000, 10_000]
    assert discounts["valid_to"].dt.date.tolist() == [date(2025, 6, 30), date(2026, 12, 31)]


def test_scale_bands_part_at_every_step_and_threshold() -> None:
    when = 'when = [[{ measure = "scale_weight", more_than = 1.25 }], [{ measure = "scale_weight", at_least = 7.3 }]]'
    prices = "service,zone,up_to_weight,price_cents\nplain,2,3,100\n"
    found = tables([tariff(rest=row("a", when), prices=prices)])
    bands = found["shop.tariff_scale_bands"][["weight_step_number", "first_milli", "last_milli"]]
    assert bands.to_numpy().tolist() == [
        *([0, 0, 0], [1, 1, 1_000], [2, 1_001, 1_250], [2, 1_251, 2_000], [3, 2_001, 3_000]),
        *([4, 3_001, 7_299], [4, 7_300, 1_000_000_000_000]),
    ]
    assert found["shop.tariff_services"][["scale_grain_milli", "top_step"]].to_numpy().tolist() == [[50, 4]]


@pytest.mark.parametrize("measure", ["scale_weight", "rated_weight"])
def test_bands_are_no_more_than_steps_up_to_the_heaviest_price_and_thresholds(measure: str) -> None:
    """However finely thresholds are written, however far they lie beyond the prices."""
    thresholds = [0.333, 1.001, 17.017, 29.999, 40_000_000.007]
    rest = "".join(
        row(f"s{n}", f'when = [[{{ measure = "{measure}", more_than = {each} }}]]') for n, each in enumerate(thresholds)
    )
    found = tables([tariff(rest=rest, prices="service,zone,up_to_weight,price_cents\nplain,2,30,100\n")])
    assert 30 < len(found["shop.tariff_scale_bands"]) <= 30 + len(thresholds) + 2


def test_declared_values_are_rated_to_the_common_step_and_up_to_the_cap() -> None:
    scheme = "per_declared = { above_cents = 10000, step_cents = 4000, amount_cents = 100 }\nat_most_cents = 250"
    found = tables([tariff(rest=row("a", scheme).replace("amount_cents = 100\n", "", 1))])["shop.tariff_services"]
    assert found[["declared_grain_cents", "declared_most_steps"]].iloc[0].tolist() == [2_000, 11]


def test_prefixes_with_the_same_areas_share_a_place() -> None:
    areas = '[areas]\nfar = ["597", "995"]\nisland = ["995", "967"]\n'
    found = tables([tariff(rest=areas)])
    listed = found["shop.tariff_places"]
    places = dict(zip(listed["destination_prefix"], listed["place_key"], strict=True))
    assert len({places["597"], places["995"], places["967"]}) == 3
    assert len(found["shop.tariff_areas"]) == 4


def test_hundreds_of_conditions_fit_and_too_many_are_refused() -> None:
    several = [measure for measure in MEASURES if measure != "not_rectangular"]

    def rows(count: int) -> str:
        return "".join(
            row(f"{name}{n}", f'when = [[{{ measure = "{name}", more_than = {n}.5 }}]]')
            for name in several
            for n in range(count)
        )

    found = tables([tariff(rest=rows(31))])
    assert len(found["shop.tariff_conditions"]) == 341
    assert found["shop.tariff_conditions"].groupby("measure")["condition_bit"].nunique().max() == 1
    with pytest.raises(TariffError, match="352 different conditions"):
        tables([tariff(rest=rows(32))])
