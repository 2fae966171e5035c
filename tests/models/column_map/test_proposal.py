"""The proposed column map: right columns, units and marks, proven or marked for a check, never a personal column."""

from __future__ import annotations

import string
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.column_map import Pairing, Proposal, Sample, nearest_kind, propose
from models.reference import RECORDS
from tests.models.column_map.carrier_exports import BENCH_LOG, GERMAN_CLAIMS, INVOICE
from tests.models.column_map.exports import (
    DUTCH_CARTONS,
    ENGLISH_SALES,
    FRENCH_SALES,
    GERMAN_CARTONS,
    GERMAN_SALES,
    SPANISH_SALES,
    Export,
)
from tests.models.column_map.short_exports import SHORT_EXPORTS

EXPORTS = {
    "German sales": GERMAN_SALES,
    "French sales": FRENCH_SALES,
    "Spanish sales": SPANISH_SALES,
    "English sales": ENGLISH_SALES,
    "Dutch cartons": DUTCH_CARTONS,
    "German cartons": GERMAN_CARTONS,
    "bench log": BENCH_LOG,
    "metric invoice": INVOICE,
    "German claims": GERMAN_CLAIMS,
}


def best_kind(sample: Sample) -> str | None:
    nearest = nearest_kind(sample)
    return nearest.kind if nearest.is_one else None


def proposed(export: Export, **more: object) -> Proposal:
    return propose(RECORDS[export.kind], export.sample, **more)  # type: ignore[arg-type]


def pairing(export: Export, column: str) -> Pairing:
    return next(each for each in proposed(export).pairings if each.column == column)


@pytest.mark.parametrize("export", EXPORTS.values(), ids=EXPORTS.keys())
def test_each_header_feeds_its_column(export: Export) -> None:
    found = {each.source: each.column for each in proposed(export).pairings if each.source}
    assert found == {header: column for header, column in export.columns.items() if column}
    assert proposed(export).missing == ()


def test_nine_headers_of_ten_are_right_and_none_feeds_a_wrong_column() -> None:
    right, wrong, seen = 0, [], 0
    for export in SHORT_EXPORTS:
        found = {each.source: each.column for each in proposed(export).pairings if each.source}
        right += sum(found.get(header) == column for header, column in export.columns.items())
        wrong += [(export.kind, header) for header in found if found[header] != export.columns[str(header)]]
        seen += len(export.columns)
    assert wrong == []
    assert right / seen >= 0.9


@pytest.mark.parametrize("export", EXPORTS.values(), ids=EXPORTS.keys())
def test_the_kind_is_recognised(export: Export) -> None:
    assert best_kind(export.sample) == export.kind


def test_decimal_mark_and_date_order_are_proven_by_values() -> None:
    assert (proposed(GERMAN_SALES).decimal, proposed(GERMAN_SALES).date_order) == (",", "dmy")
    assert (proposed(ENGLISH_SALES).decimal, proposed(ENGLISH_SALES).date_order) == (".", "mdy")
    assert proposed(DUTCH_CARTONS).date_order is None
    assert not any(each.doubts for each in proposed(DUTCH_CARTONS).pairings if each.column == "effective_from")


def test_an_order_that_nothing_proves_is_asked_about() -> None:
    open_dates = replace(
        ENGLISH_SALES, rows=(("1", "1", "03/04/2026", "A", "tripod", "1", "89", "34", "1", "597", ""),)
    )
    found = proposed(open_dates)
    assert found.date_order is None
    assert "03/04/2026" in "".join(pairing(open_dates, "sold_at").doubts)


def test_a_lone_thousand_is_asked_about() -> None:
    lone = replace(ENGLISH_SALES, rows=(("1", "1", "2026-04-03", "A", "tripod", "1", "1,234", "34", "1", "597", ""),))
    assert proposed(lone).decimal is None
    assert "1,234" in "".join(pairing(lone, "item_price_cents").doubts)


def test_a_point_in_a_typed_number_proves_nothing() -> None:
    typed = replace(ENGLISH_SALES.sample, is_typed=True)
    assert propose(RECORDS["sales"], typed).decimal is None
    assert propose(RECORDS["sales"], replace(GERMAN_SALES.sample, is_typed=True)).decimal == ","


def test_a_column_without_proof_is_asked_about_where_the_others_disagree() -> None:
    rows = (("D-1", "2025-05-01", "60.5", "20", "20", "4", "2,85", "100"),)
    disagreeing = replace(DUTCH_CARTONS, rows=(*rows, ("D-2", "2025-05-01", "60.5", "1.500", "20", "4", "2,85", "100")))
    found = {each.column: each for each in proposed(disagreeing).pairings}
    assert proposed(disagreeing).decimal is None
    assert (found["inside_length_in"].decimal, found["unit_cost_cents"].decimal) == (".", ",")
    assert found["inside_width_in"].decimal is None
    assert '"1.500": state decimal' in "".join(found["inside_width_in"].doubts)


