"""dunnage.toml reads every file: each belongs to one source, and each header it names is there."""

from __future__ import annotations

import pytest

from models.reference import RECORDS
from pipelines.shop import settings
from tests.sample_data.shop_files import INBOX, SHOP, Row, is_bad, names, rows, source_of, sources

SOURCES = pytest.mark.parametrize("source", sources(), ids=lambda source: str(source["name"]))
# What no export holds: the kind of a charge comes from charge_codes, no invoice repeats its total in each line, and
# claims say what was paid; a shop with a bench log and stock numbers needs no more of its sales. It sends each parcel
# by itself, and tries no packing method.
NOT_EXPORTED = {
    "charges": {"charge_kind", "invoice_total_cents", "shipment_id"},
    "weights": {"shipment_id", "assigned_method"},
    "claims": {"granted_cents"},
    "cartons": {"is_price_of_several"},
    "sales": {
        *("parcel_id", "title", "sale_state", "shipping_refunded_cents", "shipping_tax_cents", "deliver_by"),
        *("is_price_of_line", "is_shipping_of_sale", "is_fee_of_sale"),
    },
}
PERSONAL = {"Buyer", "Street", "E-mail", "Phone", "buyer mail"}


def test_the_settings_load() -> None:
    shop = settings.load(SHOP)
    assert shop.shop.name == "Fernmoor Optics"
    assert {source.kind for source in shop.sources} == set(RECORDS)


def test_every_file_belongs_to_one_source_of_its_format() -> None:
    suffixes = {source_of(path.name)["name"]: path.suffix for path in INBOX.iterdir()}
    assert {name: f".{each.get('format', 'csv')}" for each in sources() if (name := each["name"])} == suffixes


def headers(source: Row) -> dict[str, str]:
    said = source["columns"].items()
    pairs = {column: each if isinstance(each, str) else each.get("column") for column, each in said}
    return {column: found for column, found in pairs.items() if found}


@SOURCES
def test_every_contract_column_has_a_header_that_is_in_every_file(source: Row) -> None:
    assert set(source["columns"]) == set(RECORDS[source["kind"]].columns) - NOT_EXPORTED.get(source["kind"], set())
    for name in names(source["name"], with_bad=True):
        assert set(headers(source).values()) <= set(rows(name)[0])


@SOURCES
def test_no_personal_column_is_mapped(source: Row) -> None:
    assert not set(headers(source).values()) & PERSONAL


@SOURCES
def test_exports_do_not_carry_the_contracts_names(source: Row) -> None:
    if source["kind"] in ("sales", "cartons", "weights", "charges", "claims"):
        assert not set(headers(source).values()) & {name for name in RECORDS[source["kind"]].columns if "_" in name}


def test_every_format_and_unit_is_shown() -> None:
    assert {source.get("format", "csv") for source in sources()} == {"csv", "xlsx", "parquet", "jsonl"}
    units = {said["unit"] for source in sources() for said in source["columns"].values() if "unit" in said}
    assert units == {"cm", "mm", "in", "lb", "kg", "g", "cents"}


def test_bad_rows_stand_in_files_of_their_own() -> None:
    assert all(is_bad(path.name) or not any("BAD-" in str(row) for row in rows(path.name)) for path in INBOX.iterdir())
