"""What looks personal is found, and what a parcel's records need is left alone."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.fields import Quantity
from models.privacy import (
    BLANKED_EMAIL,
    BLANKED_PHONE,
    EMAILS,
    NAMES,
    PHONES,
    STREETS,
    blanked,
    blanked_sql,
    is_identifier,
    personal_columns,
    personal_header,
    personal_values,
)
from models.reference import RECORDS
from pipelines.shop import warehouse


@dataclass(frozen=True)
class Sheet:
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@pytest.mark.parametrize(
    ("header", "kind"),
    [
        ("Buyer", NAMES),
        ("buyerName", NAMES),
        ("Ship to", NAMES),
        ("RECIPIENT FULL NAME", NAMES),
        ("Käufer", NAMES),
        ("Vorname", NAMES),
        ("customer_id", NAMES),
        ("Street 1", STREETS),
        ("AddressLine2", STREETS),
        ("Straße", STREETS),
        ("E-Mail", EMAILS),
        ("buyer_email", EMAILS),
        ("Telefon", PHONES),
        ("Mobile no.", PHONES),
    ],
)
def test_personal_headers(header: str, kind: str) -> None:
    assert personal_header(header) == kind


@pytest.mark.parametrize(
    "header",
    [
        "Order no",
        "Shipping the buyer paid",
        "Ship to ZIP",
        "Recipient country",
        "Mail class",
        "Carrier name",
        "Item name",
        "Title",
        "Label",
        "Customer reference",
        "Handed over",
    ],
)
def test_headers_that_are_not_personal(header: str) -> None:
    assert personal_header(header) is None


def test_names_and_header_words_of_the_contracts_are_not_personal() -> None:
    held = [(name, column) for schema in RECORDS.values() for name, column in schema.columns.items()]
    words = {word for name, column in held for word in (name, name.replace("_", " "), *column.known_as)}
    assert {word for word in words if personal_header(word)} == set()


@pytest.mark.parametrize(
    ("values", "kind"),
    [
        (["b1@example.invalid", "", "b2@example.invalid"], EMAILS),
        (["555-010-1234", "(555) 010-9876"], PHONES),
        (["+49 30 555 0101", "+1 555 010 1234"], PHONES),
        (["12 Moor Lane", "7 Long Acre Road", "3a High St"], STREETS),
        (["Lange Straße 12", "Am Weg 3"], STREETS),
        (["40017733", "40017734"], None),
        (["92748999", "420597123456789012345678"], None),
        (["112-1234567-1234567"], None),
        (["2026-10-05", "2026-10-06 14:25"], None),
        (["12 x 8 x 8"], None),
        ([], None),
    ],
)
def test_personal_values(values: list[str], kind: str | None) -> None:
    assert personal_values(values) == kind


def test_columns_are_reported_by_header_or_by_values() -> None:
    sheet = Sheet(("Order", "Field 7", "Buyer"), (("S-1", "b1@example.invalid", "x"), ("S-2", "", "y")))
    assert personal_columns(sheet) == {"Field 7": EMAILS, "Buyer": NAMES}


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("write to b1@example.invalid, please", f"write to {BLANKED_EMAIL}, please"),
        ("called 555-010-1234 twice", f"called {BLANKED_PHONE} twice"),
        ("+49 30 555 0101", BLANKED_PHONE),
        ("end cap crushed, 12 x 12 x 48", "end cap crushed, 12 x 12 x 48"),
        ("parcel 40017733123456", "parcel 40017733123456"),
        ("1.234.567,89", "1.234.567,89"),
    ],
)
def test_single_addresses_and_numbers_are_blanked(text: str, left: str) -> None:
    assert blanked(text, phones=True) == left


def test_phone_numbers_stay_in_identifiers() -> None:
    assert blanked("555-010-1234 b@example.invalid", phones=False) == f"555-010-1234 {BLANKED_EMAIL}"
    kept = {(kind, name) for kind, schema in RECORDS.items() for name in schema.columns if is_identifier(schema, name)}
    assert {("weights", "parcel_id"), ("charges", "invoice_number"), ("sales", "sku")} <= kept
    assert ("claims", "packing_evidence") not in kept and ("weights", "packer") not in kept
    dates = {Quantity.DATE, Quantity.INSTANT}
    assert all(
        RECORDS[kind].columns[name].quantity in dates | {Quantity.TEXT} | {Quantity.COUNT} for kind, name in kept
    )


TEXTS = st.lists(st.sampled_from([*"0123456789 -+()./@ab.é", "555-010-1234", "b@c.de"]), max_size=25).map("".join)


def test_python_and_the_engine_blank_alike() -> None:
    with warehouse.scratch() as connection:

        @given(st.lists(TEXTS, min_size=1, max_size=50), st.booleans())
        @settings(derandomize=True, deadline=None, max_examples=60)
        def alike(texts: list[str], phones: bool) -> None:
            sql = f"select {blanked_sql('x', phones=phones)} from (select unnest(cast(? as varchar[])) as x)"
            answers = [row[0] for row in connection.execute(sql, [texts]).fetchall()]
            assert answers == [blanked(text, phones=phones) for text in texts]

        alike()
