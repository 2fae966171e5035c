"""Cases of the sentences on the end of the claims record."""

from __future__ import annotations

import pandas as pd

from tests.dashboards.sentences.cases import Case, Tables, row, rows, states

LAGS = "analysis.reporting_lag"
SOME, ABSENT = states(claims=3), states(sales=3, claims=0)


def _claims_end(source: str, says: str) -> Case:
    def ends(claims_to: str, source: str = source) -> Tables:
        known = {"claims_to": pd.Timestamp(claims_to), "records_to": pd.Timestamp("2027-04-20")}
        return row(LAGS, claims_to_source=source, last_claim_on=pd.Timestamp("2027-03-30"), **known)

    shows, whole, other = ends("2027-03-31"), ends("2027-04-20"), ends("2027-03-31", "other records")
    return Case({**SOME, **shows}, ({**ABSENT, **shows}, {**SOME, **whole}, {**SOME, **other}, rows(LAGS)), says)


def _stated(day: str | None) -> Tables:
    return row(
        LAGS, claims_to_stated=pd.NaT if day is None else pd.Timestamp(day), last_claim_on=pd.Timestamp("2027-03-30")
    )


CASES: dict[str, Case] = {
    "damage.claims_end_stated": _claims_end(
        "settings", "claims are on record up to 31 Mar 2027, and parcels are counted"
    ),
    "damage.claims_end_imported": _claims_end(
        "import", "imported before the day on which the other records end, 20 Apr"
    ),
    "damage.claims_end_passed": Case(
        {**SOME, **_stated("2027-03-29")},
        (
            *({**SOME, **_stated(day)} for day in (None, "2027-03-30", "2027-04-02")),
            {**ABSENT, **_stated("2027-03-29")},
        ),
        "on record up to 29 Mar 2027, but one was reported on 30 Mar 2027",
    ),
    "damage.claims_end_newest": _claims_end("newest claim", "up to about 31 Mar 2027. If claims are on record"),
}
