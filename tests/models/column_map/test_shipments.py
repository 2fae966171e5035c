"""Parcels numbered within their shipment: `WF1-01` and `WF1-02` are of `WF1`."""

from __future__ import annotations

import pytest

from models.column_map import Pairing, Sample, propose
from models.column_map.answers import Answers
from models.reference import RECORDS

HEADERS = ("label", "order", "packed on", "weight (kg)")


def proposed(labels: list[str], *without: str) -> dict[str, Pairing]:
    rows = tuple((label, f"S-{at}", "2026-01-31", "2.5") for at, label in enumerate(labels))
    answers = Answers(without=frozenset(without))
    return {each.column: each for each in propose(RECORDS["weights"], Sample(HEADERS, rows), answers=answers).pairings}


@pytest.mark.parametrize("mark", ["-", "/", ".", "_"])
def test_numbers_that_count_within_a_shipment_name_it(mark: str) -> None:
    labels = [f"WF1{mark}01", f"WF1{mark}02", f"WF2{mark}01", f"WF3{mark}2", f"WF3{mark}1", "RP000001AU"]
    found = proposed(labels)["shipment_id"]
    assert (found.source, found.before) == ("label", mark)
    assert found.reasons == ('"WF1" stands before the number of each of its parcels',)
    assert "shipment_id" not in proposed(labels, "shipment_id")


@pytest.mark.parametrize(
    "labels",
    [
        ["WF1-01", "WF2-01", "WF3-01", "WF4-01"],  # each alone
        ["WF1-01", "WF1-02", "WF2-01", "WF3-01"],  # one such pair may be chance
        ["26-17", "26-31", "27-02", "27-15"],  # a year and a number
        ["WF1-01", "WF1-02", "WF2/01", "WF2/02"],  # marks that differ
        ["NL40017733", "NL40017734", "NL40017735"],
    ],
)
def test_other_numbers_name_none(labels: list[str]) -> None:
    assert "shipment_id" not in proposed(labels)
