"""The charges of one parcel, and disputes one by one."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Entry, Rows, RowsOf, kept, of_records, where
from dashboards.sentences.grounds import overdue
from dashboards.sentences.parcel import PARCEL

# Rows of models/sql/explaining, with the parcel's units beside them.
LINES = "explaining.lines"
DISPUTES = "marts.billing_disputes"
# Billed, not expected, and still no error.
NO_ERRORS = ("option or event", "not checked")
# What made a charge apply, in words, by the measure of its rule.
MEASURES = {
    "longest_side": "the longest side is {measured} {length_unit}, the limit {threshold}",
    "second_side": "the second side is {measured} {length_unit}, the limit {threshold}",
    "shortest_side": "the shortest side is {measured} {length_unit}, the limit {threshold}",
    "length_plus_girth": "length plus girth is {measured} {length_unit}, the limit {threshold}",
    "sum_of_sides": "the three sides add up to {measured} {length_unit}, the limit {threshold}",
    "longest_plus_shortest": "longest and shortest side add up to {measured} {length_unit}, the limit {threshold}",
    "diagonal": "the diagonal is {measured} {length_unit}, the limit {threshold}",
    "not_rectangular": "it is not rectangular",
    "volume": "the volume is {measured} cubic {length_unit}, the limit {threshold}",
    "scale_weight": "the scale weight is {measured} {weight_unit}, the limit {threshold}",
    "rated_weight": "the rated weight is {measured} {weight_unit}, the limit {threshold}",
    "dim_weight": "the dimensional weight is {measured} {weight_unit}, the limit {threshold}",
    "billed_weight": "for {measured} {weight_unit}",
    "residential": "delivered to a home",
    "area": "the destination lies in its area",
    "declared_value": "for the declared value",
    "missing_weight": "{measured} {weight_unit} are missing to the density of the tariff",
}


@of_records
def _line(records: Records, is_expected: bool, is_billed: bool, *, is_equal: bool | None = None) -> Rows:
    found = records.table(LINES)
    expected, billed = found["expected_cents"], found["billed_cents"]
    found = found[(expected.notna() == is_expected) & (billed.notna() == is_billed)]
    if is_equal is None:
        return found
    return found[(found["expected_cents"] == found["billed_cents"]) == is_equal]


@of_records
def _unexpected(records: Records, cause: str | None) -> Rows:
    """Charges billed and not expected that are no error by that cause, or of no such cause."""
    found = _line(False, True)(records)
    return found[found["difference_class"] == cause] if cause else found[~found["difference_class"].isin(NO_ERRORS)]


def _because(measure: str) -> RowsOf:
    return kept(LINES, lambda found: found["measure"] == measure)


@of_records
def _error(records: Records, has_charge: bool, is_taken_back: bool) -> Rows:
    found = records.table(DISPUTES)
    has_own = [_has_own_name(*pair) for pair in zip(found["charge_name"], found["difference_class"], strict=True)]
    found = found[[has is has_charge for has in has_own]]
    return found[(found["credited_cents"] > 0) == is_taken_back]


def _has_own_name(charge: object, cause: object) -> bool:
    """Whether the charge says something that its cause does not say already."""
    return isinstance(charge, str) and charge not in str(cause)


@of_records
def _open(records: Records, is_overdue: bool) -> Rows:
    found = records.table(DISPUTES).dropna(subset=["last_dispute_on"])
    found = found[found["dispute_state"] == "open"]
    late = overdue(found, "last_dispute_on", records)
    return late if is_overdue else found.drop(late.index)


@of_records
def _shipment(records: Records, is_checked: bool) -> Rows:
    found = records.table(PARCEL).dropna(subset=["shipment_billed_cents"])
    return found[found["shipment_lacking"].isna() == is_checked]


SHIPMENT = "It is one of {parcel_count:parcel/parcels} of shipment {shipment_id}"
ERROR, TAKEN_BACK = "Billing error: {difference_class}", "{over_cents}, {credited_cents} of it taken back."

ENTRIES: tuple[Entry, ...] = (
    where("charge.not_billed", "{charge_name}: expected {expected_cents}, not billed", _line(True, False)),
    where("charge.not_expected", "{charge_name}: not expected, billed {billed_cents}", _unexpected(None)),
    where(
        "charge.option",
        "{charge_name}: billed {billed_cents}, an option or event of the tariff",
        _unexpected("option or event"),
    ),
    where(
        "charge.no_rule",
        "{charge_name}: billed {billed_cents}, not checked: the tariff states no rule for it",
        _unexpected("not checked"),
    ),
    where("charge.as_expected", "{charge_name}: {billed_cents}, as billed", _line(True, True, is_equal=True)),
    where(
        "charge.otherwise",
        "{charge_name}: expected {expected_cents}, billed {billed_cents}",
        _line(True, True, is_equal=False),
    ),
    *(where(f"charge.by_{measure}", words, _because(measure)) for measure, words in MEASURES.items()),
    where(
        "charge.shipment",
        f"{SHIPMENT}: for all of them expected {{shipment_expected_cents}}, billed {{shipment_billed_cents}}.",
        _shipment(True),
    ),
    where(
        "charge.shipment_not_checked",
        f"{SHIPMENT}. What is billed for all of them, {{shipment_billed_cents}}, is not checked: {{shipment_lacking}}.",
        _shipment(False),
    ),
    where("dispute.charge", f"{ERROR} on {{charge_name}}, {{over_cents}}.", _error(True, False)),
    where("dispute.cause", f"{ERROR}, {{over_cents}}.", _error(False, False)),
    where("dispute.charge_taken_back", f"{ERROR} on {{charge_name}}, {TAKEN_BACK}", _error(True, True)),
    where("dispute.cause_taken_back", f"{ERROR}, {TAKEN_BACK}", _error(False, True)),
    where("dispute.by", "Dispute by {last_dispute_on}; {dispute_state}.", _open(False)),
    where("dispute.overdue", "Overdue: the deadline was {last_dispute_on}; {dispute_state}.", _open(True)),
    where(
        "dispute.state",
        "State: {dispute_state}.",
        kept(DISPUTES, lambda found: (found["dispute_state"] != "open") | found["last_dispute_on"].isna()),
    ),
)
