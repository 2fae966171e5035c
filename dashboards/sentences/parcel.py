"""One parcel: what it made or lost, and why its bill is what it is."""

from __future__ import annotations

from dashboards.parts import Records
from dashboards.sentences.entry import Entry, Rows, RowsOf, of_rows
from dashboards.sentences.grounds import flagged, only_if, overdue, unflagged

# Rows of models/sql/explaining. Lines have the parcel's units beside them.
MARGIN, PARCEL, LINES, NEAR = (f"explaining.{name}" for name in ("margin", "parcel", "lines", "near"))
DISPUTES = "marts.billing_disputes"
SOURCES = {
    "measured": "measured at the bench",
    "learned": "not measured; this is what the carrier usually bills for the carton",
    "carton": "not measured; this is the carton's nominal size",
}
# What made a charge apply, in words, by the measure of its rule.
MEASURES = {
    "longest_side": "the longest side is {measured} {length_unit}, the limit {threshold}",
    "second_side": "the second side is {measured} {length_unit}, the limit {threshold}",
    "shortest_side": "the shortest side is {measured} {length_unit}, the limit {threshold}",
    "length_plus_girth": "length plus girth is {measured} {length_unit}, the limit {threshold}",
    "volume": "the volume is {measured} cubic {length_unit}, the limit {threshold}",
    "scale_weight": "the scale weight is {measured} {weight_unit}, the limit {threshold}",
    "rated_weight": "the rated weight is {measured} {weight_unit}, the limit {threshold}",
    "dim_weight": "the dimensional weight is {measured} {weight_unit}, the limit {threshold}",
    "billed_weight": "for {measured} {weight_unit}",
    "residential": "delivered to a home",
    "area": "the destination lies in its area",
    "declared_value": "for the declared value",
}


def _margin(is_lost: bool) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(MARGIN)
        return found[(found["margin_cents"] < 0) == is_lost]

    return rows


def _lacks(column: str) -> RowsOf:
    return lambda records: unflagged(records.table(MARGIN), column)


def _sides(source: str) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(PARCEL)
        return found[found["sides_source"] == source]

    return rows


def _null(table: str, column: str) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(table)
        return found[found[column].isna()]

    return rows


def _known(table: str, column: str) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(table)
        return found[found[column].notna()]

    return rows


def _decided(by: str) -> RowsOf:
    """Whether volume or scale gave the rated weight, both in the tariff's unit."""

    def rows(records: Records) -> Rows:
        found = records.table(PARCEL).dropna(
            subset=["scale_weight_lb", "dim_weight", "rated_weight", "rated_weight_lb"]
        )
        if found.empty:
            return found
        row = found.iloc[0]
        scale = row["scale_weight_lb"] * row["rated_weight"] / (row["rated_weight_lb"] or 1)
        winner = "volume" if row["dim_weight"] > scale else "scale" if row["dim_weight"] else "scale alone"
        return only_if(by == winner, found)

    return rows


def _least_weight(records: Records) -> Rows:
    found = records.table(PARCEL).dropna(subset=["rated_weight", "billed_weight"])
    return found[found["billed_weight"] > found["rated_weight"]]


def _total(is_billed: bool) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(PARCEL)
        return found[found["expected_cents"].notna() & (found["billed_cents"].notna() == is_billed)]

    return rows


def _learned(is_known: bool) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = _known(PARCEL, "learned_first_on")(records)
        return found[found["left_out_error_cents"].notna() == is_known]

    return rows


def _line(is_expected: bool, is_billed: bool, *, is_equal: bool | None = None) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(LINES)
        expected, billed = found["expected_cents"], found["billed_cents"]
        found = found[(expected.notna() == is_expected) & (billed.notna() == is_billed)]
        if is_equal is None:
            return found
        return found[(found["expected_cents"] == found["billed_cents"]) == is_equal]

    return rows


def _because(measure: str) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(LINES)
        return found[found["measure"] == measure]

    return rows


