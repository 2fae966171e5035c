"""Contracts of what a little less would spare, of surcharges by group, and of sides learned from bills."""

from models.contracts import Contract, contract
from models.provenance import SURCHARGES, MadeFrom, itself
from models.sql_texts import written_out

_FACTS = (
    "carrier service? zone? shipped_on length_in? width_in? height_in? is_rectangular scale_weight_lb? "
    "is_residential? destination_prefix? declared_value_cents?"
)
_YEAR = (
    "shipped_month grouped_by group_name carrier surcharge | parcel_count charged_parcel_count surcharge_rate "
    "amount_cents avoidable_count avoidable_cents"
)
_GROUPED = MadeFrom(
    "core.charge_lines",
    "shipped_month p.carrier surcharge",
    "amount_cents",
    where=f"{SURCHARGES} and r.group_name = {written_out('{group p by r.grouped_by}')}",
    is_year=True,
)
_CLOSED = MadeFrom(
    "core.billed_parcels", "carton_code cut_height_in", where="b.billed_length_in is not null", is_among=True
)

NEAR_MISSES: tuple[Contract, ...] = (
    contract("core.parcel_classes", "parcel_id change | class_key"),
    contract("core.class_parcels", f"class_key | change parcel_id {_FACTS} price_class_key base_cents surcharge_cents"),
    contract("core.near_miss_trials", "class_key direction eighth | change is_whole_reach request_id"),
    contract(
        "core.near_miss_least_changes",
        "class_key direction charge_name | change eighth base_cents surcharge_cents fuelled_cents",
    ),
    contract(
        "marts.surcharge_near_misses",
        "parcel_id near_miss charge_name | change change_in? change_lb? spared_cents is_counted can_cut? "
        "other_carton_code? carrier service? zone? item_type carton_code? shipped_on shipped_month",
        made_from=itself("spared_cents"),
    ),
    contract(
        "marts.near_miss_totals",
        "shipped_month carrier charge_name change carton_code item_type | parcel_count change_in? change_lb? "
        "spared_cents cut_count other_carton_code?",
        made_from=MadeFrom(
            "marts.surcharge_near_misses", sums="spared_cents", where="b.near_miss = 'paid' and b.is_counted"
        ),
    ),
    contract("core.length_limits", "tariff_key service limit_in |"),
    contract(
        "marts.closed_lengths",
        "shipped_month carrier carton_code limit_in from_length_in | until_length_in is_beyond parcel_count",
        made_from=MadeFrom(
            "core.parcels",
            "shipped_month carrier carton_code",
            where="b.length_in >= r.from_length_in - 1e-6 and b.length_in < r.until_length_in",
            is_among=True,
        ),
    ),
    contract("core.grouped_parcels", "shipped_month grouped_by group_name carrier | parcel_count"),
    contract(
        "core.grouped_surcharges",
        "shipped_month grouped_by group_name carrier surcharge | charged_parcel_count amount_cents avoidable_count "
        "avoidable_cents",
    ),
    contract("marts.surcharge_year", _YEAR, made_from=_GROUPED),
    contract(
        "analysis.surcharge_rates",
        f"{_YEAR} rate_low rate_high avoidable_share",
        "One row per month, way of grouping, group, carrier and surcharge: its rate over twelve months, with limits.",
        made_from=_GROUPED,
    ),
    contract(
        "marts.carton_bulges", "carton_code cut_height_in? side bulge_in | parcel_count named_in", made_from=_CLOSED
    ),
    contract(
        "analysis.learned_sides",
        "carton_code cut_height_in? side | parcel_count named_in bulge_in bulge_low_in? bulge_high_in? usual_in",
        "One row per carton, cut height and side: what it measures when closed, by the carriers' bills.",
        made_from=_CLOSED,
    ),
)
