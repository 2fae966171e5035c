"""Cases of the sentences on damage, methods and alarms."""

from __future__ import annotations

from typing import Any

from tests.dashboards.sentences.cases import Case, Tables, coverage, row, rows, states

RATES, PAIRS, DECISIONS = "analysis.damage_rates", "analysis.method_comparison", "analysis.packing_decision"
YEAR, COUNTS, LAGS = "marts.packing_method_year", "marts.damage_counts", "analysis.reporting_lag"
ALARMS, WEEKS = "analysis.alarms", "analysis.watched_weeks"
SOME, ABSENT = states(claims=3), states(sales=3, claims=0)


def _with(state: Tables, *tables: Tables) -> Tables:
    return {name: table for each in (state, *tables) for name, table in each.items()}


def _rate(parcels: int, claims: int = 1, *, is_too_few: bool = False) -> Tables:
    return row(RATES, packing_method="wool", parcel_count=parcels, claim_count=claims, is_too_few=is_too_few)


def _pair(**flags: bool) -> Tables:
    known = dict.fromkeys(("is_different", "is_entangled", "is_reversed", "is_unlike", "is_too_few"), False) | flags
    return row(PAIRS, method_a="wool", method_b="straw", claim_count=1, crude_ratio=2.5, pooled_ratio=0.5, **known)


def _decision(verdict: str, wait: int | None = 1, *, is_best: bool = True, chance: float = 0.994) -> Tables:
    return row(
        DECISIONS,
        best_chance=chance,
        packing_verdict=verdict,
        wait_parcels=wait,
        more_damaged_count=7,
        is_best=is_best,
        best_method="wool",
        current_method="straw",
    )


def _verdict(verdict: str, says: str) -> Case:
    other = "keep" if verdict != "keep" else "use"
    shows = _decision(verdict)
    hides = (_with(ABSENT, shows), _decision(other), _decision(verdict, is_best=False), rows(DECISIONS))
    return Case(_with(SOME, shows), hides, says)


def _sure(verdict: str, says: str) -> Case:
    shows, other = (_decision(each, chance=0.995) for each in (verdict, "wait"))
    return Case(_with(SOME, shows), (_with(ABSENT, shows), _decision(verdict), other), says)


BY_INVOICE = row("marts.coverage", **coverage(dated_by_invoice_count=1))
DIFFERENT = _pair(is_different=True)
REVERSED = _pair(is_different=True, is_reversed=True, is_unlike=True)
UNLIKE = _pair(is_different=True, is_unlike=True)
FEW = _pair(is_too_few=True, is_different=True, is_reversed=True)
ENTANGLED = _pair(is_entangled=True)
UNPROVEN = _pair(is_reversed=True, is_unlike=True)
NO_METHOD = row(RATES, packing_method="unknown")
OWN_CURVE = row(LAGS, curve_source="own claims", claim_count=30)
RATED = row(DECISIONS, is_carriage_rated=True)


def _costs(**more: Any) -> Tables:
    return rows(DECISIONS, {"packing_method": "wool"} | more, {"packing_method": "straw"} | more)


COSTS, TOO_HIGH, NOW = _costs(), _costs(break_even_rate=0.0), _costs(is_current=True)


def _warned(count: int, warning: str = "claims without stated cost") -> Tables:
    return row("analysis.warnings", warning=warning, row_count=count)


