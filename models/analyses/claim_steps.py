"""The next step of each open claim, with its deadline: what the lists of what is due are made of."""

import pandas as pd

from models.analyses.question import Question, answer
from models.claims.deadlines import DUE
from models.claims.steps import DAYS, open_steps
from models.plain_rows import as_dicts

READS = ("open_claims",)
WRITES = ("analysis.claim_steps",)
COPIED = ("claim_id", "parcel_id", "item_type", "carrier", "claim_cause", "claim_state", "open_cents")


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.claim_steps. The day of making plays no part: is_in_time is as of the last day of the records."""
    asked = question.table(READS[0])
    plain = asked.assign(**{name: pd.to_datetime(asked[name]).dt.date for name in DAYS}).astype(object)
    rows = as_dicts(plain.where(plain.notna(), None))
    found = [
        {
            **{name: row[name] for name in COPIED},
            "claim_step": due.step,
            "step_due_on": pd.Timestamp(due.due_on),
            "is_in_time": due.state == DUE,
        }
        for row, due in open_steps(rows, question.as_of)
        if due and due.due_on
    ]
    return {WRITES[0]: answer(WRITES[0], found).sort_values(["step_due_on", "claim_id"])}
