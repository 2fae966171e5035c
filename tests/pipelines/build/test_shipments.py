"""Several parcels under one number: compared with their bill together, priced by the tariff's rule for shipments."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import pytest

from dashboards.explanation import explanation
from models.analyses import ANALYSES
from models.shop_units import Units
from models.tariffs.rules import Tariff
from pipelines.build import analysing
from pipelines.review import explaining
from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.shops import Rows, built, rows

FUEL = """
[[fuel]]
from = 2000-01-01
percent = 10.0
on = ["base", "surcharge"]
"""
HOME = """
[[surcharges]]
surcharge = "home"
charge_code = "HOME"
residential = true
amount_cents = 300
"""
EACH = """
[[shipments]]
base = "each"
"""
TOTAL = """
[[shipments]]
base = "total"
weight = "rounded"
once = ["home"]
"""
CODES = [
    {"carrier": "trial", "charge_code": "BASE", "charge_kind": "base"},
    {"carrier": "trial", "charge_code": "FUEL", "charge_kind": "fuel"},
    {"carrier": "trial", "charge_code": "HOME", "charge_kind": "surcharge"},
    {"carrier": "trial", "charge_code": "TAX", "charge_kind": "tax"},
    {"carrier": "trial", "charge_code": "WHARF", "charge_kind": "surcharge"},
    {"carrier": "trial", "charge_code": "LATER", "charge_kind": "adjustment"},
]


def listed(rest: str) -> Tariff:
    """One dollar a pound in zone 2, and what `rest` states."""
    return parsed("trial.toml", rules_text("trial", rest), lambda name: prices_text())


def parcel(name: str, pounds: float, shipment: str | None = "S1", **stated: Any) -> dict[str, Any]:
    """A small parcel of the bench log."""
    return {
        **{"parcel_id": name, "sale_id": "A", "line_number": None, "packed_quantity": None, "carrier": "trial"},
        **{"service": "plain", "zone": "2", "shipped_on": "2026-10-02", "shipment_id": shipment},
        **{"length_in": 6.0, "width_in": 6.0, "height_in": 6.0, "scale_weight_lb": pounds},
        **{"is_residential": False, "declared_value_cents": 0, **stated},
    }


def line(code: str, cents: int, name: str | None = None, shipment: str | None = "S1", **stated: Any) -> dict[str, Any]:
    """A line of the carrier's invoice."""
    return {"carrier": "trial", "charge_code": code, "amount_cents": cents, "parcel_id": name} | {
        "shipment_id": shipment,
        "service": "plain",
        "zone": "2",
        **stated,
    }


CHECKED = ("marts.billing_differences",)
COSTS = ("marts.parcel_costs",)


@contextmanager
def shop(
    tariff: Tariff, weights: Rows, charges: Rows, needed: Sequence[str] = CHECKED
) -> Iterator[warehouse.Connection]:
    """The records of one sale, built as far as needed; all of it where nothing is said to be."""
    with built(price_lists=[tariff], weights=weights, charges=charges, charge_codes=CODES, needed=needed) as connection:
        yield connection


def differences(connection: warehouse.Connection) -> dict[tuple[str, str], int]:
    """Cents beyond the tariff by cause and charge."""
    found = rows(connection, "select * from marts.billing_differences")
    return {(row["difference_class"], row["charge_name"]): row["difference_cents"] for row in found}


def carriage(connection: warehouse.Connection) -> dict[str, int]:
    """What each parcel was billed, as its margin counts it."""
    return {
        row["parcel_id"]: row["billed_cents"]
        for row in rows(connection, "select parcel_id, billed_cents from marts.parcel_costs")
    }


TWO = [parcel("P1", 10), parcel("P2", 5)]


@pytest.mark.parametrize(
    "charges",
    [
        [line("BASE", 1500)],
        [line("BASE", 1500, "P1")],
        [line("BASE", 1500, "P2")],
        [line("BASE", 700, "P1"), line("BASE", 800, "P2")],
    ],
    ids=["under the shipment", "under the first label", "under another label", "under both labels"],
)
def test_a_parcel_of_a_shipment_is_never_held_against_its_own_price(charges: Rows) -> None:
    with shop(listed(FUEL), TWO, charges, needed=()) as connection:
        assert {cause for cause, _ in differences(connection)} == {"not checked"}
        assert rows(connection, "select * from marts.billing_disputes") == []
        assert rows(connection, "select checked_parcel_count as n from marts.billing_checks") == [{"n": 0}]
    with shop(listed(EACH), TWO, charges) as connection:
        assert differences(connection) == {}


def test_a_parcel_alone_under_its_number_is_held_against_its_own_price() -> None:
    with shop(listed(""), [parcel("P1", 10)], [line("BASE", 1500, "P1")]) as connection:
        assert differences(connection) == {("unknown", "base"): 500}


def test_a_label_that_the_invoice_alone_gives_a_shipment_may_stand_for_the_others_of_the_sale() -> None:
    unnamed = [parcel("P1", 10, None), parcel("P2", 5, None)]
    with shop(listed(""), unnamed, [line("BASE", 1500, "P1")]) as connection:
        assert {cause for cause, _ in differences(connection)} == {"not checked"}
    with shop(listed(""), unnamed, [line("BASE", 1500, "P1", None), line("BASE", 500, "P2", None)]) as connection:
        assert differences(connection) == {("unknown", "base"): 500}


