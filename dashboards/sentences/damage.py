"""Damage: rates, methods compared, and which method pays. Without claims records nothing is said of damage."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, of_records, where
from dashboards.sentences.grounds import (
    COVERAGE,
    FEWEST,
    NAMELESS,
    WARNINGS,
    are_absent,
    are_there,
    flagged,
    having,
    named,
    only_if,
)

YEAR, COUNTS = "marts.packing_method_year", "marts.damage_counts"
RATES, PAIRS = "analysis.damage_rates", "analysis.method_comparison"


def _are_claims_known(records: Records) -> bool:
    return not are_absent(records, "claims")


def known(table: str, records: Records) -> Rows:
    """The table's rows, none where no claim was ever imported."""
    return only_if(_are_claims_known(records), records.table(table))


def _none_in_year(records: Records) -> bool:
    rows = records.month_rows(YEAR)
    return len(rows) > 0 and not rows["damage_count"].sum() and are_there(records, "claims")


def _costed_by_claim(records: Records) -> Rows:
    rows = having(WARNINGS, "warning", "claims without stated cost")(records)
    return only_if(_are_claims_known(records), rows[rows["row_count"] > 0])


@of_records
def _rates(records: Records, kind: str) -> Rows:
    """Item types and methods of which a rate can be given (enough), of which only what it is at the most, since nothing
    of many parcels was claimed (none), and of which neither (few)."""
    found = named(known(RATES, records), "packing_method")
    is_small = found["parcel_count"] < FEWEST
    is_few = found["is_too_few"].astype(bool) | is_small
    is_none = is_few & ~is_small & (found["claim_count"] == 0)
    return found[{"enough": ~is_few, "none": is_none, "few": is_few & ~is_none}[kind]]


def _unnamed(records: Records) -> Rows:
    rows = known(RATES, records)
    return rows[rows["packing_method"].isin(NAMELESS)]


@of_records
def _pairs(records: Records, flags: str) -> Rows:
    return flagged(known(PAIRS, records), *flags.split())


@of_records
def _unproven(records: Records, *, is_one_within: bool) -> Rows:
    """Pairs without a proven difference. is_one_within: whether the limits of the adjusted ratio allow for none."""
    found = flagged(known(PAIRS, records), "-is_too_few", "-is_different", "-is_entangled")
    return found[((found["pooled_low"] <= 1) & (found["pooled_high"] >= 1)) == is_one_within]


def claimed(pairs: Rows) -> Rows:
    """The pairs of methods between which there is a claim."""
    return pairs[pairs["claim_count"] > 0]


def _is_no_pair(records: Records) -> bool:
    return records.is_empty(PAIRS) and len(records.table(RATES)) > 0


def _are_goods_unknown(records: Records) -> bool:
    """Whether goods of no known item type were packed by a known method."""
    packed = named(records.table(RATES), "packing_method")
    return bool(packed["item_type"].isin(NAMELESS).any())


def is_packing_known(records: Records) -> bool:
    """Whether a packing method is named of goods on which rates are based."""
    return len(named(records.table(RATES), "packing_method")) > 0


CRUDE = (
    "Before adjusting for the goods, parcels in {method_a} were damaged {crude_ratio} times as often as parcels in "
    "{method_b}. Adjusted for goods, zones, carriers, services and months it is {pooled_ratio} times ({pooled_low} to "
    "{pooled_high})"
)
ADJUSTED = (
    "Adjusted for goods, zones, carriers, services and months, parcels in {method_a} were damaged {pooled_ratio} times "
    "as often as parcels in {method_b} ({pooled_low} to {pooled_high})"
)
SAME_GOODS = (
    "For the same goods and zones, parcels in {method_a} were damaged {adjusted_ratio} times as often as parcels in "
    "{method_b} ({ratio_low} to {ratio_high})"
)
COUNTED = "{packing_method}: {claim_count:claim/claims} on {parcel_count:parcel/parcels}"

