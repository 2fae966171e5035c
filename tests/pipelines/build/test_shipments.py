"""Several parcels under one number: compared with their bill together, priced by the tariff's rule for shipments."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from dashboards.explanation import explanation
from models.analyses import ANALYSES
from models.plain_rows import as_dicts
from models.shop_units import Units
from models.sql_texts import sql_texts
from models.tariffs.rules import Tariff
from pipelines.build import analysing
from pipelines.review import explaining
from tests.pipelines.build.shipped_together import (
    CODES,
    COSTS,
    DISPUTED,
    EACH,
    FUEL,
    TWO,
    carriage,
    differences,
    line,
    listed,
    parcel,
    shop,
)
from tests.shops import Rows, built, rows


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
    with shop(listed(FUEL), TWO, charges, DISPUTED) as connection:
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


def test_a_shipment_that_no_parcel_is_known_of_is_a_parcel_where_it_was_carried() -> None:
    lines = [line("BASE", 100, None, "S9"), line("FUEL", 7, None, "S9"), line("FUEL", 30, None, "S8")]
    with shop(listed(""), [parcel("P1", 10, None)], lines, COSTS) as connection:
        assert carriage(connection) == {"P1": 0, "S9": 107, "account trial 2026-10": 30}


def test_the_bill_of_a_shipment_is_that_of_each_of_its_parcels() -> None:
    coverage = ("marts.coverage", "core.parcels")
    weights = [each | {"carrier": None} for each in TWO] + [parcel("P3", 5, None)]
    with shop(listed(""), weights, [line("BASE", 1600)], coverage) as connection:
        (month,) = rows(connection, "select parcel_count, charged_count from marts.coverage")
        assert (month["parcel_count"], month["charged_count"]) == (3, 2)
        carriers = rows(connection, "select carrier from core.parcels where parcel_id in ('P1', 'P2')")
        assert [row["carrier"] for row in carriers] == ["trial", "trial"]


def test_explain_speaks_of_all_parcels_together() -> None:
    def explained(tariff: Tariff, name: str) -> list[str]:
        with shop(tariff, TWO, [line("BASE", 1600)], needed=()) as connection:
            analysing.analyse(connection, {}, [each for each in ANALYSES if each.name == "rate curves"])
            parts = explaining.bill(connection, name)
        words = explanation(
            as_dicts(parts["parcel"])[0], parts["lines"], parts["near"], parts["disputes"], Units("USD")
        )
        return [said for said in words.splitlines() if "S1" in said or "Charges" in said]

    assert explained(listed(EACH), "P2") == [
        "It is one of 2 parcels of shipment S1: for all of them expected $15.00, billed $16.00."
    ]
    assert explained(listed(""), "P2") == [
        "It is one of 2 parcels of shipment S1. What is billed for all of them, $16.00, is not checked: no rule for so "
        "many parcels."
    ]


def test_prices_are_learned_from_bills_of_single_parcels_alone() -> None:
    bills = [
        line("BASE", 1500, "P1", billed_weight_lb=15.0, shipped_on="2026-10-02"),
        line("BASE", 700, "P3", None, billed_weight_lb=7.0, shipped_on="2026-10-02"),
    ]
    with shop(listed(""), [*TWO, parcel("P3", 7, None, sale_id="B")], bills, ("core.parcels",)) as connection:
        learned_from = connection.execute(
            sql_texts("queries")["base_bills"], ["trial", date(2026, 1, 1), date(2026, 12, 31)]
        ).df()
    assert learned_from["base_cents"].tolist() == [700]


def test_a_label_whose_shipment_is_billed_was_used() -> None:
    labels: Rows = [
        {"parcel_id": "P2", "carrier": "trial", "bought_on": "2026-10-01", "quoted_cents": 500},
        {"parcel_id": "P8", "carrier": "trial", "bought_on": "2026-10-01", "first_scan_on": "2026-10-02"},
        {"parcel_id": "P9", "carrier": "trial", "bought_on": "2026-10-30", "first_scan_on": "2026-10-30"},
        {"parcel_id": "P7", "carrier": "trial", "bought_on": "2026-10-01", "quoted_cents": 500},
    ]
    with built(
        weights=TWO,
        charges=[line("BASE", 1500, "P1")],
        charge_codes=CODES,
        labels=labels,
        needed=("marts.unused_labels",),
    ) as connection:
        assert [row["parcel_id"] for row in rows(connection, "select * from marts.unused_labels")] == ["P7"]
