"""The contract of returns of undamaged goods as they are shown."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import itself

RETURNS: tuple[Contract, ...] = (
    contract(
        "marts.returns",
        "return_id | parcel_id item_type carrier shipped_on shipped_month returned_on return_condition "
        "return_parcel_id? way_out_cents return_carriage_cents depreciation_cents resold_on? days_away days_unsold",
        made_from=itself("depreciation_cents"),
    ),
)