ENTRIES = (
    definition(
        "damage.crude_means",
        "Crude rates: not corrected for claims still to come. Buyers report late, so recent months look better than "
        "they will turn out. Methods are not compared for the same goods: the more expensive method may guard the more "
        "fragile goods.",
    ),
    where(
        "damage.none_in_year",
        "No damage has been reported so far for the parcels of the last twelve months on record.",
        _none_in_year,
    ),
    where(
        "damage.claims_absent",
        "No claims are on record, so damage is not known.",
        lambda records: are_absent(records, "claims"),
    ),
    where(
        "damage.cost_by_claim",
        "Of {row_count:claim/claims} no refund, replacement or return is on record: what was claimed, or else what "
        "the carrier paid, counts as the cost of the damage.",
        _costed_by_claim,
    ),
    where(
        "damage.no_claim",
        "No damage claim is on record.",
        lambda records: (
            are_there(records, "claims") and records.has(COUNTS) and not records.table(COUNTS)["damage_count"].sum()
        ),
    ),
    where(
        "damage.no_parcel",
        "No parcel is on record, so no rate can be shown.",
        lambda records: records.is_empty(COVERAGE),
    ),
    where(
        "methods.reversed",
        f"{CRUDE}: the unadjusted figure points the wrong way, since the two are used for different goods.",
        _pairs("-is_too_few is_different is_reversed"),
    ),
    where("methods.unlike", f"{CRUDE}.", _pairs("-is_too_few is_different -is_reversed is_unlike")),
    where("methods.alike", f"{ADJUSTED}.", _pairs("-is_too_few is_different -is_reversed -is_unlike")),
    where("methods.unproven", f"{ADJUSTED}: the records do not prove a difference.", _unproven(is_one_within=True)),
    where(
        "methods.unproven_alone",
        f"{SAME_GOODS}: that proves no difference. With carriers, services, months and what other goods show reckoned "
        "in, it is {pooled_ratio} times ({pooled_low} to {pooled_high}); a difference is stated where both show it.",
        _unproven(is_one_within=False),
    ),
    where(
        "methods.entangled",
        f"{SAME_GOODS}. With carriers, services, months and what other goods show reckoned in, it is between "
        "{pooled_low} and {pooled_high} times, so the records do not tell what did it. The same goods packed by "
        "both methods, in the same weeks and by the same carrier, would.",
        _pairs("-is_too_few is_entangled"),
    ),
    where(
        "methods.too_few",
        "{method_a} and {method_b}: {claim_count:claim/claims} on the same goods, too few to compare.",
        _pairs("is_too_few"),
    ),
    where("rates.few", f"{COUNTED}; too few to go by.", _rates("few")),
    where(
        "rates.none_claimed",
        "{packing_method}: no claim on {parcel_count:parcel/parcels}; the damage rate may still be up to "
        "{damage_rate_high} once late claims are in.",
        _rates("none"),
    ),
    where(
        "rates.enough",
        f"{COUNTED}; {{damage_rate}} once late claims are in ({{damage_rate_low}} to {{damage_rate_high}}), adjusted "
        "towards other goods {shrunk_rate}.",
        _rates("enough"),
    ),
    where(
        "rates.no_method",
        "packing method not known: {claim_count:claim/claims} on {parcel_count:parcel/parcels}.",
        _unnamed,
    ),
    where(
        "methods.none",
        "Of the parcels on which rates are based, no two packing methods were used on the same goods to the same band "
        "of zones, so none can be compared.",
        lambda records: _is_no_pair(records) and is_packing_known(records) and not _are_goods_unknown(records),
    ),
    where(
        "methods.not_known",
        "How goods were packed is not on record, so no packing methods can be compared.",
        lambda records: _is_no_pair(records) and not is_packing_known(records),
    ),
    where(
        "methods.goods_unknown",
        "No two packing methods were used on goods of one known item type, so none can be compared; of the goods whose "
        "item type is not known nobody can say whether they are the same.",
        lambda records: _is_no_pair(records) and _are_goods_unknown(records),
    ),
    where(
        "methods.no_claim",
        "No parcel by which packing methods could be compared has a claim that counts, so no ratio is given.",
        lambda records: len(known(PAIRS, records)) > 0 and claimed(known(PAIRS, records)).empty,
    ),
    where(
        "damage.limits",
        "The limits of adjusted rates, and the costs based on them, hold for 95 of 100 combinations of item type and "
        "method of a shop together; they promise nothing for a single one, least of all for one with few parcels.",
        lambda records: len(known(RATES, records)) > 0,
    ),
    definition(
        "damage.marks",
        "Solid: corrected for claims still to come. Hollow: as reported. Adjusted rate: drawn towards the item type's "
        "where parcels are few. Too few to go by: fewer than five claims seen and fewer than five expected at the item "
        "type's rate.",
    ),
    definition("damage.few_parcels", "A rate from few parcels says little: look at the count of parcels beside it."),
    definition("damage.months", "Months without a claim have no row. The newest months are still incomplete."),
    definition(
        "methods.marks",
        "Below 1, parcels in the first method are damaged less often. Solid: adjusted for goods, zones, carriers, "
        "services and months. Hollow: before adjusting for the goods.",
    ),
    definition(
        "damage.severity",
        "Where the records say what the goods were sold for, what is lost is measured as a share of it. The fewer the "
        "claims, the more the figures of like goods count.",
    ),
)
