"""How late claims are reported and how far they are on record: what rates of damage allow for."""

from dashboards.review_tables import Records
from dashboards.sentences.damage import known
from dashboards.sentences.entry import Rows, RowsOf, of_records, where
from dashboards.sentences.grounds import COVERAGE, flagged, only_if

LAGS = "analysis.reporting_lag"


@of_records
def _curve(records: Records, source: str) -> Rows:
    found = known(LAGS, records)
    return found[found["curve_source"] == source].head(1)


def _is_dated(records: Records) -> bool:
    """Whether no parcel is counted by the day of its invoice."""
    return not records.table(COVERAGE)["dated_by_invoice_count"].sum()


def _own_curve(*, is_dated: bool) -> RowsOf:
    return lambda records: only_if(is_dated == _is_dated(records), _curve("own claims")(records))


@of_records
def _is_young(records: Records, *, is_dated: bool) -> Rows:
    """Where no parcel is as old as wanted; whether all are counted by a day of shipping."""
    found = known(LAGS, records).head(1)
    return only_if(is_dated == _is_dated(records), found[found["window_days"] < found["wanted_days"]])


@of_records
def _ends_early(records: Records, *sources: str) -> Rows:
    found = known(LAGS, records).head(1)
    return found[(found["claims_to"] < found["records_to"]) & found["claims_to_source"].isin(sources)]


def _stated_too_early(records: Records) -> Rows:
    found = known(LAGS, records).head(1)
    return found[found["claims_to_stated"] < found["last_claim_on"]]


LATER_CLAIMS = (
    "Later claims may be missing, so parcels are counted as at risk up to about {claims_to}. If claims are on record "
    "to a later day, state it as `claims_to` in the section [damage] of the settings."
)

ENTRIES = (
    where(
        "damage.lag",
        "Rates allow for claims still to come. The reporting delay is measured from the shop's own "
        "{claim_count:claim/claims}.",
        _own_curve(is_dated=True),
    ),
    where(
        "damage.lag_counted",
        "Rates allow for claims still to come. The reporting delay is measured from the shop's own "
        "{claim_count:claim/claims}, from the day by which a parcel is counted, which for some is that of their "
        "invoice.",
        _own_curve(is_dated=False),
    ),
    where(
        "damage.within",
        "Rates are of claims within {window_days:day/days} of shipping: no parcel was older on the last day whose "
        "claims are on record. What comes later nobody has seen yet.",
        _is_young(is_dated=True),
    ),
    where(
        "damage.within_counted",
        "Rates are of claims within {window_days:day/days} of the day by which a parcel is counted, which for some is "
        "that of their invoice. What comes later nobody has seen yet.",
        _is_young(is_dated=False),
    ),
    where(
        "damage.lag_assumed",
        "Rates allow for claims still to come. The records are too few ({claim_count:claim/claims}) to measure the "
        "reporting delay. It is taken to be about as long as is usual: half of the claims within 4 to 27 days.",
        _curve("usual delays"),
    ),
    where(
        "damage.lag_drifts",
        "The time until damage is reported is changing. What is still to come of recent parcels is therefore measured "
        "mostly from recent claims.",
        lambda records: flagged(known(LAGS, records), "is_drifting").head(1),
    ),
    where(
        "damage.claims_end_stated",
        "The settings state that claims are on record up to {claims_to}, and parcels are counted as at risk up to that "
        "day. The other records end on {records_to}.",
        _ends_early("settings"),
    ),
    where(
        "damage.claims_end_imported",
        "Claims were last imported before the day on which the other records end, {records_to}, and the newest was "
        f"reported on {{last_claim_on}}. {LATER_CLAIMS}",
        _ends_early("import"),
    ),
    where(
        "damage.claims_end_newest",
        "The newest claim was reported on {last_claim_on}, and the other records end on {records_to}: more days "
        f"without a claim than are to be expected. {LATER_CLAIMS}",
        _ends_early("newest claim"),
    ),
    where(
        "damage.claims_end_passed",
        "The settings state that claims are on record up to {claims_to_stated}, but one was reported on "
        "{last_claim_on}: that setting counts for nothing. State a later day as `claims_to`, or none.",
        _stated_too_early,
    ),
    where(
        "damage.claims_counted",
        "Claims are counted up to the age of the oldest parcel with one.",
        lambda records: bool((known(LAGS, records)["claim_count"] > 0).any()),
    ),
)
