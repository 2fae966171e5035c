"""Contracts of comparison.*: what an announced tariff would change for past parcels. Made on demand, never stored."""

from models.contracts import Contract, contract

_MONEY = "before_cents after_cents change_cents"
_OPTIONAL_MONEY = "before_cents? after_cents? change_cents? change_share?"
_LEARNED = "learned_count within_cents?"

COMPARISON: dict[str, Contract] = {
    "totals": contract(
        "comparison.totals",
        f"carrier? tariff_code? first_on? last_on? parcel_count compared_count {_OPTIONAL_MONEY} {_LEARNED}",
        "One row: all parcels looked back on.",
    ),
    "by_item_type": contract(
        "comparison.by_item_type",
        f"item_type | parcel_count {_MONEY} change_share? within_cents?",
        "One row per item type: parcels priced by both tariffs.",
    ),
    "by_zone": contract(
        "comparison.by_zone",
        f"zone | parcel_count {_MONEY} change_share? within_cents?",
        "One row per zone: parcels priced by both tariffs.",
    ),
    "by_charge": contract(
        "comparison.by_charge",
        f"charge_kind charge_name | before_parcel_count after_parcel_count {_MONEY} within_cents?",
        "One row per kind and name of charge: amounts and parcels charged it, before and after.",
    ),
    "crossings": contract(
        "comparison.crossings",
        "surcharge crossing item_type | parcel_count change_cents",
        "One row per surcharge, way a parcel crosses its threshold, and item type.",
    ),
    "crossing_parcels": contract(
        "comparison.crossing_parcels",
        "parcel_id surcharge | crossing item_type zone shipped_on length_in? width_in? height_in? scale_weight_lb? "
        "change_cents",
        "One row per parcel and surcharge whose threshold it crosses.",
    ),
}

TERMS = contract(
    "comparison.terms",
    "term_number | term parcel_count compared_count changed_count before_cents after_cents change_cents alone_cents "
    f"change_share? {_LEARNED}",
    "One row per term of an offer, and one for all together: the same parcels by the tariff without and with it.",
)
