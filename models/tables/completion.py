"""Contracts of months completed, and of what they are completed by."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import MadeFrom, parcels

_LIMITS = "{0}_cents {0}_low_cents {0}_high_cents"

COMPLETION: tuple[Contract, ...] = (
    contract(
        "marts.carriage_cells",
        "shipped_month carrier service zone item_type | parcel_count charged_count billed_cents billed_square "
        "all_packing_cents priced_count priced_billed_cents priced_expected_cents miss_square unbilled_priced_count "
        "unbilled_expected_cents",
        made_from=MadeFrom("marts.parcel_costs", amount="b.billed_cents", where="(p.has_bench_log or p.has_charges)"),
    ),
    contract(
        "marts.invoice_delays",
        "shipped_month carrier delay_days | first_billed_count later_cents later_square",
        made_from=MadeFrom(
            "core.charge_lines",
            "shipped_month p.carrier",
            amount="b.amount_cents",
            where="cast(date_diff('day', p.shipped_on, b.invoiced_on) as bigint) = r.delay_days and not b.is_account",
            is_among=True,
        ),
    ),
    contract(
        "analysis.completed_months",
        "shipped_month | parcel_count margin_cents billed_cents unbilled_count unpriced_count sales_to_ship_count "
        f"income_to_come_cents {_LIMITS.format('carriage_to_come')} packing_to_come_cents damage_to_come_cents? "
        "damage_to_come_low_cents? damage_to_come_high_cents? recovery_to_come_cents completed_margin_cents "
        "completed_per_parcel_cents? completed_low_cents completed_high_cents completed_change_cents? "
        "change_low_cents? change_high_cents? billed_part? is_completed",
        "One row per month of shipping: its margin with what is still to be billed, reported and recovered.",
        made_from=parcels(),
    ),
    contract(
        "analysis.margin_band",
        "shipped_month | completed_per_parcel_cents usual_per_parcel_cents? usual_low_cents? usual_high_cents? "
        "is_unusual?",
        "One row per month of shipping: its completed margin per parcel, and what was usual in twelve months before.",
        made_from=MadeFrom(
            "marts.parcel_costs",
            "",
            amount="b.margin_cents",
            where="b.shipped_month between r.shipped_month - interval 12 month and r.shipped_month",
        ),
    ),
)
