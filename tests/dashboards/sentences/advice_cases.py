"""Cases of the sentences on actions, charges, cartons, placements and announced tariffs."""

from __future__ import annotations

import pandas as pd

from tests.dashboards.sentences.cases import BEFORE, LATER, SOONER, Case, Tables, row, rows

ACTIONS, ALL, GUIDANCE = "analysis.actions", "analysis.action_totals", "analysis.shipping_guidance"
LADDER, JUDGED, BEST = "analysis.carton_ladder_months", "analysis.carton_coverage", "analysis.best_cartons"
RUNS, PLANS = "analysis.assortment_runs", "analysis.parcel_plans"
ADVISED = "analysis.purchase_advice"
DEMANDS, GROWTH = "analysis.assortment_demands", "analysis.assortment_growth"
CHECKS = "marts.billing_checks"
CARTONS, PIECES = "placement.cartons", "placement.pieces"
TOTALS, CROSSINGS, TERMS = "comparison.totals", "comparison.crossings", "comparison.terms"
WHOLE, PART = row(ALL, not_looked_at="nothing"), row(ALL, not_looked_at="cartons")


def _charge(short: int, cents: int = -700, *, is_too_few: bool = False, **cells: str) -> Tables:
    return row(GUIDANCE, shortfall_cents=short, margin_cents=cents, is_too_few=is_too_few, parcel_count=1, **cells)


def _ladder(step: str, cents: int, parcels: int = 1) -> Tables:
    return row(LADDER, ladder_step=step, saving_cents=cents, parcel_count=parcels)


def _coverage(judged: int, bounded: int = 0, still_open: int = 0, cents: int = 0) -> Tables:
    counts = {"parcel_count": 9, "considered_parcel_count": judged, "bounded_parcel_count": bounded}
    return row(JUDGED, **counts, open_fit_parcel_count=still_open, open_saving_cents=cents)


def _filled(tare: int = 0, cents: int | None = 0) -> Tables:
    counts = {"parcel_count": 3, "considered_parcel_count": 3, "bounded_parcel_count": 0}
    return row(JUDGED, **counts, tare_parcel_count=tare, void_fill_cents=cents)


def _carton(fitted: str, looked_at: str = "as sent", pieces: int = 2, **flags: bool) -> Tables:
    known = {"fitted": fitted, "looked_at": looked_at, "piece_count": pieces, "fit_reason": "a piece is longer"}
    return {**row(CARTONS, clearance_in=0.5, carton_code="K-1", **known, **flags), **rows(PIECES)}


def _placed(looked_at: str, piece_at: str) -> Tables:
    return {**_carton("fits", looked_at), **row(PIECES, looked_at=piece_at)}


def _advised(advice: str, stock_left: int = 451) -> Tables:
    return row(ADVISED, size_code="K-92", advice=advice, stock_left=stock_left, leftover_cents=124_000)


def _chosen_on(first_on: str) -> Tables:
    return row(RUNS, chosen_from_on=pd.Timestamp(first_on), chosen_to_on=pd.Timestamp("2026-02-01"))


def _compared(parcels: int, share: float | None = 0.07) -> Tables:
    return row(TOTALS, parcel_count=parcels, compared_count=parcels, change_cents=700, change_share=share)


DONE, TO_TRY = row(ACTIONS, is_in_sum=True), row(ACTIONS, is_in_sum=False)
FITS, SMALL = _carton("fits"), _carton("does not fit")

