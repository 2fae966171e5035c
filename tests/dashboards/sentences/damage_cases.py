"""Cases of the sentences on damage, methods and alarms."""

from __future__ import annotations

from tests.dashboards.sentences.cases import Case, Tables, coverage, row, rows, states

RATES, PAIRS = "analysis.damage_rates", "analysis.method_comparison"
YEAR, COUNTS, LAGS = "marts.packing_method_year", "marts.damage_counts", "analysis.reporting_lag"
ALARMS, WEEKS = "analysis.alarms", "analysis.watched_weeks"
SOME, ABSENT = states(claims=3), states(sales=3, claims=0)


def joined(state: Tables, *tables: Tables) -> Tables:
    return {name: table for each in (state, *tables) for name, table in each.items()}


def _rate(parcels: int, claims: int = 1, *, is_too_few: bool = False) -> Tables:
    return row(RATES, packing_method="wool", parcel_count=parcels, claim_count=claims, is_too_few=is_too_few)


def _pair(high: float = 1.2, **flags: bool) -> Tables:
    known = dict.fromkeys(("is_different", "is_entangled", "is_reversed", "is_unlike", "is_too_few"), False) | flags
    ratios = {"crude_ratio": 2.5, "pooled_ratio": 0.5, "pooled_low": 0.3, "pooled_high": high}
    return row(PAIRS, method_a="wool", method_b="straw", claim_count=1, **ratios, **known)


BY_INVOICE = row("marts.coverage", **coverage(dated_by_invoice_count=1))
NO_GOODS = row(RATES, item_type="unknown")
DIFFERENT = _pair(is_different=True)
REVERSED = _pair(is_different=True, is_reversed=True, is_unlike=True)
NO_CLAIM = row(PAIRS, method_a="wool", method_b="straw", claim_count=0, is_too_few=True)
UNLIKE = _pair(is_different=True, is_unlike=True)
FEW = _pair(is_too_few=True, is_different=True, is_reversed=True)
ENTANGLED = _pair(is_entangled=True)
UNPROVEN = _pair(is_reversed=True, is_unlike=True)
ALONE = _pair(0.9)
NO_METHOD = row(RATES, packing_method="unknown")
OWN_CURVE = row(LAGS, curve_source="own claims", claim_count=30)


def _warned(count: int, warning: str = "claims without stated cost") -> Tables:
    return row("analysis.warnings", warning=warning, row_count=count)