def _near(near_miss: str, *, is_weight: bool) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(NEAR)
        return found[(found["near_miss"] == near_miss) & ((found["change"] == "weight") == is_weight)]

    return rows


def _way(can_cut: bool, has_other: bool) -> RowsOf:
    def rows(records: Records) -> Rows:
        paid = records.table(NEAR)
        paid = paid[paid["near_miss"] == "paid"]
        found = flagged(paid, "can_cut") if can_cut else paid.drop(flagged(paid, "can_cut").index)
        return found[found["other_carton_code"].notna() == has_other]

    return rows


def _error(has_charge: bool, is_taken_back: bool) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(DISPUTES)
        has_own = [_has_own_name(*pair) for pair in zip(found["charge_name"], found["difference_class"], strict=True)]
        found = found[[has is has_charge for has in has_own]]
        return found[(found["credited_cents"] > 0) == is_taken_back]

    return rows


def _has_own_name(charge: object, cause: object) -> bool:
    """Whether the charge says something that its cause does not say already."""
    return isinstance(charge, str) and charge not in str(cause)


def _open(is_overdue: bool) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(DISPUTES).dropna(subset=["last_dispute_on"])
        found = found[found["dispute_state"] == "open"]
        late = overdue(found, "last_dispute_on", records)
        return late if is_overdue else found.drop(late.index)

    return rows


def _settled(records: Records) -> Rows:
    found = records.table(DISPUTES)
    return found[(found["dispute_state"] != "open") | found["last_dispute_on"].isna()]


ERROR, TAKEN_BACK = "Billing error: {difference_class}", "{over_cents}, {credited_cents} of it taken back."
DIM = "Dimensional weight: {dim_weight} {weight_unit}"
RATED = "Rated weight: {rated_weight} {weight_unit}."
BILLS = "The base price is learned from {bill_count:bill/bills} of {learned_first_on} to {learned_last_on}"