def test_the_proof_of_a_mark_is_shown() -> None:
    reasons = "".join(pairing(GERMAN_SALES, "item_price_cents").reasons)
    assert "prove a decimal comma" in reasons and 'values such as "' in reasons


def test_a_text_that_cannot_be_a_number_of_the_format_proves_its_mark() -> None:
    rows = (("D-1", "2025-05-01", "60.5", "20", "20", "4", "2,85", "100"),)
    typed = replace(replace(DUTCH_CARTONS, rows=rows).sample, is_typed=True)
    assert propose(RECORDS["cartons"], typed).decimal == ","


def test_a_column_that_writes_both_marks_is_reported_and_the_others_state_their_own() -> None:
    rows = (DUTCH_CARTONS.rows[0], ("D-2", "2025-05-01", "60.5", "20", "20", "4,1", "2,85", "100"))
    found = {each.column: each for each in proposed(replace(DUTCH_CARTONS, rows=rows)).pairings}
    assert proposed(replace(DUTCH_CARTONS, rows=rows)).decimal is None
    assert 'comma ("121,9") and point ("60.5")' in "".join(found["inside_length_in"].doubts)
    assert (found["inside_length_in"].decimal, found["unit_cost_cents"].decimal) == (None, ",")


def test_units_come_from_headers() -> None:
    assert pairing(DUTCH_CARTONS, "inside_length_in").unit == "cm"
    assert pairing(DUTCH_CARTONS, "board_in").unit == "mm"
    assert pairing(INVOICE, "billed_weight_lb").unit == "kg"
    assert pairing(BENCH_LOG, "cut_height_in").unit is None  # inches are the contract's own


def test_words_of_closed_lists_are_mapped_and_marked() -> None:
    cause = pairing(GERMAN_CLAIMS, "claim_cause")
    assert cause.values == {"Bruch": "damage", "Verlust": "loss"}
    assert not cause.doubts  # both words are known, and for one meaning each
    shaky = replace(GERMAN_CLAIMS, rows=(*GERMAN_CLAIMS.rows, (*GERMAN_CLAIMS.rows[0][:3], "Bruch oder Verlust")))
    assert any(doubt.startswith("no meaning known") for doubt in pairing(shaky, "claim_cause").doubts)
    assert pairing(GERMAN_CLAIMS, "claim_state").values == {"eingereicht": "filed", "abgelehnt": "refused"}
    assert pairing(INVOICE, "charge_kind").values == {"Fuel surcharge": "fuel", "Freight": "base"}


def test_yes_and_no_are_mapped_where_they_are_other_words() -> None:
    assert pairing(BENCH_LOG, "is_residential").values == {"R": "yes", "Commercial": "no"}


def test_a_missing_needed_column_is_named() -> None:
    without = Sample(INVOICE.sample.headers[1:], tuple(row[1:] for row in INVOICE.rows))
    assert propose(RECORDS["charges"], without).missing == ("carrier",)
    bare = propose(RECORDS["sales"], Sample(("order",), (("S-1",),)))
    assert "item_type or sku or title" in bare.missing


def test_what_the_user_states_stands() -> None:
    stated = {"carrier": Pairing("carrier", None, 1.0, constant="Corvane"), "zone": Pairing("zone", "Service", 1.0)}
    found = {each.column: each for each in proposed(INVOICE, stated=stated).pairings}
    assert found["carrier"].constant == "Corvane"
    assert found["zone"].source == "Service"
    assert "service" not in found


def test_a_line_number_is_made_where_the_file_has_none() -> None:
    rows = (("S-1", "2026-01-31", "tripod", "1", "9.00", "1.00"), ("S-2", "2026-01-31", "tripod", "1", "9.00", "1.00"))
    headers = ("order", "sold at", "item", "qty", "price", "postage")
    found = {each.column: each for each in propose(RECORDS["sales"], Sample(headers, rows)).pairings}
    assert (found["line_number"].within, found["line_number"].doubts) == ("order", ())
    again = {each.column: each for each in propose(RECORDS["sales"], Sample(headers, (rows[0], rows[0]))).pairings}
    assert again["line_number"].within == "order"
    assert again["line_number"].doubts == ("lines of a sale keep their numbers while they keep their order",)


def test_a_bench_log_without_line_numbers_says_nothing_of_lines() -> None:
    headers = ("label", "order", "pieces", "packed on", "weight (kg)")
    rows = (("P1", "S-1", "1", "2026-01-31", "2.5"), ("P2", "S-1", "2", "2026-01-31", "1.5"))
    proposal = propose(RECORDS["weights"], Sample(headers, rows))
    assert {each.column for each in proposal.pairings} == {"parcel_id", "sale_id", "shipped_on", "scale_weight_lb"}
    assert (proposal.missing, proposal.unused) == ((), ("pieces",))
    assert proposal.notes == ("packed_quantity is left out: it needs line_number, which has no source",)


