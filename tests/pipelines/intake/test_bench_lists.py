"""Bench lists of three marks: one row for each parcel, without a sale line, however often the parcel comes."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.column_map import Sample, nearest_kind, open_questions, propose
from models.reference import RECORDS
from pipelines.intake import replaying
from pipelines.intake.withdrawing import withdraw
from tests.pipelines.intake.small_shop import NOW, SmallShop, source

MARKS = {"parcel_id": "Label", "carton_code": "Carton", "packing_method": "Packed in"}
LISTS = source("bench", "weights", "bench*", MARKS)
LOG = source("log", "weights", "log*")
HEAD = "Label,Carton,Packed in\n"
STANDING = "select parcel_id, sale_id, line_number, carton_code, packing_method from accepted.weights order by all"


@pytest.fixture
def shop(tmp_path: Path) -> SmallShop:
    return SmallShop(tmp_path, (LISTS, LOG))


def differing(shop: SmallShop) -> int:
    return int(replaying.compare(shop.settings)["differing_count"].sum())


def test_a_parcel_has_one_row_and_a_later_list_corrects_it(shop: SmallShop) -> None:
    shop.take_one("bench-1.csv", HEAD + "P1,C-08,foam\nP2,C-12,paper\nP2,C-12,paper\nP3,C-08,foam\nP3,C-08,paper\n")
    assert shop.rows(STANDING) == [
        ("P1", None, None, "C-08", "foam"),
        ("P2", None, None, "C-12", "paper"),
        ("P3", None, None, "C-08", "paper"),
    ]
    again = shop.take_one("bench-2.csv", HEAD + "P1,C-08,foam\nP2,C-08,paper\n")
    assert (again.accepted_count, again.corrected_count, again.unchanged_count) == (1, 1, 1)
    assert ("P2", None, None, "C-08", "paper") in shop.rows(STANDING) and len(shop.rows(STANDING)) == 3
    assert differing(shop) == 0


def test_a_list_is_taken_back_and_what_was_said_before_stands_again(shop: SmallShop) -> None:
    shop.take_one("bench-1.csv", HEAD + "P1,C-08,foam\n")
    shop.take_one("bench-2.csv", HEAD + "P1,C-12,foam\nP4,C-12,foam\n")
    shop.take_one("bench-3.csv", HEAD + "P1,C-12,foam\n")
    done = withdraw(shop.settings, 2, now=NOW)
    assert (done.taken_back_count, done.restored_count) == (2, 1)
    assert shop.rows("select parcel_id, carton_code, delivery_id from accepted.weights") == [("P1", "C-12", 3)]
    withdraw(shop.settings, 3, now=NOW)
    assert shop.rows("select parcel_id, carton_code, delivery_id from accepted.weights") == [("P1", "C-08", 1)]
    assert differing(shop) == 0


def test_a_parcel_without_marks_waits_until_it_is_marked(shop: SmallShop) -> None:
    shop.take_one("bench-1.csv", HEAD + "P1,C-08,foam\nP2,,\n")
    ((reason,),) = shop.rows("select reason from rejected.rows where resolved_by is null")
    assert reason.startswith("none of sale_id, shipped_on, carton_code, packing_method")
    shop.take_one("bench-2.csv", HEAD + "P2,C-08,\n")
    assert shop.rows("select 1 from rejected.rows where resolved_by is null") == []


def test_lines_that_cannot_be_read_are_not_taken_for_one_another(shop: SmallShop) -> None:
    columns = "parcel_id,sale_id,line_number,packed_quantity"
    for number, cells in enumerate(("P1,S1,first,1", "P1,S1,second,1"), start=1):
        shop.put(f"log-{number}.csv", f"{columns}\n{cells}\n")
    logs = source("log", "weights", "log*", {name: name for name in columns.split(",")})
    shop.sources = (LISTS, logs)
    shop.import_files()
    assert len(shop.rows("select 1 from rejected.rows where resolved_by is null")) == 2


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("P1,,1,1,C-08", "line_number is given without sale_id"),
        ("P1,S1,1,,C-08", "line_number is given without packed_quantity"),
        ("P1,S1,,2,C-08", "packed_quantity is given without line_number"),
    ],
)
def test_half_a_line_is_no_line(shop: SmallShop, row: str, reason: str) -> None:
    columns = ("parcel_id", "sale_id", "line_number", "packed_quantity", "carton_code")
    shop.sources = (source("half", "weights", "half*", {name: name for name in columns}),)
    shop.take_one("half.csv", f"{','.join(columns)}\n{row}\n")
    assert shop.rows("select reason from rejected.rows") == [(reason,)]


@pytest.mark.parametrize(
    "headers",
    [
        ("Tracking number", "Carton", "Packing method"),
        ("Sendungsnummer", "Karton", "Verpackungsart"),
        ("Numéro de suivi", "Carton", "Mode d'emballage"),
    ],
)
def test_map_knows_three_marks_without_a_question(headers: tuple[str, ...]) -> None:
    rows = tuple((f"NL4001{each:04}", f"C-{each % 4:02}", ("foam", "paper")[each % 2]) for each in range(40))
    sample = Sample(headers, rows)
    assert nearest_kind(sample).kind == "weights" and nearest_kind(sample).is_one
    proposal = propose(RECORDS["weights"], sample)
    assert {each.column: each.source for each in proposal.pairings} == dict(
        zip(("parcel_id", "carton_code", "packing_method"), headers, strict=True)
    )
    assert proposal.missing == () and proposal.notes == ()
    assert open_questions(proposal, RECORDS["weights"], sample) == ()


def test_a_bench_log_of_lines_is_asked_for_what_it_lacks_and_may_lack_it() -> None:
    headers = ("Tracking number", "Order number", "Line number", "Packed quantity", "Ship date", "Scale weight (lb)")
    rows = tuple((f"NL{each:06}", f"S-{each}", "1", "1", "2026-10-04", "9.5") for each in range(40))
    sample = Sample(headers, rows)
    proposal = propose(RECORDS["weights"], sample)
    # Parcel, sale, day and weight are a log already; without the weight it is one of lines.
    assert proposal.missing == ()
    without = Sample(headers[:-1], tuple(row[:-1] for row in rows))
    proposal = propose(RECORDS["weights"], without)
    assert proposal.missing == ("scale_weight_lb",)
    asked = open_questions(proposal, RECORDS["weights"], without)
    assert asked[0].answered("no") == ["--without", "scale_weight_lb"]