ENTRIES: tuple[Entry, ...] = (
    of_rows(MARGIN, "parcel.lost", "{parcel_id} lost {margin_cents:unsigned}", _margin(True)),
    of_rows(MARGIN, "parcel.made", "{parcel_id} made {margin_cents}", _margin(False)),
    of_rows(
        MARGIN,
        "parcel.no_charges",
        "The carrier's charges are not on record yet and count as nothing.",
        _lacks("has_charges"),
    ),
    of_rows(
        MARGIN,
        "parcel.no_bench_row",
        "Its bench row is not on record: carton, packing and labour count as nothing.",
        _lacks("has_bench_log"),
    ),
    of_rows(
        MARGIN,
        "parcel.no_sale",
        "Its sale is not on record: what the buyer paid for shipping counts as nothing.",
        _lacks("is_sale_known"),
    ),
    *(
        of_rows(
            PARCEL,
            f"parcel.sides_{source}",
            f"Sides: {{length_in x width_in x height_in}}, {words}.",
            _sides(source),
        )
        for source, words in SOURCES.items()
    ),
    of_rows(
        PARCEL,
        "parcel.sides_not_known",
        "Sides: unknown; the bench log has neither sides nor a carton that the catalogue knows.",
        _null(PARCEL, "length_in"),
    ),
    of_rows(
        PARCEL,
        "parcel.sides_counted",
        "By {tariff_code} that counts as {longest_side x second_side x shortest_side} {length_unit}.",
        _known(PARCEL, "length_in"),
    ),
    of_rows(PARCEL, "parcel.not_weighed", "Weight: not on record.", _null(PARCEL, "scale_weight_lb")),
    of_rows(PARCEL, "parcel.weighed", "Weight: {scale_weight_lb} on the scale.", _known(PARCEL, "scale_weight_lb")),
    of_rows(PARCEL, "parcel.volume_decides", f"{DIM}; the volume decides. {RATED}", _decided("volume")),
    of_rows(PARCEL, "parcel.scale_decides", f"{DIM}; the scale decides. {RATED}", _decided("scale")),
    of_rows(PARCEL, "parcel.no_dim_weight", f"No dimensional weight applies. {RATED}", _decided("scale alone")),
    of_rows(
        PARCEL,
        "parcel.least_weight",
        "It is billed as {billed_weight} {weight_unit} for a surcharge's least weight.",
        _least_weight,
    ),
    of_rows(PARCEL, "parcel.not_rated", "It cannot be rated: {lacking}.", _null(PARCEL, "expected_cents")),
    of_rows(PARCEL, "parcel.total", "in all: expected {expected_cents}, billed {billed_cents}", _total(True)),
    of_rows(PARCEL, "parcel.total_not_billed", "in all: expected {expected_cents}, billed nothing yet", _total(False)),
    of_rows(
        PARCEL,
        "parcel.learned",
        f"{BILLS}; such prices miss by {{left_out_error_cents}} on average.",
        _learned(True),
    ),
    of_rows(PARCEL, "parcel.learned_error_not_known", f"{BILLS}; how far it misses is not known.", _learned(False)),
    of_rows(
        LINES,
        "charge.not_billed",
        "{charge_name}: expected {expected_cents}, not billed",
        _line(True, False),
    ),
    of_rows(
        LINES,
        "charge.not_expected",
        "{charge_name}: not expected, billed {billed_cents}",
        _line(False, True),
    ),
    of_rows(
        LINES,
        "charge.as_expected",
        "{charge_name}: {billed_cents}, as billed",
        _line(True, True, is_equal=True),
    ),
    of_rows(
        LINES,
        "charge.otherwise",
        "{charge_name}: expected {expected_cents}, billed {billed_cents}",
        _line(True, True, is_equal=False),
    ),
    *(of_rows(LINES, f"charge.by_{measure}", words, _because(measure)) for measure, words in MEASURES.items()),
    of_rows(
        NEAR,
        "parcel.near_side",
        "Near miss: {change_in} less on the {change} would have avoided {charge_name}, {spared_cents} in all.",
        _near("paid", is_weight=False),
    ),
    of_rows(
        NEAR,
        "parcel.near_weight",
        "Near miss: {change_lb} less weight would have avoided {charge_name}, {spared_cents} in all.",
        _near("paid", is_weight=True),
    ),
    of_rows(
        NEAR,
        "parcel.just_under_side",
        "Just under: {change_in} more on the {change} would add {charge_name}, {spared_cents} in all.",
        _near("just under", is_weight=False),
    ),
    of_rows(
        NEAR,
        "parcel.just_under_weight",
        "Just under: {change_lb} more weight would add {charge_name}, {spared_cents} in all.",
        _near("just under", is_weight=True),
    ),
    of_rows(NEAR, "parcel.can_cut", "Cutting the carton does it.", _way(True, False)),
    of_rows(NEAR, "parcel.other_carton", "Carton {other_carton_code} would do.", _way(False, True)),
    of_rows(
        NEAR,
        "parcel.cut_or_other_carton",
        "Cutting the carton does it, or carton {other_carton_code}.",
        _way(True, True),
    ),
    of_rows(DISPUTES, "dispute.charge", f"{ERROR} on {{charge_name}}, {{over_cents}}.", _error(True, False)),
    of_rows(DISPUTES, "dispute.cause", f"{ERROR}, {{over_cents}}.", _error(False, False)),
    of_rows(DISPUTES, "dispute.charge_taken_back", f"{ERROR} on {{charge_name}}, {TAKEN_BACK}", _error(True, True)),
    of_rows(DISPUTES, "dispute.cause_taken_back", f"{ERROR}, {TAKEN_BACK}", _error(False, True)),
    of_rows(DISPUTES, "dispute.by", "Dispute by {last_dispute_on}; {dispute_state}.", _open(False)),
    of_rows(DISPUTES, "dispute.overdue", "Overdue: the deadline was {last_dispute_on}; {dispute_state}.", _open(True)),
    of_rows(DISPUTES, "dispute.state", "State: {dispute_state}.", _settled),
)
