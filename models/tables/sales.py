"""Contracts of what became of sales."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import MadeFrom

SALES: tuple[Contract, ...] = (
    contract(
        "shop.title_words",
        "place word | word_count item_type",
        "One row per rule for titles and word of it; kept by the shop in words.toml.",
    ),
    contract(
        "shop.charge_words",
        "carrier charge_code | charge_kind surcharge?",
        "One row per carrier and charge code that the shop said the kind of; kept in words.toml.",
    ),
    contract("core.sale_titles", "sale_id line_number | title item_type?"),
    contract("core.size_classes", "parcel_id | size_class"),
    contract(
        "marts.charge_word_costs",
        "shipped_month carrier charge_code charge_kind | line_count charged_parcel_count amount_cents",
        made_from=MadeFrom("word_charges", sums="amount_cents"),
    ),
    contract(
        "marts.sale_states",
        "sold_month sale_state | line_count parcel_count shipping_charged_cents shipping_refunded_cents",
        made_from=MadeFrom("sale_state_parcels"),
    ),
    contract("core.unsent_sales", "sale_id line_number | sold_at item_type quantity gap_cents"),
    contract("core.parcel_gaps", "parcel_id gap | shipped_month gap_cents?"),
    contract(
        "marts.record_gaps",
        "shipped_month gap | due_count missing_count valued_count missing_cents?",
        made_from=MadeFrom("gap_records", sums="missing_cents", amount="b.gap_cents"),
    ),
)
