"""One parcel: what it made or lost, and why its bill is what it is."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Entry, Rows, RowsOf, kept, of_records, where
from dashboards.sentences.grounds import flagged, having, only_if

# Rows of models/sql/explaining.
MARGIN, PARCEL, NEAR, PACKING = (f"explaining.{name}" for name in ("margin", "parcel", "near", "packing"))
SOURCES = {
    "measured": "measured at the bench",
    "learned": "not measured; this is what the carrier usually bills for the carton",
    "carton": "not measured; this is the carton's nominal size",
}


def _margin(is_lost: bool) -> RowsOf:
    return kept(MARGIN, lambda found: (found["margin_cents"] < 0) == is_lost)


def _lacks(column: str) -> RowsOf:
    return lambda records: flagged(records.table(MARGIN), f"-{column}")


def _sides(source: str) -> RowsOf:
    return having(PARCEL, "sides_source", source)


def _zone(source: str) -> RowsOf:
    return having(PARCEL, "zone_source", source)


def _null(table: str, column: str) -> RowsOf:
    return kept(table, lambda found: found[column].isna())


def _known(table: str, column: str) -> RowsOf:
    return kept(table, lambda found: found[column].notna())


@of_records
def _decided(records: Records, by: str) -> Rows:
    """Whether volume or scale gave the rated weight, both in the tariff's unit."""
    found = records.table(PARCEL).dropna(subset=["scale_weight_lb", "dim_weight", "rated_weight", "rated_weight_lb"])
    if found.empty:
        return found
    row = found.iloc[0]
    scale = row["scale_weight_lb"] * row["rated_weight"] / (row["rated_weight_lb"] or 1)
    winner = "volume" if row["dim_weight"] > scale else "scale" if row["dim_weight"] else "scale alone"
    return only_if(by == winner, found)


def _least_weight(records: Records) -> Rows:
    found = records.table(PARCEL).dropna(subset=["rated_weight", "billed_weight"])
    return found[found["billed_weight"] > found["rated_weight"]]


def _total(is_billed: bool) -> RowsOf:
    return kept(PARCEL, lambda found: found["expected_cents"].notna() & (found["billed_cents"].notna() == is_billed))


def _learned(is_known: bool) -> RowsOf:
    return kept(_known(PARCEL, "learned_first_on"), lambda found: found["left_out_error_cents"].notna() == is_known)


def _near(near_miss: str, *, is_weight: bool) -> RowsOf:
    return kept(NEAR, lambda found: (found["near_miss"] == near_miss) & ((found["change"] == "weight") == is_weight))


@of_records
def _way(records: Records, can_cut: bool, has_other: bool) -> Rows:
    paid = records.table(NEAR)
    paid = paid[paid["near_miss"] == "paid"]
    found = flagged(paid, "can_cut") if can_cut else paid.drop(flagged(paid, "can_cut").index)
    return found[found["other_carton_code"].notna() == has_other]


DIM = "Dimensional weight: {dim_weight} {weight_unit}"
RATED = "Rated weight: {rated_weight} {weight_unit}."
BILLS = "The base price is learned from {bill_count:bill/bills} of {learned_first_on} to {learned_last_on}"

ENTRIES: tuple[Entry, ...] = (
    where("parcel.lost", "{parcel_id} lost {margin_cents:unsigned}", _margin(True)),
    where("parcel.made", "{parcel_id} made {margin_cents}", _margin(False)),
    where(
        "parcel.no_charges", "The carrier's charges are not on record yet and count as nothing.", _lacks("has_charges")
    ),
    where(
        "parcel.no_bench_row",
        "Its bench row is not on record: carton, packing and labour count as nothing.",
        _lacks("has_bench_log"),
    ),
    where(
        "parcel.no_sale",
        "Its sale is not on record: what the buyer paid for shipping counts as nothing.",
        _lacks("is_sale_known"),
    ),
    *(
        where(f"parcel.sides_{source}", f"Sides: {{length_in x width_in x height_in}}, {words}.", _sides(source))
        for source, words in SOURCES.items()
    ),
    where(
        "parcel.sides_not_known",
        "Sides: not known; the bench log has neither sides nor a carton that the catalogue knows.",
        _null(PARCEL, "length_in"),
    ),
    where(
        "parcel.sides_counted",
        "By {tariff_code} that counts as {longest_side x second_side x shortest_side} {length_unit}.",
        _known(PARCEL, "length_in"),
    ),
    where("parcel.zone_chart", "Zone {zone}: by the tariff's chart; no record states it.", _zone("chart")),
    where(
        "parcel.zone_learned",
        "Zone {zone}: no record states it; {agreeing_count} of {zone_bill_count:bill/bills} to {learned_prefix} do.",
        _zone("bills"),
    ),
    where(
        "parcel.zone_not_decided",
        "Zone: not known; of {zone_bill_count:bill/bills} to {learned_prefix} only {agreeing_count} agree on one.",
        _zone("bills disagree"),
    ),
    where("parcel.not_weighed", "Weight: not on record.", _null(PARCEL, "scale_weight_lb")),
    where("parcel.weighed", "Weight: {scale_weight_lb} on the scale.", _known(PARCEL, "scale_weight_lb")),
    where("parcel.volume_decides", f"{DIM}; the volume decides. {RATED}", _decided("volume")),
    where("parcel.scale_decides", f"{DIM}; the scale decides. {RATED}", _decided("scale")),
    where("parcel.no_dim_weight", f"No dimensional weight applies. {RATED}", _decided("scale alone")),
    where(
        "parcel.least_weight",
        "It is billed as {billed_weight} {weight_unit} for a surcharge's least weight.",
        _least_weight,
    ),
    where("parcel.not_rated", "It cannot be rated: {lacking}.", _null(PARCEL, "expected_cents")),
    where("parcel.total", "in all: expected {expected_cents}, billed {billed_cents}", _total(True)),
    where("parcel.total_not_billed", "in all: expected {expected_cents}, billed nothing yet", _total(False)),
    where("parcel.learned", f"{BILLS}; such prices miss by {{left_out_error_cents}} on average.", _learned(True)),
    where(
        "parcel.learned_interval",
        "Nineteen of twenty such bills lie within {interval_cents} of the learned base price.",
        _known(PARCEL, "interval_cents"),
    ),
    where("parcel.learned_error_not_known", f"{BILLS}; how far it misses is not known.", _learned(False)),
    where(
        "parcel.near_side",
        "Near miss: {change_in} less on the {change} would have avoided {charge_name}, {spared_cents} in all.",
        _near("paid", is_weight=False),
    ),
    where(
        "parcel.near_weight",
        "Near miss: {change_lb} less weight would have avoided {charge_name}, {spared_cents} in all.",
        _near("paid", is_weight=True),
    ),
    where(
        "parcel.just_under_side",
        "Just under: {change_in} more on the {change} would add {charge_name}, {spared_cents} in all.",
        _near("just under", is_weight=False),
    ),
    where(
        "parcel.just_under_weight",
        "Just under: {change_lb} more weight would add {charge_name}, {spared_cents} in all.",
        _near("just under", is_weight=True),
    ),
    where("parcel.packing_not_known", "Packing: not known; {lacking_words}.", lambda records: records.table(PACKING)),
    where("parcel.can_cut", "Cutting the carton does it.", _way(True, False)),
    where("parcel.other_carton", "Carton {other_carton_code} would do.", _way(False, True)),
    where("parcel.cut_or_other_carton", "Cutting the carton does it, or carton {other_carton_code}.", _way(True, True)),
)
