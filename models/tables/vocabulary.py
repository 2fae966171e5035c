"""Every column that a built table may have, defined once: one word per thing, one meaning per word."""

from __future__ import annotations

import copy
from collections.abc import Mapping

import pandera.pandas as pa

from models.fields import (
    cents,
    choice,
    count,
    date,
    flag,
    fraction,
    inches,
    instant,
    minutes,
    number,
    pounds,
    signed_cents,
    text,
)
from models.records import CHARGE_KINDS, CLAIM_CAUSES, CLAIM_STATES
from models.tables.words_billing import BILLING_WORDS
from models.tables.words_cartons import CARTON_WORDS
from models.tables.words_comparison import COMPARISON_WORDS
from models.tables.words_damage import DAMAGE_WORDS
from models.tables.words_margin import MARGIN_WORDS
from models.tables.words_placements import PLACEMENT_WORDS

BUILT_CHARGE_KINDS = (*CHARGE_KINDS, "unmapped")
DOUBTS = ("bench rows disagree", "unknown carton", "unknown packing method", "cut above carton")

VOCABULARY: dict[str, pa.Column] = {
    # What is shipped
    "parcel_id": text("Parcel; an account fee without a parcel stands under `account CARRIER MONTH`", "NL40017733"),
    "sale_id": text("Sale", "S-10482"),
    "line_number": count("Line of the sale or invoice", 1),
    "item_type": text("Item type; of a parcel the one with the greatest chargeable weight", "tripod"),
    "channel": text("Where it was sold", "marketplace"),
    "packed_quantity": count("Pieces of the sale line in the parcel", 1),
    "quantity": count("Pieces sold", 1),
    "line_quantity": count("Pieces sold on the sale line", 1),
    "piece_count": count("Pieces shipped", 214),
    "line_count": count("Lines", 3),
    "cost_basis": count("Thousandths of a pound of the line's own chargeable weight; costs are shared by it", 9200),
    "doubt": choice("What is doubtful in the bench log", "unknown carton", DOUBTS),
    # When
    "sold_at": instant("When the buyer paid", "2026-10-03 14:25:00"),
    "shipped_on": date("Day handed to the carrier", "2026-10-05"),
    "stated_on": date("Day of shipping by the invoice", "2026-10-05"),
    "shipped_month": date("First day of the month of shipping", "2026-10-01"),
    "invoiced_on": date("Date of the invoice", "2026-10-12"),
    "invoice_month": date("First day of the month of the invoice", "2026-10-01"),
    "effective_from": date("First day of validity", "2025-05-01"),
    "effective_before": date("First day after validity; empty while valid", "2026-01-12"),
    "opened_on": date("Day the buyer reported the claim", "2026-10-19"),
    "filed_on": date("Day the claim was sent to the carrier", "2026-10-21"),
    "decided_on": date("Day the carrier decided", "2026-11-20"),
    "first_on": date("Earliest day in the records", "2025-05-01"),
    "last_on": date("Latest day in the records", "2026-10-31"),
    "landed_at": instant("When the latest delivery was landed", "2026-11-01 06:00:00"),
    # How
    "carrier": text("Carrier", "Northline"),
    "service": text("Carrier's service", "ground"),
    "zone": text("Carrier's zone", "5"),
    "destination_prefix": text("First figures of the postal code", "597"),
    "is_residential": flag("Delivered to a home", True),
    "is_rectangular": flag("False for a tube or a bundle", True),
    "declared_value_cents": cents("Value declared", 18900),
    "carton_code": text("Carton", "C-08"),
    "carton_style": text("Style, by FEFCO code where known", "0201"),
    "cut_height_in": inches("Inside height after cutting down", 6.0),
    "packing_method": text("Packing method", "foam"),
    "packer": text("Code of the packing bench", "B2"),
    "pack_minutes": minutes("Packing time", 9.5),
    "scale_weight_lb": pounds("Weight on the bench scale", 11.4),
    "length_in": inches("Longest outside side", 49.0),
    "width_in": inches("Second outside side", 8.0),
    "height_in": inches("Shortest outside side", 8.0),
    "has_bench_log": flag("Whether the bench log knows the parcel", True),
    "has_charges": flag("Whether an invoice names the parcel", True),
    "is_account": flag("True for account fees that name no parcel", False),
    # Cartons
    "inside_length_in": inches("Longer inside side of the opening", 47.5),
    "inside_width_in": inches("Shorter inside side of the opening", 7.5),
    "inside_height_in": inches("Inside height from flap to flap", 7.5),
    "outside_length_in": inches("Outside along the inside length", 48.0),
    "outside_width_in": inches("Outside along the inside width", 8.0),
    "outside_height_in": inches("Outside along the inside height", 8.0),
    "board_in": inches("Board thickness", 0.16),
    "clearance_in": inches("Room left on every side of the goods", 1.5, zero=True),
    "unit_cost_cents": cents("Price of one carton", 285),
    "is_cuttable": flag("Whether it may be cut lower", True),
    "minimum_height_in": inches("Lowest inside height it may be cut to", 4.0),
    "on_hand": count("Pieces in stock", 120),
    "minimum_order": count("Smallest order", 25),
    # Charges
    "invoice_number": text("Invoice", "NL-2026-10-2"),
    "charge_code": text("Carrier's word for the charge", "LONG SIDE"),
    "charge_kind": choice("Kind of charge; unmapped where nothing says it", "surcharge", BUILT_CHARGE_KINDS),
    "surcharge": text("Name of the surcharge", "long side"),
    "amount_cents": signed_cents("Amount billed", 1850),
    "billed_weight_lb": pounds("Weight billed", 23.0, zero=True),
    "billed_length_in": inches("Longest side billed", 49.0),
    "billed_width_in": inches("Second side billed", 8.0),
    "billed_height_in": inches("Shortest side billed", 8.0),
    # Money of a parcel, an item type or a month
    "base_cents": signed_cents("Plain carriage", 1480),
    "fuel_cents": signed_cents("Fuel", 220),
    "surcharge_cents": signed_cents("Surcharges", 1850),
    "adjustment_cents": signed_cents("Later corrections", 0),
    "tax_cents": signed_cents("Tax", 0),
    "credit_cents": signed_cents("Credits", 0),
    "unmapped_cents": signed_cents("Charges of unknown kind", 0),
    "billed_cents": signed_cents("All charge lines", 3550),
    "carton_cents": cents("Carton", 285),
    "material_cents": cents("Packing material", 310),
    "labour_cents": cents("Packing time at the shop's wage", 440),
    "damage_net_cents": signed_cents("Refund, replacement and return, less salvage and what the carrier paid", 0),
    "goods_cents": cents("Price of the goods", 18900),
    "shipping_charged_cents": cents("Shipping the buyer paid", 2450),
    "allowance_cents": cents("Kept in the item price for shipping", 0),
    "marketplace_fee_cents": cents("Fee on the sale line", 2310),
    "fee_on_shipping_cents": cents("Marketplace fee on the shipping charged", 300),
    "margin_cents": signed_cents("Shipping charged and allowance, less every cost of shipping", -2400),
    "margin_per_parcel_cents": signed_cents("Margin for each parcel", -310),
    "margin_change_cents": signed_cents("Margin less that of the month before", -41000),
    "carriage_per_parcel_cents": signed_cents("Billed carriage for each parcel", 3550),
    "cost_per_piece_cents": signed_cents("All costs of shipping for each piece", 4890),
    # Claims
    "claim_id": text("Claim", "CL-0231"),
    "claim_cause": choice("What went wrong", "damage", CLAIM_CAUSES),
    "claim_state": choice("How far the claim has come", "filed", CLAIM_STATES),
    "damaged_part": text("Part that broke", "focuser"),
    "packing_evidence": text("What photos show of the packing", "end cap crushed"),
    "claimed_cents": cents("Asked of the carrier", 18900),
    "paid_cents": cents("Paid by the carrier", 18900),
    "refund_cents": cents("Refunded to the buyer", 21350),
    "replacement_cents": cents("Cost of goods sent again", 0),
    "return_cost_cents": cents("Cost of the return", 1720),
    "salvage_cents": cents("Worth of what came back", 4000),
    "loss_cents": signed_cents("Lost on the claim, net of what came back and what was paid", 17350),
    # Counts and rates
    "parcel_count": count("Parcels", 341),
    "sale_count": count("Sales", 310),
    "charged_parcel_count": count("Parcels that were charged it", 42),
    "damage_count": count("Parcels with a claim for damage", 6),
    "loss_count": count("Parcels with a claim for loss", 1),
    "other_claim_count": count("Parcels with any other claim", 0),
    "surcharge_rate": fraction("Share of the carrier's parcels charged it", 0.12),
    "crude_damage_rate": fraction("Damage claims over parcels, not corrected for claims to come", 0.018),
    "invoiced_share": fraction("Share of parcels with a base charge", 0.97),
    "benched_parcel_count": count("Parcels in the bench log", 338),
    "measured_parcel_count": count("Parcels with measured sides", 310),
    "charged_count": count("Parcels with a base charge", 335),
    "sold_parcel_count": count("Parcels whose sale is known", 338),
    # State of the records
    "kind": text("Record kind", "charges"),
    "row_count": count("Rows", 18211),
    "delivery_count": count("Deliveries landed", 19),
    "rejected_count": count("Rejected rows still open", 4),
    "warning": text("Name of the check", "unknown cartons"),
    "meaning": text("What the check looks for", "Parcels whose carton has no catalogue entry"),
    "examples": text("The first rows found, cut short", "[{'parcel_id': 'NL40017733'}]"),
    # Settings
    "currency": text("Currency of all amounts", "USD"),
    "wage_cents_per_hour": cents("Wage", 2400),
    "sharing_divisor_in3_per_lb": number("Divisor for an item's own chargeable weight", 139.0, least=1),
    # Of one room each
    **BILLING_WORDS,
    **CARTON_WORDS,
    **COMPARISON_WORDS,
    **DAMAGE_WORDS,
    **MARGIN_WORDS,
    **PLACEMENT_WORDS,
}


def columns(names: str, words: Mapping[str, pa.Column] = VOCABULARY) -> dict[str, pa.Column]:
    """The columns named in one string, parted by blanks; `name?` may be unknown in this table.

    words: where a name is looked up first, for the columns that only one room uses; the vocabulary has the rest.
    """
    return {name.rstrip("?"): _column(name.rstrip("?"), words, optional=name.endswith("?")) for name in names.split()}


def _column(name: str, words: Mapping[str, pa.Column], *, optional: bool) -> pa.Column:
    column = copy.copy(words.get(name, VOCABULARY.get(name)))
    column.nullable = optional
    return column
