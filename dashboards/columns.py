"""What a column of a table means: its quantity, label, meaning and unit, from the contracts."""

from __future__ import annotations

import re

from dashboards.damage_labels import DAMAGE_LABELS
from models import contracts
from models.fields import UNITS, Quantity
from models.tables import TABLES
from models.tables.vocabulary import VOCABULARY

# A column that no contract knows still says by its suffix what it measures.
SUFFIXES = {
    "_cents": Quantity.MONEY,
    "_count": Quantity.COUNT,
    "_lb": Quantity.WEIGHT,
    "_in": Quantity.LENGTH,
    "_rate": Quantity.FRACTION,
    "_share": Quantity.FRACTION,
    "_minutes": Quantity.MINUTES,
    "_on": Quantity.DATE,
    "_month": Quantity.DATE,
    "_at": Quantity.INSTANT,
    "_ratio": Quantity.NUMBER,
    "_days": Quantity.NUMBER,
}
WORDLESS_SUFFIXES = ("_cents", "_lb", "_in", "_on")

# Only where the name without its suffix would read badly.
LABELS = DAMAGE_LABELS | {
    "allowance_cents": "Kept in item price",
    "amount_cents": "Amount",
    "best_carton_code": "Better carton",
    "best_cents": "In better carton",
    "best_height_in": "Its inside height",
    "better_parcel_count": "Parcels made cheaper",
    "bound_monthly_cents": "Cannot be below, a month",
    "gap_share": "Not proven",
    "is_cut": "To be cut",
    "is_end_opening": "Opens at its end",
    "ladder_cents": "Carriage and cartons",
    "ladder_step": "Step",
    "used_height_in": "Inside height used",
    "leftover_cents": "Left over after a year",
    "monthly_cents": "Cost a month",
    "order_cents": "Cost of order",
    "order_packs": "Packs to order",
    "saving_high_cents": "Upper end",
    "saving_low_cents": "Lower end",
    "saving_part": "Months",
    "saving_against": "Against",
    "saving_per_parcel_cents": "Saving per parcel",
    "saving_year_cents": "Saving a year",
    "served_parcel_count": "Parcels served",
    "held_out_month_count": "Months held out",
    "candidate_count": "Sizes weighed",
    "candidate_statement": "Sizes weighed are",
    "size_code": "Size",
    "size_count": "Sizes in stock",
    "size_source": "From",
    "spent_cents": "Spent",
    "stock_months": "Months of stock",
    "base_cents": "Plain carriage",
    "billed_cents": "All carrier charges",
    "carriage_per_parcel_cents": "Carriage per parcel",
    "carton_code": "Carton",
    "carton_cents": "Cartons",
    "charged_count": "Parcels with base charge",
    "charged_parcel_count": "Parcels charged",
    "cost_per_piece_cents": "All costs per piece",
    "crude_damage_rate": "Crude damage rate",
    "damage_count": "Damage claims",
    "damage_net_cents": "Damage, net",
    "delivery_count": "Deliveries",
    "fee_on_shipping_cents": "Fee on shipping",
    "first_on": "From",
    "invoiced_share": "Share invoiced",
    "kind": "Record kind",
    "last_on": "To",
    "landed_at": "Latest delivery",
    "line_count": "Lines",
    "loss_count": "Loss claims",
    "benched_parcel_count": "In bench log",
    "measured_parcel_count": "Measured",
    "sold_parcel_count": "Sale known",
    "margin_change_cents": "Change of margin",
    "other_claim_count": "Other claims",
    "parcel_count": "Parcels",
    "parcel_id": "Parcel",
    "piece_count": "Pieces",
    "rejected_count": "Rejected, open",
    "row_count": "Rows",
    "sale_count": "Sales",
    "shipped_month": "Month",
    "surcharge_cents": "Surcharges",
    "surcharge_rate": "Share of parcels",
    "difference_class": "Cause",
    "dispute_count": "Bills raised",
    "over_cents": "Billed too much",
    "credited_cents": "Taken back",
    "outstanding_cents": "Still out",
    "disputable_count": "To dispute",
    "own_evidence": "The shop's record",
    "billed_evidence": "The invoice",
    "last_dispute_on": "Last day",
    "charge_name": "Charge",
    "change": "What, a little less",
    "change_in": "Less by, in",
    "change_lb": "Less by, lb",
    "spared_cents": "Would spare",
    "cut_count": "Could be cut",
    "other_carton_code": "Other carton",
    "group_name": "Group",
    "rate_low": "Share, lower limit",
    "rate_high": "Share, upper limit",
    "named_in": "By its name, in",
    "usual_in": "When closed, in",
    "bulge_in": "Over its name, in",
    "bulge_low_in": "Over, lower limit",
    "bulge_high_in": "Over, upper limit",
    "learned_first_on": "Bills from",
    "learned_last_on": "Bills to",
    "bill_count": "Bills",
    "seen_from_lb": "Lightest, lb",
    "seen_to_lb": "Heaviest, lb",
    "left_out_error_cents": "Misses by",
    "left_out_error_share": "Misses by, share",
    "compared_count": "Priced by both",
    "before_cents": "Own tariff",
    "after_cents": "Announced",
    "change_cents": "Change",
    "change_share": "Change, share",
    "before_parcel_count": "Charged before",
    "after_parcel_count": "Charged after",
    "crossing": "Threshold crossed",
    "unmapped_cents": "Charges of unknown kind",
    "adjustment_cents": "Adjustments",
    "credit_cents": "Credits",
    "action_words": "What to do",
    "looked_at": "Carton looked at",
    "fitted": "Goods",
    "fit_reason": "Because",
    "piece_number": "No.",
    "left_in": "From the left",
    "front_in": "From the front",
    "bottom_in": "From the bottom",
    "lies_at": "Where",
    "saving_month_cents": "A month",
    "alone_month_cents": "A month, alone",
    "once_cents": "Once",
    "confidence": "Chance",
    "confidence_words": "Confidence",
    "evidence": "Rests on",
    "go_on_with": "Go on with",
    "bridge_step": "Step",
    "margin_reached_cents": "Margin after it",
    "margin_step_change_cents": "Change",
    "main_item_type": "Mostly",
    "main_item_change_cents": "Of it",
    "charged_per_parcel_cents": "Charged",
    "break_even_cents": "Break-even",
    "allowance_per_parcel_cents": "Kept in item price",
    "median_cost_cents": "Cost, half below",
    "high_cost_cents": "Cost, eight of ten below",
    "damage_per_parcel_cents": "Damage per parcel",
}