CASES: dict[str, Case] = {
    "actions.first_due": Case(
        row(ACTIONS, place=1, is_in_sum=True, due_on=LATER),
        (
            row(ACTIONS, place=1, is_in_sum=True, due_on=SOONER),
            row(ACTIONS, is_in_sum=True, due_on=None),
            rows(ACTIONS),
        ),
        "Its first deadline is 9 Apr 2027.",
    ),
    "actions.first_overdue": Case(
        row(ACTIONS, place=1, is_in_sum=True, due_on=SOONER),
        (row(ACTIONS, place=1, is_in_sum=True, due_on=LATER), row(ACTIONS, is_in_sum=True, due_on=None), rows(ACTIONS)),
        "Its first deadline, 8 Apr 2027, has passed.",
    ),
    "actions.first": Case(
        rows(
            ACTIONS,
            {"place": 2, "action_words": "wait", "is_in_sum": True},
            {"place": 1, "action_words": "cut K-1", "is_in_sum": True},
        ),
        (rows(ACTIONS), TO_TRY, {}),
        "The first is “cut K-1”.",
    ),
    "actions.together": Case(
        row(ALL, action_count=2),
        (row(ALL, action_count=1), row(ALL, action_count=0), row(ALL, action_count=2, expected_month_cents=0)),
        "All 2 actions together are expected to bring $12.50 a month and $12.50 once.",
    ),
    "actions.together_once": Case(
        row(ALL, action_count=2, expected_month_cents=0),
        (row(ALL, action_count=2), row(ALL, action_count=1, expected_month_cents=0), rows(ALL)),
        "All 2 actions together are expected to bring $12.50 once.",
    ),
    "actions.costs_once": Case(
        row(ALL, once_cost_cents=1_250), (row(ALL, once_cost_cents=0), rows(ALL)), "To carry them out costs $12.50 once"
    ),
    "actions.apart": Case(
        row(ALL, apart_count=1),
        (row(ALL, apart_count=0), rows(ALL)),
        "Not in that sum: 1 trial, choice or higher charge.",
    ),
    "actions.no_sizes": Case(
        row(ALL, not_looked_at="packing methods, sizes to stock"), (PART, WHOLE), "`dunnage cartons` looks at"
    ),
    "actions.not_looked_at": Case(PART, (WHOLE, rows(ALL)), "Not looked at yet: cartons."),
    "actions.none": Case(
        {**WHOLE, **rows(ACTIONS)}, ({**PART, **rows(ACTIONS)}, {**WHOLE, **DONE}, rows(ACTIONS), WHOLE)
    ),
    "actions.none_so_far": Case({**PART, **rows(ACTIONS)}, ({**WHOLE, **rows(ACTIONS)}, {**PART, **DONE})),
    "guidance.lost_most": Case(
        _charge(100),
        (_charge(100, 700), _charge(0), _charge(100, is_too_few=True), rows(GUIDANCE)),
        "Largest loss within a year: anvil to anvil, on 1 parcel.",
    ),
    "guidance.lost_most_anywhere": Case(
        _charge(100, zone_band="unknown"),
        (_charge(100), _charge(0, zone_band="unknown")),
        "Largest loss within a year: anvil, on 1 parcel.",
    ),
    "guidance.none_short": Case(_charge(0), (_charge(1), _charge(0, is_too_few=True), rows(GUIDANCE))),
    "guidance.too_few": Case(_charge(1, is_too_few=True), (_charge(1), rows(GUIDANCE))),
    "guidance.none": Case(rows(GUIDANCE), (_charge(1), {})),
    "cartons.saving": Case(
        _ladder("cut down", 900),
        (_ladder("cut down", 0), _ladder("from stock", 900), rows(LADDER)),
        "would have saved $9.00 on 1 parcel.",
    ),
    "cartons.no_saving": Case(
        _ladder("cut down", 0), (_ladder("cut down", 1), rows(LADDER)), "for the 1 parcel judged."
    ),
    "cartons.judged": Case(_coverage(8), (_coverage(0), rows(JUDGED)), "Judged: 8 of 9 parcels."),
    "cartons.bounded": Case(_coverage(8, 3), (_coverage(8), _coverage(0, 3)), "For 3 of them"),
    "cartons.fit_open": Case(
        _coverage(8, 0, 2, 340),
        (_coverage(8), _coverage(8, 0, 2), _coverage(0, 0, 2, 340), rows(JUDGED)),
        "For 2 parcels it was neither proved nor disproved",
    ),
    "cartons.none_judged": Case(
        {**_coverage(0), **row(CHECKS)}, ({**_coverage(1), **row(CHECKS)}, _coverage(0), {}), "No parcel of March 2027"
    ),
    "cartons.none_cheaper": Case(
        {**_coverage(1), **row(BEST, saving_cents=0)},
        (
            {**_coverage(0), **rows(BEST)},
            {**_coverage(1), **row(BEST, saving_cents=1)},
            {**_coverage(1)},
            {**row(JUDGED, shipped_month=BEFORE), **rows(BEST)},
        ),
    ),
    "cartons.chosen": Case(row(RUNS, size_count=1, candidate_count=1), (rows(RUNS), {}), "1 size of 1 candidate."),
    "cartons.not_chosen": Case(
        {**rows(RUNS), **_coverage(1)}, ({**row(RUNS), **_coverage(1)}, {**rows(RUNS), **_coverage(0)}, {})
    ),
    "cartons.growth_unknown": Case(
        {**_chosen_on("2025-02-01"), **rows(GROWTH)},
        (
            {**_chosen_on("2025-01-01"), **rows(GROWTH)},
            {**_chosen_on("2025-02-01"), **row(GROWTH)},
            {**rows(RUNS), **rows(GROWTH)},
            _chosen_on("2025-02-01"),
        ),
        "on fewer than fourteen months",
    ),
    "cartons.one_demand": Case(
        {**row(RUNS), **row(GROWTH, is_growth_proved=False), **rows(DEMANDS)},
        (
            {**row(RUNS), **row(GROWTH, is_growth_proved=True), **rows(DEMANDS)},
            {**row(RUNS), **rows(GROWTH), **rows(DEMANDS)},
            {**row(RUNS), **row(GROWTH, is_growth_proved=False), **row(DEMANDS)},
            {**rows(RUNS), **row(GROWTH, is_growth_proved=False), **rows(DEMANDS)},
            {**row(RUNS), **row(GROWTH, is_growth_proved=False)},
        ),
    ),
    "stock.no_use": Case(
        _advised("no use found"),
        (_advised("keep"), _advised("use up"), _advised("no use found", stock_left=0), rows(ADVISED)),
        "Its 451 pieces cost $1,240.00 and would be left over after a year",
    ),
    "cartons.weight_as_sent": Case(_filled(tare=0), (_filled(tare=1), _coverage(0)), "no tare of a carton"),
    "cartons.tare_counted": Case(_filled(tare=2), (_filled(tare=0), _coverage(0)), "is stated for 2 of 3 parcels"),
    "cartons.void_counted": Case(_filled(cents=700), (_filled(cents=None), _coverage(0)), "comes to $7.00 by"),
    "cartons.void_unstated": Case(_filled(cents=None), (_filled(cents=0), _coverage(0)), "for these 3 parcels"),
    "cartons.no_plans": Case(
        {**row(RUNS), **rows(PLANS)}, ({**rows(RUNS), **rows(PLANS)}, {**row(RUNS), **row(PLANS)})
    ),
    "packing.one_piece": Case(_carton("fits", pieces=1), (FITS, SMALL), "1 piece, 0.5 in clear of every wall."),
    "packing.pieces": Case(FITS, (_carton("fits", pieces=1), SMALL), "2 pieces, each 0.5 in clear of every wall"),
    "packing.none_placed": Case(SMALL, (FITS, rows(CARTONS)), "2 pieces to be packed 0.5 in clear on every side"),
    "packing.fits": Case(FITS, (SMALL, _carton("undecided")), "The goods fit, 0.5 in clear on every side."),
    "packing.does_not_fit": Case(SMALL, (FITS, _carton("undecided")), "on every side: a piece is longer."),
    "packing.undecided": Case(_carton("undecided"), (FITS, SMALL)),
    "packing.not_looked_at": Case(_carton("not looked at"), (FITS, SMALL)),
    "packing.carton": Case(FITS, (rows(CARTONS), {}), "Packing in K-1, inside 4 x 4 x 4 in, as sent."),
    "packing.opens_at_end": Case(_carton("fits", is_end_opening=True), (FITS,)),
    "packing.cut_down": Case(_carton("fits", is_cut=True), (FITS,)),
    "packing.no_carton": Case(rows(CARTONS), (FITS, {})),
    "packing.none_as_sent": Case(
        SMALL, (_placed("as sent", "as sent"), _carton("does not fit", "cheaper from stock"), {})
    ),
    "packing.none_cheaper": Case(
        _carton("undecided", "cheaper from stock"), (SMALL, _placed("cheaper from stock", "cheaper from stock"))
    ),
    "packing.no_cheaper": Case(_placed("as sent", "as sent"), (_carton("fits", "cheaper from stock"), rows(CARTONS))),
    "tariff_change.compared": Case(
        _compared(50), (_compared(49), _compared(50, None), _compared(0)), "The 50 of 50 parcels of anvil from"
    ),
    "tariff_change.compared_few": Case(_compared(1), (_compared(50), _compared(0)), "The 1 of 1 parcel of anvil"),
    "tariff_change.together": Case(
        row(TERMS, change_cents=-900, alone_cents=-1_000, compared_count=1),
        (row(TERMS, change_cents=-900, alone_cents=-900), row(TERMS, compared_count=0), {}),
        "1 parcel by -$9.00; each alone they add up to -$10.00, because",
    ),
    "tariff_change.together_as_alone": Case(
        row(TERMS, change_cents=-900, alone_cents=-900),
        (row(TERMS, change_cents=-900, alone_cents=-1_000), row(TERMS, compared_count=0), {}),
        "add up to the same.",
    ),
    **{
        f"tariff_change.{name}learned{ending}": Case(
            row(table, compared_count=9, learned_count=1, within_cents=within),
            (
                row(table, compared_count=9, learned_count=1, within_cents=other),
                row(table, compared_count=9, learned_count=0, within_cents=None),
                row(table, compared_count=0, learned_count=0, within_cents=within),
            ),
            f"Of these 1 parcel is priced by prices learned from bills{said}",
        )
        for name, table in (("", TOTALS), ("term_", TERMS))
        for ending, within, other, said in (
            ("", 400, None, ": with each of those off by its 95% interval, all the same way, the change is $4.00 off."),
            ("_not_known", None, 400, ", of which it is not known how far they miss."),
        )
    },
    "tariff_change.none_priced": Case(row(TERMS, compared_count=0), (row(TERMS, compared_count=1), {})),
    "tariff_change.none": Case(_compared(0), (_compared(1), {})),
    "tariff_change.largest_crossing": Case(
        rows(CROSSINGS, {"change_cents": 5}, {"change_cents": -900, "parcel_count": 1, "surcharge": "long"}),
        (rows(CROSSINGS), {}),
        "The largest: long, anvil on 1 parcel of anvil, -$9.00.",
    ),
    "tariff_change.no_crossing": Case(
        {**_compared(1), **rows(CROSSINGS)}, ({**_compared(0), **rows(CROSSINGS)}, {**_compared(1), **row(CROSSINGS)})
    ),
}
