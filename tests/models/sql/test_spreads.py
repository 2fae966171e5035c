"""Marts of how margins, lengths and carriage spread, on rows given by hand."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import prices_text, tariff
from tests.shops import built


@pytest.fixture(scope="module")
def shop() -> Iterator[warehouse.Connection]:
    """Forty parcels of one month in two zones: each is left with 15 cents more than the one before."""
    each = [(f"P{at:02d}", at) for at in range(40)]
    with built(
        needed=("marts.margin_bins", "marts.carriage_by_zone"),
        sales=[
            {"sale_id": f"S{name}", "line_number": 1, "item_type": "tripod", "shipping_charged_cents": 1_000 + 15 * at}
            for name, at in each
        ],
        weights=[{"parcel_id": name, "sale_id": f"S{name}", "zone": "2" if at < 10 else "5"} for name, at in each],
        charges=[
            *({"parcel_id": name, "amount_cents": 1_100 if at < 10 else 1_301} for name, at in each),
            *({"parcel_id": name, "charge_kind": "tax", "amount_cents": 100} for name, _ in each[:10]),
        ],
    ) as connection:
        yield connection


def test_bins_hold_every_parcel_and_all_the_margin(shop: warehouse.Connection) -> None:
    counted, money = shop.execute("select sum(parcel_count), sum(margin_cents) from marts.margin_bins").fetchall()[0]
    parcels, whole = shop.execute(
        "select count(*), sum(margin_cents) from marts.parcel_costs where not is_account"
    ).fetchall()[0]
    assert (counted, money) == (parcels, whole)
    assert parcels == 40


def test_bins_are_even_and_each_parcel_is_in_its_own(shop: warehouse.Connection) -> None:
    bins = shop.execute(
        "select from_margin_cents, until_margin_cents, parcel_count from marts.margin_bins order by 1"
    ).fetchall()
    assert {until - low for low, until, _ in bins} == {100}
    margins = [row[0] for row in shop.execute("select margin_cents from marts.parcel_costs").fetchall()]
    for low, until, count in bins[1:-1]:
        assert count == sum(low <= margin < until for margin in margins)


def test_carriage_by_zone_is_billed_over_parcels(shop: warehouse.Connection) -> None:
    found = shop.execute(
        "select zone, parcel_count, billed_cents, tax_cents, carriage_per_parcel_cents from marts.carriage_by_zone "
        "order by zone"
    ).fetchall()
    assert found == [("2", 10, 12_000, 1_000, 1_200), ("5", 30, 39_030, 0, 1_301)]


LONG = """
[[surcharges]]
surcharge = "long side"
charge_code = "LONG"
when = [[{{ measure = "longest_side", {comparison} = 48.0 }}]]
amount_cents = 2000
"""


@pytest.mark.parametrize("comparison", ["more_than", "at_least"])
@pytest.mark.parametrize("rounding", ["up", "nearest", "none"])
def test_what_lies_beyond_the_limit_is_what_the_rating_charges_for(rounding: str, comparison: str) -> None:
    """The rating is the referee: it rounds each side by itself, the mart turns the rounding into one length."""
    lengths = [46.9, 47.2, 47.49, 47.51, 47.99, 48.0, 48.01, 48.3, 48.49, 48.51, 48.9, 49.2, 51.0]
    list_of_prices = tariff(
        "Northline", LONG.format(comparison=comparison), prices_text(("5",)), side_rounding=rounding
    )
    weights = [
        {"parcel_id": f"P{at}", "sale_id": f"S{at}", "service": "plain", "carton_code": "C-48", "scale_weight_lb": 9.0}
        | {"length_in": length, "width_in": 8.0, "height_in": 8.0}
        for at, length in enumerate(lengths)
    ]
    charges = [{"parcel_id": row["parcel_id"], "amount_cents": 1_000} for row in weights]
    needed = ("core.expected_charges", "marts.closed_lengths")
    with built(price_lists=[list_of_prices], needed=needed, weights=weights, charges=charges) as connection:
        charged = connection.execute(
            "select count(distinct parcel_id) from core.expected_charges where charge_name = 'long side'"
        ).fetchall()
        beyond = connection.execute("select sum(parcel_count) from marts.closed_lengths where is_beyond").fetchall()
        every = connection.execute(
            "select sum(parcel_count), min(from_length_in), max(until_length_in) from marts.closed_lengths"
        ).fetchall()[0]
    assert beyond == charged
    assert 0 < charged[0][0] < len(lengths) == every[0]
    assert every[1] <= min(lengths) < max(lengths) < every[2]
