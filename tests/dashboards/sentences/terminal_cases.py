"""Cases of the sentences that only a terminal says: of zones, reviews, claims and bench lists."""

from __future__ import annotations

import pandas as pd

from tests.dashboards.sentences.cases import BEFORE, Case, Tables, coverage, row, rows

AS_CHARTED = {**rows("marts.zone_sources"), **rows("marts.zones_against_chart")}


def _standing(is_over: bool, is_billed: bool) -> Tables:
    return row("terminal.month", is_over=is_over, is_billed=is_billed)


CASES: dict[str, Case] = {
    "zones.as_charted": Case(
        {**AS_CHARTED, **row("marts.coverage")},
        (
            {**AS_CHARTED, **row("marts.coverage"), **row("marts.zone_sources")},
            {**AS_CHARTED, **row("marts.coverage"), **row("marts.zones_against_chart")},
            {**AS_CHARTED, **rows("marts.coverage")},
            {**rows("marts.zone_sources"), **row("marts.coverage")},
        ),
    ),
    "zones.no_parcel": Case(rows("marts.coverage"), (row("marts.coverage"), AS_CHARTED)),
    "reviews.chosen": Case(_standing(True, True), (_standing(True, False), _standing(False, False), {})),
    "reviews.chosen_unbilled": Case(_standing(True, False), (_standing(True, True), _standing(False, False), {})),
    "reviews.chosen_open": Case(_standing(False, False), (_standing(True, True), _standing(True, False), {})),
    "reviews.later": Case(
        row("marts.coverage", **coverage(71, charged_count=25), shipped_month=pd.Timestamp("2027-04-01")),
        (
            row("marts.coverage", **coverage(71)),
            row("marts.coverage", **coverage(0), shipped_month=pd.Timestamp("2027-04-01")),
            row("marts.coverage", **coverage(71), shipped_month=BEFORE),
        ),
        "Later: April 2027, 25 of 71 parcels billed so far.",
    ),
    "reviews.none": Case(rows("terminal.reviews"), (row("terminal.reviews"), {})),
    "claims.none_on_record": Case(rows("terminal.claims"), (row("terminal.claims"), {})),
    "claims.mark": Case(row("terminal.claims_waiting"), (rows("terminal.claims_waiting"), {})),
    "claims.no_terms": Case(
        row("terminal.claims_waiting", has_deadline=False),
        (row("terminal.claims_waiting", has_deadline=True), rows("terminal.claims_waiting"), {}),
    ),
    "claims.none_waits": Case(rows("terminal.claims_waiting"), (row("terminal.claims_waiting"), {})),
    "bench.nothing_waits": Case(
        row("terminal.bench", parcel_count=0, day_count=1),
        (row("terminal.bench", parcel_count=1), rows("terminal.bench")),
        "no label or sale within 1 day of the last on record is without a bench row",
    ),
    "bench.no_sheet": Case(rows("terminal.bench_sheets"), (row("terminal.bench_sheets"), {})),
}