CASES: dict[str, Case] = {
    "damage.none_in_year": Case(
        _with(SOME, row(YEAR, damage_count=0)),
        (_with(ABSENT, row(YEAR, damage_count=0)), _with(SOME, row(YEAR)), row(YEAR, damage_count=0), SOME),
    ),
    "damage.claims_absent": Case(ABSENT, (SOME, states(sales=4), {})),
    "damage.cost_by_claim": Case(
        _with(SOME, _warned(7)),
        (_with(ABSENT, _warned(7)), _with(SOME, _warned(0)), _with(SOME, _warned(7, "undated parcels"))),
        "Of 7 claims no refund, replacement or return is on record",
    ),
    "damage.no_claim": Case(
        _with(SOME, row(COUNTS, damage_count=0)), (_with(ABSENT, row(COUNTS, damage_count=0)), _with(SOME, row(COUNTS)))
    ),
    "damage.no_parcel": Case(rows("marts.coverage"), (row("marts.coverage", **coverage(1)), {})),
    "damage.limits": Case(_with(SOME, _rate(60)), (_with(ABSENT, _rate(60)), rows(RATES)), "95 of 100 combinations"),
    "damage.lag_counted": Case(
        _with(SOME, OWN_CURVE | BY_INVOICE),
        (_with(SOME, OWN_CURVE), _with(ABSENT, OWN_CURVE | BY_INVOICE), _with(SOME, rows(LAGS) | BY_INVOICE)),
        "measured from the shop's own 30 claims, from the day by which a parcel is counted, which for some is that of",
    ),
    "damage.lag": Case(
        _with(SOME, OWN_CURVE),
        (
            _with(SOME, OWN_CURVE | BY_INVOICE),
            _with(ABSENT, OWN_CURVE),
            rows(LAGS),
            _with(SOME, row(LAGS, curve_source="usual delays")),
        ),
        "The reporting delay is measured from the shop's own 30 claims.",
    ),
    "damage.claims_counted": Case(
        _with(SOME, OWN_CURVE), (_with(ABSENT, OWN_CURVE), _with(SOME, row(LAGS, claim_count=0)), rows(LAGS))
    ),
    "damage.within": Case(
        _with(SOME, row(LAGS, window_days=31, wanted_days=120)),
        (
            _with(SOME, row(LAGS, window_days=120, wanted_days=120)),
            _with(ABSENT, row(LAGS, window_days=31, wanted_days=120)),
            _with(SOME, row(LAGS, window_days=31, wanted_days=120) | BY_INVOICE),
        ),
        "Rates are of claims within 31 days of shipping",
    ),
    "damage.within_counted": Case(
        _with(SOME, row(LAGS, window_days=31, wanted_days=120) | BY_INVOICE),
        (
            _with(SOME, row(LAGS, window_days=31, wanted_days=120)),
            _with(SOME, row(LAGS, window_days=120, wanted_days=120) | BY_INVOICE),
            _with(ABSENT, row(LAGS, window_days=31, wanted_days=120) | BY_INVOICE),
        ),
        "within 31 days of the day by which a parcel is counted, which for some is that of their invoice.",
    ),
    "damage.lag_drifts": Case(
        _with(SOME, row(LAGS, is_drifting=True)),
        (_with(ABSENT, row(LAGS, is_drifting=True)), rows(LAGS), _with(SOME, row(LAGS, is_drifting=False))),
        "The time until damage is reported is changing. What is still to come of recent parcels is therefore measured "
        "mostly from recent claims.",
    ),
    "damage.lag_assumed": Case(
        _with(SOME, row(LAGS, curve_source="usual delays", claim_count=1)),
        (_with(ABSENT, row(LAGS, curve_source="usual delays")), rows(LAGS), _with(SOME, OWN_CURVE)),
        "too few (1 claim) to measure the reporting delay",
    ),
    "damage.carriage_rated": Case(_with(SOME, RATED), (_with(ABSENT, RATED), _with(SOME, row(DECISIONS)))),
    "damage.carriage_alike": Case(_with(SOME, row(DECISIONS)), (_with(SOME, RATED), _with(ABSENT, row(DECISIONS)))),
    "methods.reversed": Case(
        REVERSED,
        (UNLIKE, UNPROVEN, FEW, _with(ABSENT, REVERSED)),
        "Before adjusting for the goods, parcels in wool were damaged 2.5 times as often as parcels in straw. Adjusted "
        "for goods, zones, carriers, services and months it is 0.5 times (1.5 to 1.5): the unadjusted figure points",
    ),
    "methods.unlike": Case(UNLIKE, (REVERSED, UNPROVEN, FEW, DIFFERENT, _with(ABSENT, UNLIKE))),
    "methods.alike": Case(DIFFERENT, (UNLIKE, _pair(), _with(ABSENT, DIFFERENT))),
    "methods.unproven": Case(UNPROVEN, (DIFFERENT, REVERSED, FEW, ENTANGLED), "the records do not prove a difference."),
    "methods.entangled": Case(
        ENTANGLED,
        (DIFFERENT, UNPROVEN, FEW, _with(ABSENT, ENTANGLED)),
        "so the records do not tell what did it.",
    ),
    "methods.too_few": Case(FEW, (DIFFERENT, _with(ABSENT, FEW)), "wool and straw: 1 claim on the same goods"),
    "methods.none": Case(
        _with(rows(PAIRS), _rate(60)), (_with(DIFFERENT, _rate(60)), rows(PAIRS), _with(rows(PAIRS), NO_METHOD))
    ),
    "methods.not_known": Case(
        _with(rows(PAIRS), NO_METHOD), (_with(DIFFERENT, NO_METHOD), rows(PAIRS), _with(rows(PAIRS), _rate(60)))
    ),
    "rates.few": Case(
        _rate(49, 0),
        (_rate(50), _with(ABSENT, _rate(49)), _rate(50, 0, is_too_few=True)),
        "wool: 0 claims on 49 parcels; too few to go by.",
    ),
    "rates.none_claimed": Case(
        _rate(50, 0, is_too_few=True),
        (_rate(49, 0), _rate(50, 1, is_too_few=True), _rate(50, 0), _with(ABSENT, _rate(50, 0, is_too_few=True))),
        "wool: no claim on 50 parcels; the damage rate may still be up to 25% once late claims are in.",
    ),
    "rates.no_method": Case(
        row(RATES, packing_method="unknown", claim_count=1, parcel_count=50),
        (_rate(50), _with(ABSENT, row(RATES, packing_method="unknown"))),
        "packing method not known: 1 claim on 50 parcels",
    ),
    "rates.enough": Case(
        _rate(50),
        (_rate(49), _rate(50, is_too_few=True), _with(ABSENT, _rate(50))),
        "wool: 1 claim on 50 parcels; 25% once late claims are in (25% to 25%), adjusted towards other goods 25%.",
    ),
    "decision.cost": Case(
        COSTS,
        (row(DECISIONS), TOO_HIGH, NOW, _with(ABSENT, COSTS), _costs(method_carriage_cents=None)),
        "carton and postage $12.50 + expected damage $12.50; pays up to a damage rate of 25%.",
    ),
    "decision.cost_too_high": Case(
        TOO_HIGH, (row(DECISIONS), COSTS, NOW, _with(ABSENT, TOO_HIGH)), "does not pay at any damage rate."
    ),
    "decision.cost_now": Case(NOW, (row(DECISIONS, is_current=True), COSTS, _with(ABSENT, NOW)), "$12.50; used now."),
    "decision.cost_without_carriage": Case(
        _costs(method_carriage_cents=None),
        (COSTS, row(DECISIONS, method_carriage_cents=None), _with(ABSENT, _costs(method_carriage_cents=None))),
        "+ expected damage $12.50, carton and postage left out; pays up to",
    ),
    "decision.cost_too_high_without_carriage": Case(
        _costs(method_carriage_cents=None, break_even_rate=0.0),
        (TOO_HIGH, _costs(method_carriage_cents=None)),
        "carton and postage left out; does not pay at any damage rate.",
    ),
    "decision.cost_now_without_carriage": Case(
        _costs(method_carriage_cents=None, is_current=True), (NOW, _costs(method_carriage_cents=None)), "used now."
    ),
    "decision.use_sure": _sure("use", "It is almost surely the cheapest; count on it to save $12.50 a year"),
    "decision.keep_sure": _sure("keep", "anvil: keep straw; it is almost surely the cheapest of those compared."),
    "decision.choice": _verdict("choice", "wool instead of straw is expected to break about 7 more parcels a year,"),
    "decision.use": _verdict("use", "anvil: use wool instead of straw."),
    "decision.keep": _verdict("keep", "anvil: keep straw;"),
    "decision.wait": _verdict("wait", "Pack 1 more parcel by each before you choose."),
    "decision.wait_too_long": Case(
        _decision("wait", 1_237),
        (_decision("wait", 30), _decision("use", 1_237), _decision("wait", None)),
        "1,237 more",
    ),
    "decision.wait_not_known": Case(
        _decision("wait", None), (_decision("wait"), _decision("use", None), _with(ABSENT, _decision("wait", None)))
    ),
    "decision.too_close": _verdict("too close", "wool and straw cost about the same"),
    "decision.one_method": _verdict("one method", "so straw has nothing to be compared with."),
    "decision.short_record": Case(
        _with(SOME, row(DECISIONS, volume_days=364)),
        (row(DECISIONS, volume_days=365), _with(ABSENT, row(DECISIONS, volume_days=364)), rows(DECISIONS)),
        "Parcels on record cover 364 days; what is said of a year is reckoned from these.",
    ),
    "decision.no_costs": Case(
        _with(rows(DECISIONS), row(RATES)),
        (
            _with(COSTS, row(RATES)),
            _with(rows(DECISIONS), NO_METHOD),
            rows(DECISIONS),
            {},
        ),
    ),
    "decision.no_method": Case(
        _with(rows(DECISIONS), NO_METHOD),
        (
            _with(COSTS, NO_METHOD),
            _with(rows(DECISIONS), row(RATES)),
            rows(DECISIONS),
            {},
        ),
    ),
    "decision.no_choice": Case(_with(row(DECISIONS), row(RATES)), (_with(COSTS, row(RATES)), row(DECISIONS), {})),
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
        _with(row(WEEKS), row(ALARMS, is_acknowledged=True)),
        (_with(row(WEEKS), row(ALARMS)), _with(rows(WEEKS), rows(ALARMS)), rows(ALARMS)),
    ),
    "alarms.none": Case(
        _with(row(WEEKS), rows(ALARMS)), (_with(row(WEEKS), row(ALARMS)), _with(rows(WEEKS), rows(ALARMS)), row(WEEKS))
    ),
    "alarms.not_watched": Case(rows(WEEKS), (row(WEEKS), {})),
}
