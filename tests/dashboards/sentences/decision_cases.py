"""Cases of the sentences on what packing methods cost, and which to use."""

from __future__ import annotations

from typing import Any

from tests.dashboards.sentences.cases import Case, Tables, row, rows
from tests.dashboards.sentences.damage_cases import ABSENT, NO_METHOD, RATES, SOME, joined

DECISIONS = "analysis.packing_decision"


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
    hides = (joined(ABSENT, shows), _decision(other), _decision(verdict, is_best=False), rows(DECISIONS))
    return Case(joined(SOME, shows), hides, says)


def _sure(verdict: str, says: str) -> Case:
    shows, other = (_decision(each, chance=0.995) for each in (verdict, "wait"))
    return Case(joined(SOME, shows), (joined(ABSENT, shows), _decision(verdict), other), says)


RATED = row(DECISIONS, is_carriage_rated=True)


def _costs(**more: Any) -> Tables:
    return rows(DECISIONS, {"packing_method": "wool"} | more, {"packing_method": "straw"} | more)


COSTS, TOO_HIGH, NOW = _costs(), _costs(break_even_rate=0.0), _costs(is_current=True)


CASES: dict[str, Case] = {
    "damage.carriage_rated": Case(joined(SOME, RATED), (joined(ABSENT, RATED), joined(SOME, row(DECISIONS)))),
    "damage.carriage_alike": Case(joined(SOME, row(DECISIONS)), (joined(SOME, RATED), joined(ABSENT, row(DECISIONS)))),
    "decision.cost": Case(
        COSTS,
        (row(DECISIONS), TOO_HIGH, NOW, joined(ABSENT, COSTS), _costs(method_carriage_cents=None)),
        "carton and postage $12.50 + expected damage $12.50; pays up to a damage rate of 25%.",
    ),
    "decision.cost_too_high": Case(
        TOO_HIGH, (row(DECISIONS), COSTS, NOW, joined(ABSENT, TOO_HIGH)), "does not pay at any damage rate."
    ),
    "decision.cost_now": Case(NOW, (row(DECISIONS, is_current=True), COSTS, joined(ABSENT, NOW)), "$12.50; used now."),
    "decision.cost_without_carriage": Case(
        _costs(method_carriage_cents=None),
        (COSTS, row(DECISIONS, method_carriage_cents=None), joined(ABSENT, _costs(method_carriage_cents=None))),
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
    "decision.use_sure": _sure("use", "It is almost surely the cheapest, and is expected to save $12.50 a year"),
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
        _decision("wait", None), (_decision("wait"), _decision("use", None), joined(ABSENT, _decision("wait", None)))
    ),
    "decision.too_close": _verdict("too close", "wool and straw cost about the same"),
    "decision.one_method": _verdict("one method", "so straw has nothing to be compared with."),
    "decision.short_record": Case(
        joined(SOME, row(DECISIONS, volume_days=364)),
        (row(DECISIONS, volume_days=365), joined(ABSENT, row(DECISIONS, volume_days=364)), rows(DECISIONS)),
        "Parcels on record cover 364 days; what is said of a year is reckoned from these.",
    ),
    "decision.no_costs": Case(
        joined(rows(DECISIONS), row(RATES)),
        (joined(COSTS, row(RATES)), joined(rows(DECISIONS), NO_METHOD), rows(DECISIONS), {}),
    ),
    "decision.no_method": Case(
        joined(rows(DECISIONS), NO_METHOD),
        (joined(COSTS, NO_METHOD), joined(rows(DECISIONS), row(RATES)), rows(DECISIONS), {}),
    ),
    "decision.no_choice": Case(joined(row(DECISIONS), row(RATES)), (joined(COSTS, row(RATES)), row(DECISIONS), {})),
}