def quantity(column: str) -> Quantity:
    """What the column measures: by the vocabulary, else by its suffix, else text."""
    if column in VOCABULARY:
        return contracts.quantity(VOCABULARY[column])
    if column.startswith(("is_", "has_")):
        return Quantity.FLAG
    return next((kind for suffix, kind in SUFFIXES.items() if column.endswith(suffix)), Quantity.TEXT)


def label(column: str) -> str:
    """Words for a column header."""
    if column in LABELS:
        return LABELS[column]
    bare = next((column.removesuffix(end) for end in WORDLESS_SUFFIXES if column.endswith(end)), column)
    return bare.removeprefix("is_").removeprefix("has_").replace("_", " ").capitalize()


def meaning(column: str) -> str:
    """The contract's sentence on the column; empty where no contract knows it."""
    return re.sub(r"`([^`]*)`", r"“\1”", str(VOCABULARY[column].description)) if column in VOCABULARY else ""


def unit(column: str, currency: str) -> str:
    """The unit as shown to the reader: amounts in the currency, rates in percent."""
    kind = quantity(column)
    if kind is Quantity.MONEY:
        return currency
    return "percent" if kind is Quantity.FRACTION else UNITS[kind]


def grain(table: str) -> str:
    """What one row of the table is; empty where no contract knows the table."""
    return str(TABLES[table].description) if table in TABLES else ""


def is_figure(column: str) -> bool:
    """Whether the column holds numbers, set to the right in a table."""
    return quantity(column) not in (Quantity.TEXT, Quantity.FLAG, Quantity.DATE, Quantity.INSTANT)
