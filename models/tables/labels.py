"""Contracts of labels: what was quoted against what was billed, and labels that were never used."""

from __future__ import annotations

from models.contracts import Contract, contract, names
from models.made_from import MadeFrom, itself
from models.records import LABELS as RECORD

LABELS: tuple[Contract, ...] = (
    contract("core.labels", f"{names(RECORD, but='is_voided')} is_voided refund_by_on?"),
    contract(
        "core.quoted_parcels",
        "parcel_id | shipped_month item_type carrier service? quoted_cents billed_cents above_quote_cents "
        "typed_weight_lb? billed_weight_lb? typed_length_in? billed_length_in? is_heavier is_larger",
    ),
    contract(
        "marts.quoted_against_billed",
        "shipped_month item_type | parcel_count quoted_cents billed_cents above_quote_cents above_quote_count "
        "heavier_count larger_count",
        made_from=MadeFrom("core.quoted_parcels", sums="billed_cents"),
    ),
    contract(
        "marts.label_scans",
        "carrier | label_count scanned_count",
        made_from=MadeFrom("core.labels", where="not b.is_voided"),
    ),
    contract(
        "marts.unused_labels",
        "parcel_id | carrier service? sale_id? bought_on quoted_cents? unscanned_days refund_by_on? refund_days_left?",
        made_from=itself("quoted_cents"),
    ),
)
