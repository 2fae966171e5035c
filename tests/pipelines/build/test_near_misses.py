"""What an inch or a pound would spare: on the demo shop, and against a literal reading of its tariffs."""

from __future__ import annotations

import datetime as dt
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from pipelines.shop import warehouse
from sample_data import literal_rating
from tests.pipelines.parcels import DEMO

ROOT = Path(__file__).parents[3]
SIDES = ("longest side", "second side", "shortest side")


@pytest.fixture(scope="module")
def near(demo: warehouse.Connection) -> pd.DataFrame:
    return demo.execute(
        "select n.*, r.length_in, r.width_in, r.height_in, r.scale_weight_lb, r.is_rectangular, "
        "coalesce(r.is_residential, false) as is_residential, "
        "coalesce(r.destination_prefix, '') as destination_prefix, "
        "coalesce(r.declared_value_cents, 0) as declared_value_cents from marts.surcharge_near_misses as n "
        "inner join rating.requests as r on r.request_id = n.parcel_id order by hash(n.parcel_id), n.charge_name"
    ).df()


def literal(row: Any, found: Sequence[literal_rating.Tariff], less: float) -> literal_rating.Rated:
    """The parcel as a plain reading of the tariff rates it, with `less` off what the row changes."""
    sides = sorted((row.length_in, row.width_in, row.height_in), reverse=True)
    weight = row.scale_weight_lb - (less if row.change == "weight" else 0)
    if row.change in SIDES:
        sides[SIDES.index(row.change)] -= less
    day = row.shipped_on.date()
    tariff = literal_rating.tariff_on(found, row.carrier, day)
    assert tariff is not None
    seen = _parcel(row, day, (sides[0], sides[1], sides[2]), weight)
    return literal_rating.rate(seen, tariff)


def _parcel(row: Any, day: dt.date, sides: tuple[float, float, float], weight: float) -> literal_rating.Parcel:
    return literal_rating.Parcel(
        service=row.service,
        zone=row.zone,
        shipped_on=day,
        sides_in=sides,
        scale_weight_lb=weight,
        is_rectangular=bool(row.is_rectangular),
        is_residential=bool(row.is_residential),
        destination_prefix=row.destination_prefix,
        declared_value_cents=int(row.declared_value_cents),
    )


def names(rated: literal_rating.Rated) -> set[str]:
    return {line.name for line in rated.lines if line.kind == "surcharge" and line.amount_cents > 0}


@pytest.mark.parametrize("near_miss", ["paid", "just under"])
def test_the_change_does_it_a_smaller_one_does_not_and_the_saving_is_right(near: pd.DataFrame, near_miss: str) -> None:
    found = [literal_rating.read_tariff(file) for file in sorted(DEMO.glob("*.toml"))]
    sign = 1.0 if near_miss == "paid" else -1.0
    kept = near[(near["near_miss"] == near_miss) & (near["charge_name"] != "rated weight")]
    sample = kept.groupby("charge_name").head(40)
    row: Any
    for row in sample.itertuples():
        change = row.change_lb if row.change == "weight" else row.change_in
        before, after = literal(row, found, 0.0), literal(row, found, sign * change)
        assert (row.charge_name in names(before)) == (near_miss == "paid"), row
        assert (row.charge_name in names(after)) == (near_miss == "just under"), row
        assert abs(before.total_cents - after.total_cents) == row.spared_cents, row
        if change > 0.125:
            almost = literal(row, found, sign * (change - 0.125))
            assert names(almost) >= {row.charge_name} if near_miss == "paid" else row.charge_name not in names(almost)
    assert len(sample) > 80


def test_a_lower_weight_step_is_reached_by_the_change_and_saves_what_it_says(near: pd.DataFrame) -> None:
    found = [literal_rating.read_tariff(file) for file in sorted(DEMO.glob("*.toml"))]
    sample = near[near["charge_name"] == "rated weight"].groupby("change").head(40)
    assert set(sample["change"]) == {*SIDES, "weight"}
    row: Any
    for row in sample.itertuples():
        change = row.change_lb if row.change == "weight" else row.change_in
        before, after = literal(row, found, 0.0), literal(row, found, change)
        assert after.billed_weight < before.billed_weight
        assert before.total_cents - after.total_cents == row.spared_cents > 0


def test_the_long_carton_of_the_demo_is_named_with_both_ways_out(demo: warehouse.Connection) -> None:
    truth = tomllib.loads((ROOT / "sample_data" / "truth.toml").read_text(encoding="utf-8"))["long_carton"]
    learned = demo.execute("select * from analysis.learned_sides where abs(bulge_in) >= 0.5").df()
    assert list(learned["carton_code"]) == [truth["carton_code"]]
    side: Any
    (side,) = learned.itertuples()
    assert side.side == "longest side"
    assert side.usual_in == pytest.approx(truth["usual_closed_length_in"], abs=0.05)
    assert side.named_in == pytest.approx(truth["nominal_length_in"], abs=0.05)
    assert side.bulge_low_in <= side.bulge_in <= side.bulge_high_in
    ways = demo.execute(
        "select bool_and(can_cut) as can_cut, min(other_carton_code) as least, max(other_carton_code) as most "
        "from marts.surcharge_near_misses where near_miss = 'paid' and charge_name = 'long side' "
        "and carton_code = 'C-48'"
    ).df()
    assert bool(ways["can_cut"][0])
    assert (ways["least"][0], ways["most"][0]) == (truth["avoided_by_carton"], truth["avoided_by_carton"])


def test_savings_are_counted_once_for_each_parcel(demo: warehouse.Connection) -> None:
    twice = demo.execute(
        "select parcel_id from marts.surcharge_near_misses where is_counted group by parcel_id, near_miss "
        "having count(*) > 1"
    ).fetchall()
    totals = demo.execute("select sum(spared_cents), sum(parcel_count) from marts.near_miss_totals").fetchall()
    parcels = demo.execute(
        "select sum(spared_cents), count(*) from marts.surcharge_near_misses where near_miss = 'paid' and is_counted"
    ).fetchall()
    assert twice == []
    assert totals == parcels


def test_rates_of_groups_lie_within_their_limits_and_shares_are_shares(demo: warehouse.Connection) -> None:
    rates = demo.execute("select * from analysis.surcharge_rates").df()
    assert set(rates["grouped_by"]) == {"item type", "carton", "service"}
    assert (rates["rate_low"] <= rates["surcharge_rate"] + 1e-12).all()
    assert (rates["surcharge_rate"] <= rates["rate_high"] + 1e-12).all()
    by_group = rates.groupby(["shipped_month", "grouped_by"])["amount_cents"].sum().unstack()
    assert (by_group["carton"] == by_group["item type"]).all()
    assert (by_group["service"] == by_group["item type"]).all()
