"""Invoices against the referee: from the bench log and the tariffs alone, every parcel but the planted ones agrees."""

from __future__ import annotations

import datetime as dt
import re
from functools import cache
from pathlib import Path

from sample_data.literal_rating import Parcel, Rated, rate, read_tariff, tariff_on
from tests.sample_data.shop_files import SHOP, Row, bench, charges, truth

TARIFFS = [read_tariff(path) for path in sorted(Path(SHOP / "tariffs").glob("*.toml"))]
LATER = {"ADJUST SIZE", "ADJUSTMENT", "ADDRESS FIX", "SERVICE CREDIT"}


def number(cell: object) -> float:
    """A bench cell in pounds or inches, as a hand or a machine wrote it."""
    if isinstance(cell, int | float):
        return float(cell)
    text = str(cell)
    if found := re.fullmatch(r"(\d+) lb (\d+) oz", text):
        return int(found[1]) + int(found[2]) / 16
    if found := re.fullmatch(r"(\d+) ft (\d+) in", text):
        return int(found[1]) * 12 + int(found[2])
    return float(text.removesuffix('"'))


def parcel(row: Row) -> Parcel:
    return Parcel(
        service=row["Service"],
        zone=row["Zone"],
        shipped_on=row["Handed over"].date(),
        sides_in=(number(row["L"]), number(row["B"]), number(row["H"])),
        scale_weight_lb=number(row["Scale"]),
        is_rectangular=row["Square"] == "yes",
        is_residential=row["Home"] == "yes",
        destination_prefix=row["ZIP3"],
        declared_value_cents=round((row["Declared $"] or 0) * 100),
    )


@cache
def expected() -> dict[str, Rated]:
    """Every parcel with sides and scale weight in the bench log."""
    found = {}
    for label, rows in bench().items():
        row = rows[0]
        if row["L"] is not None and row["Scale"] is not None:
            seen = parcel(row)
            tariff = tariff_on(TARIFFS, row["Carrier"], seen.shipped_on)
            assert tariff is not None
            found[label] = rate(seen, tariff)
    return found


@cache
def billed() -> dict[str, int]:
    """Cents by parcel without the lines that came later."""
    found: dict[str, int] = {}
    for line in charges():
        if line["parcel_id"] and line["charge_code"] not in LATER:
            found[line["parcel_id"]] = found.get(line["parcel_id"], 0) + line["amount_cents"]
    return found


def labels(*topics: str) -> set[str]:
    return {row["parcel_id"] for topic in topics for row in truth()[topic]}


def test_every_parcel_is_carried() -> None:
    assert {rated.reason for rated in expected().values()} == {""}


def test_only_planted_parcels_are_billed_otherwise_than_the_tariff_says() -> None:
    differing = {
        label for label, rated in expected().items() if label in billed() and billed()[label] != rated.total_cents
    }
    wrong = labels("wrong_surcharge", "wrong_zone", "duplicate_lines", "fuel_on_wrong_base")
    again = {row["parcel_id"]: row for row in truth()["measured_again"]}
    assert differing - wrong - set(again) == set()
    assert labels("wrong_surcharge", "wrong_zone") <= differing


def test_overcharges_are_the_stated_cents() -> None:
    for topic in ("wrong_surcharge", "wrong_zone", "fuel_on_wrong_base"):
        for row in truth()[topic]:
            if (label := row["parcel_id"]) in expected():
                assert billed()[label] - expected()[label].total_cents == row["overcharge_cents"] > 0


def test_wrong_surcharges_are_not_in_the_tariffs_lines() -> None:
    for row in truth()["wrong_surcharge"]:
        assert row["surcharge"] not in {line.name for line in expected()[row["parcel_id"]].lines}
    put_right = [row for row in truth()["wrong_surcharge"] if row["is_credited_back"]]
    later = {(row["parcel_id"], row["amount_cents"]) for row in truth()["later_lines"]}
    assert len(put_right) == 10
    assert {(row["parcel_id"], -row["overcharge_cents"]) for row in put_right} <= later


def test_parcels_measured_again_were_billed_larger_or_adjusted() -> None:
    for row in truth()["measured_again"]:
        extra = 0 if row["is_adjustment"] else row["extra_cents"]
        assert billed()[row["parcel_id"]] - expected()[row["parcel_id"]].total_cents == extra
    kinds = {(row["is_real_bulge"], row["is_adjustment"]) for row in truth()["measured_again"]}
    assert len(kinds) == 4


def test_later_lines_stand_on_later_invoices() -> None:
    first = {line["parcel_id"]: line["invoiced_on"] for line in charges() if line["service"]}
    later = [line for line in charges() if line["parcel_id"] and line["charge_code"] in LATER]
    assert len(later) == len(truth()["later_lines"])
    assert all(line["invoiced_on"] > first[line["parcel_id"]] for line in later)


def test_the_last_days_and_the_forgotten_parcels() -> None:
    pending = set(truth()["not_yet_billed"]["parcels"])
    forgotten = set(truth()["shop"]["parcels_without_bench_log"])
    assert set(bench()) - set(billed()) == pending - forgotten
    assert set(billed()) - set(bench()) == forgotten - pending
    assert pending
    assert forgotten


def test_account_fees_name_no_parcel() -> None:
    fees = [line for line in charges() if line["parcel_id"] is None]
    assert {line["charge_code"] for line in fees} == {"PICKUP FEE", "TAX", "ACCOUNT FEE"}
    assert all(line["shipped_on"] is None for line in fees)


def test_the_wrong_week_of_fuel() -> None:
    week = truth()["fuel_on_wrong_base_week"]
    shipped = {line["parcel_id"]: line["shipped_on"] for line in charges() if line["carrier"] == "Corvane"}
    touched = {shipped[label] for label in labels("fuel_on_wrong_base")}
    assert week["first_day"] <= min(touched) <= max(touched) <= week["last_day"]
    in_week = {label for label, day in shipped.items() if day and week["first_day"] <= day <= week["last_day"]}
    assert in_week == labels("fuel_on_wrong_base")


def test_nearly_every_rule_of_the_format_is_used() -> None:
    rules = [tariff.rules for tariff in TARIFFS]
    services = [service for each in rules for service in each["services"]]
    rows = [row for each in rules for row in each["surcharges"]]
    used = {key for row in rows for key in row}
    assert {service["side_rounding"] for service in services} == {"up", "nearest", "none"}
    assert {"amount_cents", "percent", "per_declared", "group", "minimum_weight", "at_most_cents", "area"} <= used
    assert {"zones", "services", "residential", "from", "to", "when"} <= used
    assert {each["length_unit"] + each["weight_unit"] for each in rules} == {"inlb", "cmkg"}
    charged = {line["charge_code"] for line in charges()}
    rare = {row["charge_code"] for row in rows} - charged
    assert rare == {"OVERSIZE"}


def test_tariffs_leave_no_day_out() -> None:
    for carrier in ("Northline", "Corvane"):
        for n in range(560):
            assert tariff_on(TARIFFS, carrier, dt.date(2025, 5, 1) + dt.timedelta(days=n)) is not None