def test_sides_without_their_others_are_left_out() -> None:
    headers = ("Tracking number", "Order", "Line", "Qty", "Ship date", "Carrier", "Service", "Length", "Width")
    rows = (("NL1", "S-1", "1", "1", "2026-01-31", "Northline", "ground", "48", "8"),)
    found = propose(RECORDS["weights"], Sample(headers, rows))
    assert {"length_in", "width_in"}.isdisjoint(each.column for each in found.pairings)
    assert any("height_in" in note for note in found.notes)


def test_repeated_keys_are_reported() -> None:
    export = replace(GERMAN_CLAIMS, rows=(GERMAN_CLAIMS.rows[0], GERMAN_CLAIMS.rows[0]))
    assert any("1 of 2 sampled rows repeat claim_id" in note for note in proposed(export).notes)


def test_a_date_without_a_telling_header_is_found_by_its_values() -> None:
    headers = ("order", "line", "K7", "item", "qty", "price", "postage")
    rows = (("S-1", "1", "2026-01-31 10:00", "tripod", "1", "9.00", "1.00"),)
    found = {each.column: each for each in propose(RECORDS["sales"], Sample(headers, rows)).pairings}
    assert found["sold_at"].source == "K7"
    assert "the header says nothing" in found["sold_at"].doubts


def test_a_unit_of_another_quantity_forbids_a_pairing() -> None:
    sample = Sample(("order", "quantity (kg)"), (("S-1", "3"),))
    assert all(each.source != "quantity (kg)" for each in propose(RECORDS["sales"], sample).pairings)


HEADERS = st.lists(
    st.one_of(
        st.sampled_from([header for export in EXPORTS.values() for header in export.columns]),
        st.text(string.printable, min_size=1, max_size=12),
    ),
    min_size=1,
    max_size=8,
    unique=True,
)
CELLS = st.one_of(st.sampled_from(["", "1", "1,234", "31.12.2025", "yes", "Bruch", "12 kg"]), st.text(max_size=6))


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.data(), HEADERS, st.sampled_from(sorted(RECORDS)))
def test_any_headers_give_a_one_to_one_map_without_personal_columns(
    drawn: st.DataObject, headers: list[str], kind: str
) -> None:
    rows = drawn.draw(st.lists(st.lists(CELLS, max_size=len(headers)), max_size=3))
    personal = drawn.draw(st.sets(st.sampled_from(headers)))
    found = propose(RECORDS[kind], Sample(tuple(headers), tuple(map(tuple, rows))), personal)
    sources = [each.source for each in found.pairings if each.source is not None]
    assert len(sources) == len(set(sources))
    assert personal.isdisjoint(sources)
    assert {*sources, *found.unused, *found.personal} == set(headers)
    assert all(0 <= each.score <= 1 and each.reasons for each in found.pairings)


@pytest.mark.parametrize(
    "headers",
    [
        ("Name", "Department", "Extension"),
        ("Temperatur", "Feuchte", "Messstelle"),
        ("date", "kilometres", "driver", "fuel litres"),
        ("quantity", "remark"),
    ],
)
def test_a_file_that_suits_no_kind_has_none(headers: tuple[str, ...]) -> None:
    assert best_kind(Sample(headers, (("2026-01-31", "12", "x", "7")[: len(headers)],))) is None


def test_an_invoice_is_known_by_its_own_marks() -> None:
    """The number on the label, the weight billed and amounts by kind, without a word of an invoice."""
    rows = (("NL1", "12.5", "freight", "14.20", "2026-01-31"), ("NL1", "12.5", "fuel", "1.70", "2026-01-31"))
    headers = ("Tracking number", "Chargeable weight (kg)", "Charge type", "Net amount", "Date")
    assert best_kind(Sample(headers, rows)) == "charges"


STATES = ("order", "sold at", "item", "qty", "price", "postage", "Payment", "Channel note")


def test_what_became_of_sales_is_found_by_its_words() -> None:
    rows = [
        (f"S-{at}", "2026-01-31", "tripod", "1", "9.00", "1.00", word, "x")
        for at, word in enumerate(("paid", "voided", "refunded", "paid", "", "waiting"))
    ]
    found = {each.column: each for each in propose(RECORDS["sales"], Sample(STATES, tuple(rows))).pairings}
    assert found["sale_state"].source == "Payment"
    assert not found["sale_state"].is_sure
    assert found["sale_state"].values["voided"] == "cancelled"


@pytest.mark.parametrize("words", [("paid", "paid"), ("paid", "by card"), ("pole", "shade"), ("1", "2"), ("yes", "no")])
def test_other_words_are_no_states(words: tuple[str, ...]) -> None:
    rows = tuple((f"S-{at}", "2026-01-31", "tripod", "1", "9.00", "1.00", word, "") for at, word in enumerate(words))
    found = {each.column for each in propose(RECORDS["sales"], Sample(STATES, rows)).pairings}
    assert "sale_state" not in found
