"""Contracts of what became of sales."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import MadeFrom

SALES: tuple[Contract, ...] = (
    contract(
        "shop.title_words",
        "One row per rule for titles and word of it; kept by the shop in words.toml.",
        "place word",
        "place word word_count item_type",
    ),
    contract(
        "shop.charge_words",
        "One row per carrier and charge code that the shop said the kind of; kept in words.toml.",
        "carrier charge_code",
        "carrier charge_code charge_kind surcharge?",
    ),
    contract(
        "core.sale_titles",
        "One row per sale line that has a title and neither a known item type nor a known stock number.",
        "sale_id line_number",
        "sale_id line_number title item_type?",
    ),
    contract(
        "core.size_classes",
        "One row per parcel with a billed weight: its class by weight and longest side.",
        "parcel_id",
        "parcel_id size_class",
    ),
    contract(
        "marts.charge_word_costs",
        "One row per month of shipping, carrier, word of its invoices and kind.",
        "shipped_month carrier charge_code charge_kind",
        "shipped_month carrier charge_code charge_kind line_count charged_parcel_count amount_cents",
        made_from=MadeFrom("word_charges", sums="amount_cents"),
    ),
    contract(
        "marts.sale_states",
        "One row per month of sale and state of the sale.",
        "sold_month sale_state",
        "sold_month sale_state line_count parcel_count shipping_charged_cents shipping_refunded_cents",
        made_from=MadeFrom("sale_state_parcels"),
    ),
    contract(
        "core.unsent_sales",
        "One row per sale line that is due a parcel and of which no parcel is on record.",
        "sale_id line_number",
        "sale_id line_number sold_at item_type quantity gap_cents",
    ),
    contract(
        "core.parcel_gaps",
        "One row per parcel and record that it lacks.",
        "parcel_id gap",
        "parcel_id gap shipped_month gap_cents?",
    ),
    contract(
        "marts.record_gaps",
        "One row per month and what may be missing of its records.",
        "shipped_month gap",
        "shipped_month gap due_count missing_count valued_count missing_cents?",
        made_from=MadeFrom("gap_records", sums="missing_cents", amount="b.gap_cents"),
    ),
)