def test_one_price_for_the_weight_of_all() -> None:
    # 10.2 and 5.1 lb are rated 11 and 6, so that 17 dollars are due for both, and one fee of 3.
    home = [parcel("P1", 10.2, is_residential=True), parcel("P2", 5.1, is_residential=True)]
    right = [line("BASE", 1700), line("HOME", 300), line("FUEL", 200)]
    with shop(listed(TOTAL + HOME + FUEL), home, right, needed=()) as connection:
        assert differences(connection) == {}
        # Alone they would be 15.40 and 9.90 dollars: of 17, 3 and 2 dollars the first bears 10.35, 1.83 and 1.22.
        assert carriage(connection) == {"P1": 1340, "P2": 860}
    wrong = [line("BASE", 1700), line("HOME", 600), line("FUEL", 230)]
    with shop(listed(TOTAL + HOME + FUEL), home, wrong, needed=()) as connection:
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
    weights = [
        parcel("P1", 10.2),
        parcel("P2", 1.1, length_in=9.0, width_in=8.0, height_in=8.0),
    ]
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


def test_later_corrections_of_a_shipment_are_not_checked() -> None:
    later = line("LATER", 400, invoice_number="I2", invoiced_on="2026-10-20")
    with shop(listed(EACH), TWO, [line("BASE", 1500), later]) as connection:
        assert differences(connection) == {("not checked", "later"): 400}


def test_equal_lines_of_one_label_may_be_those_of_its_shipment() -> None:
    alike = [parcel("P1", 5), parcel("P2", 5)]
    two, three = ([line("BASE", 500, "P1")] * count for count in (2, 3))
    with shop(listed(EACH), alike, two) as connection:
        assert differences(connection) == {}
    with shop(listed(EACH), alike, three) as connection:
        assert differences(connection) == {("duplicate line", "base"): 500}


def test_tax_is_that_of_the_whole_shipment() -> None:
    tax = "[[tax]]\nfrom = 2000-01-01\npercent = 20.0\n"
    with shop(listed(EACH + tax), TWO, [line("BASE", 1500), line("TAX", 300, "P2")]) as connection:
        assert differences(connection) == {}
    with shop(listed(EACH + tax), TWO, [line("BASE", 1500), line("TAX", 320, "P2")]) as connection:
        assert differences(connection) == {("tax", "tax"): 20}


@pytest.mark.parametrize(
    ("stated", "reason"),
    [
        ({"zone": "3"}, "parcels of several services, zones or days"),
        ({"scale_weight_lb": None}, "weight unknown"),
        ({"scale_weight_lb": 200.0}, "weight beyond the prices"),
        ({"length_in": None, "width_in": None, "height_in": None}, "sides unknown"),
    ],
)
def test_a_shipment_of_which_something_is_not_known_is_not_checked(stated: dict[str, Any], reason: str) -> None:
    with shop(listed(EACH), [parcel("P1", 10), parcel("P2", 5) | stated], [line("BASE", 9900)]) as connection:
        assert differences(connection) == {("not checked", "base"): 9900}
        assert rows(connection, "select shipment_lacking from core.shipments") == [{"shipment_lacking": reason}]


def test_what_is_billed_for_all_is_shared_by_what_each_would_cost_else_by_weight_else_equally() -> None:
    with shop(listed(""), TWO, [line("BASE", 1000)], COSTS) as connection:
        assert carriage(connection) == {"P1": 667, "P2": 333}
    unpriced = [{**each, "service": "other"} for each in TWO]
    with shop(listed(""), unpriced, [line("BASE", 100), line("FUEL", -1)], COSTS) as connection:
        assert carriage(connection) == {"P1": 67 - 1, "P2": 33}
    unweighed = [{**each, "scale_weight_lb": None} for each in TWO]
    with shop(listed(""), unweighed, [line("BASE", 101)], COSTS) as connection:
        assert carriage(connection) == {"P1": 51, "P2": 50}


def test_a_bill_of_each_parcel_stays_with_it() -> None:
    own = [line("BASE", 700, "P1"), line("BASE", 800, "P2"), line("FUEL", 30)]
    with shop(listed(""), TWO, own, COSTS) as connection:
        assert carriage(connection) == {"P1": 720, "P2": 810}


def test_a_number_that_no_parcel_is_known_by_is_an_account_fee() -> None:
    with shop(listed(""), [parcel("P1", 10, None)], [line("BASE", 100, None, "S9")], COSTS) as connection:
        assert carriage(connection) == {"P1": 0, "account trial 2026-10": 100}


def test_explain_speaks_of_all_parcels_together() -> None:
    def explained(tariff: Tariff, name: str) -> list[str]:
        with shop(tariff, TWO, [line("BASE", 1600)], needed=()) as connection:
            analysing.analyse(connection, {}, [each for each in ANALYSES if each.name == "rate curves"])
            parts = explaining.bill(connection, name)
        words = explanation(parts["parcel"].iloc[0], parts["lines"], parts["near"], parts["disputes"], Units("USD"))
        return [said for said in words.splitlines() if "S1" in said or "Charges" in said]

    assert explained(listed(EACH), "P2") == [
        "It is one of 2 parcels of shipment S1: for all of them expected $15.00, billed $16.00."
    ]
    assert explained(listed(""), "P2") == [
        "It is one of 2 parcels of shipment S1. What is billed for all of them, $16.00, is not checked: no rule for so "
        "many parcels."
    ]