CASES: dict[str, Case] = {
    "damage.none_in_year": Case(
        joined(SOME, row(YEAR, damage_count=0)),
        (joined(ABSENT, row(YEAR, damage_count=0)), joined(SOME, row(YEAR)), row(YEAR, damage_count=0), SOME),
    ),
    "damage.claims_absent": Case(ABSENT, (SOME, states(sales=4), {})),
    "damage.cost_by_claim": Case(
        joined(SOME, _warned(7)),
        (joined(ABSENT, _warned(7)), joined(SOME, _warned(0)), joined(SOME, _warned(7, "undated parcels"))),
        "Of 7 claims no refund, replacement or return is on record",
    ),
    "damage.no_claim": Case(
        joined(SOME, row(COUNTS, damage_count=0)),
        (joined(ABSENT, row(COUNTS, damage_count=0)), joined(SOME, row(COUNTS))),
    ),
    "damage.no_parcel": Case(rows("marts.coverage"), (row("marts.coverage", **coverage(1)), {})),
    "damage.limits": Case(joined(SOME, _rate(60)), (joined(ABSENT, _rate(60)), rows(RATES)), "95 of 100 combinations"),
    "damage.lag_counted": Case(
        joined(SOME, OWN_CURVE | BY_INVOICE),
        (joined(SOME, OWN_CURVE), joined(ABSENT, OWN_CURVE | BY_INVOICE), joined(SOME, rows(LAGS) | BY_INVOICE)),
        "measured from the shop's own 30 claims, from the day by which a parcel is counted, which for some is that of",
    ),
    "damage.lag": Case(
        joined(SOME, OWN_CURVE),
        (
            joined(SOME, OWN_CURVE | BY_INVOICE),
            joined(ABSENT, OWN_CURVE),
            rows(LAGS),
            joined(SOME, row(LAGS, curve_source="usual delays")),
        ),
        "The reporting delay is measured from the shop's own 30 claims.",
    ),
    "damage.claims_counted": Case(
        joined(SOME, OWN_CURVE), (joined(ABSENT, OWN_CURVE), joined(SOME, row(LAGS, claim_count=0)), rows(LAGS))
    ),
    "damage.within": Case(
        joined(SOME, row(LAGS, window_days=31, wanted_days=120)),
        (
            joined(SOME, row(LAGS, window_days=120, wanted_days=120)),
            joined(ABSENT, row(LAGS, window_days=31, wanted_days=120)),
            joined(SOME, row(LAGS, window_days=31, wanted_days=120) | BY_INVOICE),
        ),
        "Rates are of claims within 31 days of shipping",
    ),
    "damage.within_counted": Case(
        joined(SOME, row(LAGS, window_days=31, wanted_days=120) | BY_INVOICE),
        (
            joined(SOME, row(LAGS, window_days=31, wanted_days=120)),
            joined(SOME, row(LAGS, window_days=120, wanted_days=120) | BY_INVOICE),
            joined(ABSENT, row(LAGS, window_days=31, wanted_days=120) | BY_INVOICE),
        ),
        "within 31 days of the day by which a parcel is counted, which for some is that of their invoice.",
    ),
    "damage.lag_drifts": Case(
        joined(SOME, row(LAGS, is_drifting=True)),
        (joined(ABSENT, row(LAGS, is_drifting=True)), rows(LAGS), joined(SOME, row(LAGS, is_drifting=False))),
        "The time until damage is reported is changing. What is still to come of recent parcels is therefore measured "
        "mostly from recent claims.",
    ),
    "damage.lag_assumed": Case(
        joined(SOME, row(LAGS, curve_source="usual delays", claim_count=1)),
        (joined(ABSENT, row(LAGS, curve_source="usual delays")), rows(LAGS), joined(SOME, OWN_CURVE)),
        "too few (1 claim) to measure the reporting delay",
    ),
    "methods.reversed": Case(
        REVERSED,
        (UNLIKE, UNPROVEN, FEW, joined(ABSENT, REVERSED)),
        "Before adjusting for the goods, parcels in wool were damaged 2.5 times as often as parcels in straw. Adjusted "
        "for goods, zones, carriers, services and months it is 0.5 times (0.3 to 1.2): the unadjusted figure points",
    ),
    "methods.unlike": Case(UNLIKE, (REVERSED, UNPROVEN, FEW, DIFFERENT, joined(ABSENT, UNLIKE))),
    "methods.alike": Case(DIFFERENT, (UNLIKE, _pair(), joined(ABSENT, DIFFERENT))),
    "methods.unproven": Case(
        UNPROVEN, (ALONE, DIFFERENT, REVERSED, FEW, ENTANGLED), "the records do not prove a difference."
    ),
    "methods.unproven_alone": Case(
        ALONE,
        (UNPROVEN, DIFFERENT, FEW, ENTANGLED, _pair(1.0), _pair(0.9, is_different=True)),
        "that proves no difference. With carriers, services, months and what other goods show reckoned in, it is 0.5 "
        "times (0.3 to 0.9)",
    ),
    "methods.entangled": Case(
        ENTANGLED, (DIFFERENT, UNPROVEN, FEW, joined(ABSENT, ENTANGLED)), "so the records do not tell what did it."
    ),
    "methods.too_few": Case(FEW, (DIFFERENT, joined(ABSENT, FEW)), "wool and straw: 1 claim on the same goods"),
    "methods.none": Case(
        joined(rows(PAIRS), _rate(60)),
        (joined(DIFFERENT, _rate(60)), rows(PAIRS), joined(rows(PAIRS), NO_METHOD), joined(rows(PAIRS), NO_GOODS)),
    ),
    "methods.not_known": Case(
        joined(rows(PAIRS), NO_METHOD), (joined(DIFFERENT, NO_METHOD), rows(PAIRS), joined(rows(PAIRS), _rate(60)))
    ),
    "methods.no_claim": Case(
        joined(SOME, NO_CLAIM),
        (joined(SOME, DIFFERENT), joined(SOME, rows(PAIRS)), joined(ABSENT, NO_CLAIM), {}),
        "No parcel by which packing methods could be compared has a claim that counts",
    ),
    "methods.goods_unknown": Case(
        joined(rows(PAIRS), NO_GOODS),
        (
            joined(rows(PAIRS), row(RATES)),
            joined(rows(PAIRS), row(RATES, item_type="unknown", packing_method="unknown")),
            joined(DIFFERENT, NO_GOODS),
            rows(PAIRS),
        ),
        "of one known item type",
    ),
    "rates.few": Case(
        _rate(49, 0),
        (_rate(50), joined(ABSENT, _rate(49)), _rate(50, 0, is_too_few=True)),
        "wool: 0 claims on 49 parcels; too few to go by.",
    ),
    "rates.none_claimed": Case(
        _rate(50, 0, is_too_few=True),
        (_rate(49, 0), _rate(50, 1, is_too_few=True), _rate(50, 0), joined(ABSENT, _rate(50, 0, is_too_few=True))),
        "wool: no claim on 50 parcels; the damage rate may still be up to 25% once late claims are in.",
    ),
    "rates.no_method": Case(
        row(RATES, packing_method="unknown", claim_count=1, parcel_count=50),
        (_rate(50), joined(ABSENT, row(RATES, packing_method="unknown"))),
        "packing method not known: 1 claim on 50 parcels.",
    ),
    "rates.enough": Case(
        _rate(50),
        (_rate(49), _rate(50, is_too_few=True), joined(ABSENT, _rate(50))),
        "wool: 1 claim on 50 parcels; 25% once late claims are in (25% to 25%), adjusted towards other goods 25%.",
    ),
    "alarm.claims": Case(
        row(ALARMS, span_claim_count=9, span_week_count=1, span_expected_claims=2.4),
        (row(ALARMS, span_claim_count=None), rows(ALARMS)),
        "9 claims were reported within 1 week, where 2.4 were to be expected",
    ),
    "alarm.share": Case(
        row(ALARMS, seen_share=0.9, expected_share=0.4),
        (row(ALARMS, seen_share=None), rows(ALARMS)),
        "90% of the week's parcels were charged it, where 40% was to be expected of its goods",
    ),
    "alarm.cost": Case(
        row(ALARMS, excess_share=0.12), (row(ALARMS, excess_share=None), rows(ALARMS)), "was 12% above what its goods"
    ),
    "alarms.open": Case(
        row(ALARMS, cause="claims", alarm_words="9 seen, usually 2"),
        (row(ALARMS, is_acknowledged=True), rows(ALARMS)),
        "claims, week of 1 Mar 2027: 9 seen, usually 2.",
    ),
    "alarms.acknowledged": Case(row(ALARMS, is_acknowledged=True), (row(ALARMS),)),
    "alarms.none_open": Case(
        joined(row(WEEKS), row(ALARMS, is_acknowledged=True)),
        (joined(row(WEEKS), row(ALARMS)), joined(rows(WEEKS), rows(ALARMS)), rows(ALARMS)),
    ),
    "alarms.none": Case(
        joined(row(WEEKS), rows(ALARMS)),
        (joined(row(WEEKS), row(ALARMS)), joined(rows(WEEKS), rows(ALARMS)), row(WEEKS)),
    ),
    "alarms.not_watched": Case(rows(WEEKS), (row(WEEKS), {})),
}
