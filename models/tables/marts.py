"""Contracts of marts.*: what the review shows and the analysis reads."""

from __future__ import annotations

from dataclasses import replace

from models.contracts import Contract, contract
from models.made_from import LOSSES, SURCHARGES, MadeFrom, itself, parcels
from models.money import columns_of

AMOUNTS = " ".join(columns_of("all"))
DAMAGE = "parcel_count damage_count loss_count other_claim_count crude_damage_rate damage_net_cents"

MARTS: tuple[Contract, ...] = (
    contract(
        "marts.parcel_costs",
        "parcel_id | is_account shipped_on? shipped_month carrier service? zone? item_type channel carton_code? "
        f"packing_method? piece_count {AMOUNTS}",
        made_from=itself("billed_cents"),
    ),
    contract(
        "marts.parcel_line_costs",
        f"parcel_id sale_id line_number | shipped_month item_type channel packed_quantity {AMOUNTS}",
        made_from=itself("billed_cents"),
    ),
    contract(
        "marts.item_type_costs",
        f"shipped_month item_type | parcel_count piece_count {AMOUNTS} cost_per_piece_cents? margin_per_parcel_cents?",
        made_from=MadeFrom("marts.parcel_line_costs", sums="billed_cents"),
    ),
    contract(
        "marts.shipping_margin",
        f"shipped_month | parcel_count {AMOUNTS} carriage_per_parcel_cents? margin_per_parcel_cents? "
        "margin_change_cents?",
        made_from=parcels(),
    ),
    contract(
        "marts.margin_year",
        "shipped_month | from_month parcel_count billed_cents margin_cents",
        made_from=replace(parcels(), is_year=True),
    ),
    contract(
        "marts.surcharge_frequency",
        "shipped_month carrier surcharge | parcel_count charged_parcel_count surcharge_rate amount_cents",
        made_from=MadeFrom("core.charge_lines", "shipped_month p.carrier surcharge", "amount_cents", where=SURCHARGES),
    ),
    contract("marts.damage_counts", f"shipped_month item_type packing_method | {DAMAGE}", made_from=LOSSES),
    contract(
        "marts.damage_year",
        f"shipped_month item_type packing_method | {DAMAGE}",
        made_from=replace(LOSSES, is_year=True),
    ),
    contract(
        "marts.packing_method_year",
        f"shipped_month packing_method | {DAMAGE}",
        made_from=replace(LOSSES, is_year=True),
    ),
    contract(
        "marts.coverage",
        "shipped_month | parcel_count benched_parcel_count measured_parcel_count charged_count sold_parcel_count "
        "invoiced_share dated_by_invoice_count",
        made_from=MadeFrom("core.parcels"),
    ),
    contract(
        "marts.record_states",
        "kind | row_count first_on? last_on? delivery_count landed_at? rejected_count",
        made_from=MadeFrom("record_parcels"),
    ),
)
