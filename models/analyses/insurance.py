"""What rules of insuring would have cost and brought, on parcels old enough for their claims to have come."""

import pandas as pd

from models.analyses.question import Question, answer
from models.insurance import reckoned

READS = ("insurance_cells", "insured_claims")
WRITES = ("analysis.insurance_rules",)
# By then most claims have come and most of them are decided (common practice, no source).
SETTLED_DAYS = 90
COUNTED = ("parcel_count", "worth_cents", "premium_cents")


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.insurance_rules."""
    last = pd.Timestamp(question.as_of) - pd.Timedelta(days=SETTLED_DAYS)
    cells, claims = (rows[pd.to_datetime(rows["shipped_on"]) <= last] for rows in map(question.table, READS))
    by = ["worth_from_cents", "has_fragile", "is_insured"]
    summed = cells.groupby(by, as_index=False)[list(COUNTED)].sum()
    return {WRITES[0]: answer(WRITES[0], reckoned(summed, claims))}
