"""Charges outside the tariff: a shop that is billed by its list disputes nothing, and a wrong bill is still found."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import parsed, prices_text
from tests.pipelines.build.billed_list import CODES, TEXT
from tests.pipelines.build.billed_shops import Billed, billed_shop
from tests.shops import built, rows

PARCELS, FAULT_SHARE = 250, 0.4


@pytest.fixture(scope="module")
def shop() -> Billed:
    return billed_shop(random.Random(20_261), PARCELS, FAULT_SHARE)


@pytest.fixture(scope="module")
def checked(shop: Billed) -> Iterator[warehouse.Connection]:
    listed = parsed("trial.toml", TEXT, lambda name: prices_text())
    with built(price_lists=[listed], weights=shop.weights, charges=shop.charges, charge_codes=CODES) as connection:
        yield connection


def disputed(connection: warehouse.Connection) -> dict[str, int]:
    """Cents by parcel of what can be disputed, beyond a cent."""
    found = rows(
        connection,
        "select parcel_id, cast(sum(over_cents) as bigint) as cents from marts.billing_disputes "
        "where difference_class not in ('rounding', 'fixed fee') group by parcel_id",
    )
    return {str(row["parcel_id"]): int(row["cents"]) for row in found if row["cents"] > 1}


def test_a_right_bill_is_never_disputed(checked: warehouse.Connection, shop: Billed) -> None:
    assert len(shop.planted) < PARCELS * 0.6
    assert set(disputed(checked)) - set(shop.planted) == set()


def test_nearly_every_wrong_bill_is_found(checked: warehouse.Connection, shop: Billed) -> None:
    missed = set(shop.planted) - set(disputed(checked))
    assert len(shop.planted) >= 80
    assert len(missed) <= 0.05 * len(shop.planted), missed


def test_what_the_list_does_not_state_is_counted_apart(checked: warehouse.Connection, shop: Billed) -> None:
    counted = rows(
        checked,
        "select charge_name, difference_class, cast(sum(line_count) as bigint) as line_count "
        "from marts.unchecked_charges where charge_name <> 'fuel' group by all order by all",
    )
    billed = [line["charge_code"] for line in shop.charges]
    by_name = {(row["charge_name"], row["difference_class"]): row["line_count"] for row in counted}
    # Lines that stand twice are repeats, not charges of their own.
    assert 0 < by_name["park", "not checked"] <= billed.count("PARK")
    assert 0 < by_name["return label", "not checked"] <= billed.count("RETURN")
    # A code that nothing gives a kind takes its name from the list.
    assert 0 < by_name["re-measuring fee", "option or event"] <= billed.count("MEASURE")
    assert by_name["signature", "option or event"] <= billed.count("SIGN")
    assert by_name["address", "option or event"] == billed.count("ADDRESS")


def test_every_cent_billed_is_expected_or_accounted_for(checked: warehouse.Connection) -> None:
    apart = rows(
        checked,
        "with over as (select parcel_id, sum(difference_cents) as cents from marts.billing_differences "
        "where charge_kind <> 'tax' group by all), "
        "billed as (select parcel_id, sum(amount_cents) as cents from core.charge_lines "
        "where charge_kind <> 'tax' group by all) "
        "select b.parcel_id from billed as b inner join rating.priced as p on p.request_id = b.parcel_id "
        "left join over as o on o.parcel_id = b.parcel_id where b.cents <> p.expected_cents + coalesce(o.cents, 0)",
    )
    assert apart == []


def test_tax_that_the_shop_gets_back_is_no_cost(checked: warehouse.Connection, shop: Billed) -> None:
    found = rows(
        checked,
        "select sum(billed_cents) as billed, sum(tax_cents) as tax, sum(tax_reclaimed_cents) as back, "
        "sum(billed_cents + margin_cents) as other from marts.parcel_costs where not is_account",
    )
    taxed = sum(row["amount_cents"] for row in shop.charges if row["charge_code"] == "TAX")
    assert found[0]["tax"] == taxed > 0
    assert found[0]["back"] == -taxed
    # Nothing was paid, packed or claimed in this shop: its margin is what it was billed, without the tax.
    assert found[0]["other"] == taxed
    assert found[0]["billed"] == sum(row["amount_cents"] for row in shop.charges)


def test_more_tax_than_is_due_is_found_and_no_other(checked: warehouse.Connection, shop: Billed) -> None:
    found = rows(checked, "select parcel_id from marts.billing_differences where difference_class = 'tax'")
    billed = {name: shop.planted[name] for name in (str(row["parcel_id"]) for row in found)}
    assert len(billed) >= 5
    wrong = rows(
        checked,
        "select parcel_id from core.charge_lines group by parcel_id "
        "having sum(case when charge_kind = 'tax' then amount_cents else 0 end) "
        "> sum(case when charge_kind <> 'tax' then amount_cents else 0 end) * 0.19 + 1.5",
    )
    assert {str(row["parcel_id"]) for row in wrong} <= set(billed)
