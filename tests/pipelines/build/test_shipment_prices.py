"""What several parcels cost together: the tariff's rules for shipments, by hand arithmetic."""

from __future__ import annotations

import pytest

from tests.pipelines.build.shipped_together import (
    COSTS,
    DISPUTED,
    EACH,
    FUEL,
    HOME,
    TOTAL,
    TWO,
    carriage,
    differences,
    line,
    listed,
    parcel,
    shop,
)
from tests.shops import rows


def test_one_price_for_the_weight_of_all() -> None:
    # 10.2 and 5.1 lb are rated 11 and 6, so that 17 dollars are due for both, and one fee of 3.
    home = [parcel("P1", 10.2, is_residential=True), parcel("P2", 5.1, is_residential=True)]
    right = [line("BASE", 1700), line("HOME", 300), line("FUEL", 200)]
    with shop(listed(TOTAL + HOME + FUEL), home, right, [*DISPUTED, *COSTS]) as connection:
        assert differences(connection) == {}
        # Alone they would be 15.40 and 9.90 dollars: of 17, 3 and 2 dollars the first bears 10.35, 1.83 and 1.22.
        assert carriage(connection) == {"P1": 1340, "P2": 860}
    wrong = [line("BASE", 1700), line("HOME", 600), line("FUEL", 230)]
    with shop(listed(TOTAL + HOME + FUEL), home, wrong, [*DISPUTED, *COSTS]) as connection:
        assert differences(connection) == {("shipment", "home"): 300, ("shipment", "fuel"): 30}
        (dispute,) = rows(connection, "select * from marts.billing_disputes")
        assert (dispute["over_cents"], dispute["is_disputable"]) == (330, True)
        assert dispute["own_evidence"] == "2 parcels of shipment S1, together by trial"


LESS = """
[[shipments]]
base = "each"
less_percent = 40.0
minimum_cents = 1400

[[shipments]]
parcels_at_least = 3
base = "each"
less_cents = 250
less_on = "all"
"""


@pytest.mark.parametrize(
    ("pounds", "base_cents"),
    # The lighter one is 40 % less; at least 14 dollars; of three each is 2.50 dollars less, none below nothing.
    [([10, 9], 1540), ([6, 8], 1400), ([10, 9, 2], 1400)],
)
def test_further_parcels_cost_less(pounds: list[int], base_cents: int) -> None:
    weights = [parcel(f"P{number}", each) for number, each in enumerate(pounds)]
    with shop(listed(LESS), weights, [line("BASE", base_cents + 500)]) as connection:
        assert differences(connection) == {("shipment", "base"): 500}


@pytest.mark.parametrize(("added", "pounds"), [("rounded", 16), ("greater", 15), ("together", 12)])
def test_the_weight_of_all_is_added_as_the_tariff_says(added: str, pounds: int) -> None:
    # Rated 11 and 5 lb; greater 10.2 and 576 in3 over 139, 4.14; scale weights 11.3 lb and volumes 5.7 together.
    weights = [parcel("P1", 10.2), parcel("P2", 1.1, length_in=9.0, width_in=8.0, height_in=8.0)]
    rule = TOTAL.replace("rounded", added).replace('once = ["home"]\n', "")
    with shop(listed(rule), weights, [line("BASE", 100)]) as connection:
        found = rows(connection, "select amount_cents from core.shipment_charges where charge_kind = 'base'")
        assert found == [{"amount_cents": pounds * 100}]


def test_a_share_of_the_base_price_is_one_of_the_shipments_where_it_is_charged_once() -> None:
    share = HOME.replace("amount_cents = 300", "percent = 20.0\nat_least_cents = 200")
    home = [each | {"is_residential": True} for each in TWO]
    right = [line("BASE", 1500), line("HOME", 300)]
    # 10 and 5 lb: for each parcel it would be 2.00 dollars at least.
    with shop(listed(TOTAL + share), home, right) as connection:
        assert differences(connection) == {}
    with shop(listed(TOTAL.replace('once = ["home"]\n', "") + share), home, right) as connection:
        assert differences(connection) == {("not checked", "home"): 300}
    with shop(listed(EACH + share), home, right) as connection:
        assert differences(connection) == {("shipment", "home"): -100}


def test_what_the_tariff_does_not_state_is_not_checked_nor_is_fuel_on_it() -> None:
    option = '[[options]]\noption = "wharf"\ncharge_code = "WHARF"\namount_cents = 120\n'
    charges = [line("BASE", 1500), line("WHARF", 240), line("FUEL", 174)]
    with shop(listed(EACH + FUEL), TWO, charges) as connection:
        assert differences(connection) == {("not checked", "wharf"): 240, ("not checked", "fuel"): 24}
    with shop(listed(EACH + FUEL + option), TWO, charges) as connection:
        assert differences(connection) == {("option or event", "wharf"): 240, ("not checked", "fuel"): 24}
    with shop(listed(EACH + FUEL), TWO, [*charges[:2], line("FUEL", 250)]) as connection:
        assert differences(connection)["shipment", "fuel"] == 75


def test_tax_is_that_of_the_whole_shipment() -> None:
    tax = "[[tax]]\nfrom = 2000-01-01\npercent = 20.0\n"
    with shop(listed(EACH + tax), TWO, [line("BASE", 1500), line("TAX", 300, "P2")]) as connection:
        assert differences(connection) == {}
    with shop(listed(EACH + tax), TWO, [line("BASE", 1500), line("TAX", 320, "P2")]) as connection:
        assert differences(connection) == {("tax", "tax"): 20}
