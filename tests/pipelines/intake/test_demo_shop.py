"""The demo shop's own exports land whole: every planted bad row is rejected for its reason, and no other."""

from __future__ import annotations

import csv
import pickle
import tomllib
from pathlib import Path

import pytest

from pipelines.intake.deliveries import Delivery
from pipelines.shop import warehouse

DEMO = Path(__file__).parents[3] / "sample_data"
TRUTH = tomllib.loads((DEMO / "truth.toml").read_text(encoding="utf-8"))
# What the demo's biography calls a fault, and the words by which a rejection tells it.
WORDS = {
    "missing": ("is missing",),
    "long": ("has more than 200 characters",),
    "control": ("holds a control character",),
    "unreadable": (
        "is not a number",
        "is not an amount",
        "is not a length",
        "is not a weight",
        "is not a time in minutes",
        "neither yes nor no",
    ),
    "impossible": ("is not a valid date",),
    "ambiguous": ("may be two days", "may be a decimal or a thousands mark"),
    "range": ("is less than", "is more than", "is not more than"),
    "list": ("is none of",),
    "rule": ("is more than", "is given without", "is given"),
    "columns": ("cells",),
}


@pytest.fixture(scope="module")
def landed(demo_made: Path, demo: warehouse.Connection) -> tuple[warehouse.Connection, list[Delivery]]:
    """What the import of the demo's files stored, and what it said of each."""
    return demo, pickle.loads((demo_made / "deliveries.pickle").read_bytes())


Landed = tuple[warehouse.Connection, list[Delivery]]


def test_no_file_is_refused(landed: Landed) -> None:
    assert [delivery.error for delivery in landed[1] if delivery.error] == []
    assert all(delivery.source_name for delivery in landed[1])


def test_every_row_is_accounted_for(landed: Landed) -> None:
    for each in landed[1]:
        assert each.is_known or each.row_count == each.accepted_count + each.unchanged_count + each.rejected_count


def test_exactly_the_planted_rows_are_rejected_for_their_reason(landed: Landed) -> None:
    with (DEMO / "truth" / "bad_rows.csv").open(encoding="utf-8", newline="") as text:
        planted = {
            (row["file"], int(row["row"])): (row["column"] or "(row)", row["reason"]) for row in csv.DictReader(text)
        }
    found = landed[0].execute(
        "select d.file_name, r.row_number, r.column_name, r.reason from rejected.rows as r "
        "inner join intake.deliveries as d on d.delivery_id = r.delivery_id"
    )
    rejected = {(str(row[0]), int(row[1])): (str(row[2]), str(row[3])) for row in found.fetchall()}
    assert rejected.keys() == planted.keys()
    wrong = {
        place: (planted[place], reported)
        for place, reported in rejected.items()
        if reported[0] != planted[place][0] or not any(word in reported[1] for word in WORDS[planted[place][1]])
    }
    assert wrong == {}


def test_a_file_delivered_twice_is_known(landed: Landed) -> None:
    copies = [delivery.file_name for delivery in landed[1] if delivery.is_known]
    assert copies == ["sales-2025-Q3-copy.csv"]


def test_corrections_win_and_history_is_kept(landed: Landed) -> None:
    connection, deliveries = landed
    (corrections,) = (each for each in deliveries if each.file_name.startswith("sales-corrections"))
    kept = connection.execute(
        "select count(*) from superseded.sales where superseded_by = ?", [corrections.delivery_id]
    ).fetchall()[0][0]
    assert kept == corrections.corrected_count > 0
    won = connection.execute(
        "select count(*) from accepted.sales where delivery_id = ?", [corrections.delivery_id]
    ).fetchall()[0][0]
    assert won == corrections.accepted_count


def test_the_shops_numbers_are_those_of_its_biography(landed: Landed) -> None:
    counted = (
        landed[0]
        .execute(
            "select (select count(distinct sale_id) from accepted.sales), (select count(*) from accepted.sales), "
            "(select count(distinct parcel_id) from accepted.weights), (select count(*) from accepted.weights)"
        )
        .fetchall()[0]
    )
    shop = TRUTH["shop"]
    assert counted == (shop["sales"], shop["sale_lines"], shop["parcels_logged"], shop["bench_rows"])


def test_invoices_add_up_to_the_cent(landed: Landed) -> None:
    with (DEMO / "truth" / "invoices.csv").open(encoding="utf-8", newline="") as text:
        rows = list(csv.DictReader(text))
    totals = (
        landed[0]
        .execute(
            "select carrier, invoice_number, cast(sum(amount_cents) as bigint) from accepted.charges group by 1, 2"
        )
        .fetchall()
    )
    stated = {row["invoice_number"]: int(row["amount_cents"]) for row in rows}
    assert {row[1]: row[2] for row in totals} == stated


def test_personal_columns_are_dropped(landed: Landed) -> None:
    dropped = {header for delivery in landed[1] for header in delivery.dropped}
    assert {"Buyer", "Street", "E-mail", "Phone"} <= dropped
    assert not dropped & {"ZIP3", "Label", "Order no"}
