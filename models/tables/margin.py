"""Contracts of the margin: cells, splits, bridge, months completed, guidance on charges, and what to do next."""

from dataclasses import replace

from models.actions.action import FACTS
from models.contracts import Contract, contract
from models.money import columns_of
from models.provenance import MadeFrom, itself, parcels
from models.tables.marts import AMOUNTS

SPLIT = f"parcel_count {' '.join(columns_of('split'))} carriage_per_parcel_cents? margin_per_parcel_cents?"

# One piece in its own parcel, with a base charge: what it cost but for damage.
_SINGLE = MadeFrom(
    "marts.parcel_costs",
    amount=" + ".join(f"b.{column}" for column in columns_of("costs")) + " - b.damage_net_cents",
    where="b.piece_count = 1 and b.base_cents <> 0 and b.shipped_on between r.first_on and r.last_on",
)

# The outermost bins hold all that lies farther out.
_OF_MONTH = "from marts.margin_bins as x where x.shipped_month = r.shipped_month"

_ACTION_FACTS = " ".join(f"{name}?" for name in FACTS)

_ACTED_ON = MadeFrom("action_parcels", "evidence", amount="b.amount_cents", is_among=True)

_CAUSED = MadeFrom(
    "marts.parcel_costs",
    "shipped_month",
    amount="b.margin_cents",
    where=" and ".join(
        f"coalesce(r.{name}, b.{name}, '') = coalesce(b.{name}, '')"
        for name in ("item_type", "carrier", "service", "carton_code", "packing_method")
    ),
    is_among=True,
)

_LIMITS = "{0}_cents {0}_low_cents {0}_high_cents"

MARGIN: tuple[Contract, ...] = (
    contract(
        "analysis.margin_waterfall",
        "shipped_month step_number | waterfall_step waterfall_from_cents waterfall_cents",
        "One row per month of shipping and step from what buyers paid to what is left.",
        made_from=MadeFrom("marts.parcel_costs", "shipped_month", amount="b.margin_cents"),
    ),
    contract(
        "analysis.causes",
        "shipped_month place | cause_kind item_type? carrier? service? carton_code? packing_method? charge_name? "
        "change? change_in? change_lb? parcel_count? damage_count? dispute_count? cause_cents",
        "One row per month of shipping and place: what cost it most that a shop can act on, three at most.",
        made_from=_CAUSED,
    ),
    contract("core.zone_bands", "carrier zone | zone_band"),
    contract(
        "marts.margin_cells",
        f"shipped_month item_type carrier service zone channel | zone_band parcel_count {AMOUNTS}",
        made_from=parcels(),
    ),
    contract("marts.margin_by_channel", f"shipped_month channel | {SPLIT}", made_from=parcels()),
    contract("marts.margin_by_service", f"shipped_month carrier service | {SPLIT}", made_from=parcels()),
    contract("marts.margin_by_zone", f"shipped_month carrier zone | zone_band {SPLIT}", made_from=parcels()),
    contract(
        "marts.carriage_by_zone",
        "shipped_month carrier service zone | parcel_count billed_cents tax_cents carriage_per_parcel_cents",
        made_from=replace(parcels(sums="billed_cents"), is_year=True),
    ),
    contract(
        "marts.margin_bins",
        "shipped_month from_margin_cents | until_margin_cents parcel_count margin_cents",
        made_from=MadeFrom(
            "marts.parcel_costs",
            "shipped_month",
            "margin_cents",
            where="not b.is_account and (b.margin_cents >= r.from_margin_cents or r.from_margin_cents = "
            f"(select min(x.from_margin_cents) {_OF_MONTH})) and (b.margin_cents < r.until_margin_cents or "
            f"r.until_margin_cents = (select max(x.until_margin_cents) {_OF_MONTH}))",
        ),
    ),
    contract(
        "marts.worst_parcels",
        "shipped_month place | parcel_id item_type channel carrier service? zone? carton_code? packing_method? "
        f"{' '.join(columns_of('split'))}",
        made_from=itself("margin_cents"),
    ),
    contract(
        "marts.shipping_cost_levels",
        "item_type zone_band | first_on last_on parcel_count past_median_cents past_high_cents "
        "damage_per_parcel_cents shipping_charged_cents allowance_cents fee_on_shipping_cents margin_cents",
        made_from=_SINGLE,
    ),
    contract(
        "analysis.margin_bridge",
        "shipped_month step_number | bridge_step margin_step_change_cents from_cents margin_reached_cents "
        "main_item_type main_item_change_cents compared_share? is_actionable",
        "One row per month of shipping and step of the bridge from the month before; the last row is their sum.",
        made_from=MadeFrom(
            "marts.parcel_costs",
            "",
            amount="b.margin_cents",
            where="b.shipped_month <= r.shipped_month and b.shipped_month >= "
            "(select max(m.shipped_month) from marts.shipping_margin as m where m.shipped_month < r.shipped_month)",
        ),
    ),
    contract(
        "analysis.margin_comparisons",
        "shipped_month compared_with | first_compared_month last_compared_month compared_parcel_count "
        "compared_per_parcel_cents margin_per_parcel_cents per_parcel_change_cents is_like_with_like "
        "compared_completed_cents? compared_completed_per_parcel_cents?",
        "One row per month of shipping and what it is compared with, per parcel: another month, or the mean of twelve.",
        made_from=MadeFrom(
            "marts.parcel_costs",
            "",
            amount="b.margin_cents",
            where="(b.shipped_month = r.shipped_month "
            "or b.shipped_month between r.first_compared_month and r.last_compared_month)",
        ),
    ),
    contract(
        "analysis.forward_costs",
        "parcel_id | item_type zone_band shipped_on cost_cents forward_cost_cents",
        "One row per sampled parcel of one piece: what it cost but for damage, and would under the latest tariff.",
        made_from=itself("cost_cents"),
    ),
    contract(
        "analysis.shipping_guidance",
        "item_type zone_band | first_on last_on parcel_count charged_per_parcel_cents allowance_per_parcel_cents "
        "median_cost_cents high_cost_cents damage_per_parcel_cents fee_share break_even_cents shortfall_cents "
        "margin_cents margin_per_parcel_cents is_too_few",
        "One row per item type and zone band: the shipping charge that would pay for itself, beside what was charged.",
        made_from=_SINGLE,
    ),
    contract(
        "analysis.actions",
        "place | action_kind is_in_sum expected_month_cents expected_once_cents saving_month_cents month_low_cents? "
        "month_high_cents? once_cents once_cost_cents payback_months? confidence confidence_words parcel_count "
        f"due_on? other_month_cents? evidence {_ACTION_FACTS}",
        "One row per action: what to do next, the one with most to expect in a year first; last what no sum holds.",
        made_from=_ACTED_ON,
    ),
    contract(
        "analysis.other_ways",
        f"place | action_kind more_way_count evidence {_ACTION_FACTS}",
        "One row per action that excludes others: the best of these.",
        made_from=_ACTED_ON,
    ),
    contract(
        "analysis.action_totals",
        "action_count | expected_month_cents expected_once_cents once_cost_cents apart_count not_looked_at",
        "One row: all actions of the sum together, and how many stand apart.",
        made_from=replace(_ACTED_ON, by=""),
    ),
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
        "damage_to_come_low_cents? damage_to_come_high_cents? recovery_to_come_cents completed_margin_cents? "
        "completed_per_parcel_cents? completed_low_cents? completed_high_cents? completed_change_cents? "
        "change_low_cents? change_high_cents? billed_part? is_completed?",
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
