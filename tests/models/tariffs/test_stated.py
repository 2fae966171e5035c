"""A tariff for other programs: the printed example as its rules have it, held to figures read off its text."""

from __future__ import annotations

import json

from models.tariffs.stated import stated_tables
from tests.models.tariffs.test_showing import FOUND

TABLES = {name: rows.to_dict("records") for name, rows in stated_tables(FOUND).items()}


def test_every_kind_of_rule_has_its_rows() -> None:
    assert {name: len(rows) for name, rows in TABLES.items() if name != "tariff"} == {
        name: len(getattr(FOUND, name))
        for name in vars(FOUND)
        if isinstance(getattr(FOUND, name), tuple) and getattr(FOUND, name)
    }
    (row,) = TABLES["tariff"]
    assert (row["tariff_code"], row["carrier"], row["length_unit"]) == ("northline-2026", "Northline", "in")


def test_services_and_charges_are_figures() -> None:
    (service,) = TABLES["services"]
    assert (service["divisor"], service["weight_step_milli"]) == (139.0, 1_000)
    assert ["longest_side", 108_000] in service["limits"]
    long_side = next(row for row in TABLES["surcharges"] if row["surcharge"] == "long side")
    assert isinstance(long_side["amount_cents"], int)
    thresholds = {each["measure"]: each["threshold_milli"] for way in long_side["when"] for each in way}
    assert thresholds["longest_side"] == 48_000


def test_prices_are_those_of_the_tariff() -> None:
    shown = [(row["service"], row["zone"], row["up_to_milli"], row["price_cents"]) for row in TABLES["prices"]]
    assert shown == [(each.service, each.zone, each.up_to_milli, each.price_cents) for each in FOUND.prices]


def test_nothing_says_where_it_was_read_and_all_is_plain() -> None:
    for name, rows in TABLES.items():
        assert not {"file", "line", "prices_file"} & set().union(*rows), name
        json.dumps(rows, default=lambda cell: cell.isoformat())  # days alone are no JSON yet
