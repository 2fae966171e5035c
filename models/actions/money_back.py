"""Money to get back once: charges to dispute, claims to file, to ask after and to contest."""

import datetime as dt
from collections.abc import Mapping
from typing import Any

import pandas as pd

from models.actions.action import Action, listed
from models.plain_rows import as_dicts

# Common practice, no source: a mistake that the invoice itself shows is granted more often than one measure held
# against another. The shop's own outcomes outweigh this as they come in: it counts as PRIOR_CASES of them.
DOCUMENTED, MEASURED, OTHERWISE, PRIOR_CASES = 0.8, 0.4, 0.5, 4
CHANCES = {
    "duplicate line": DOCUMENTED,
    "wrong service": DOCUMENTED,
    "wrong zone": DOCUMENTED,
    "surcharge not justified": DOCUMENTED,
    "fuel base": DOCUMENTED,
    "adjustment without cause": DOCUMENTED,
    "sides re-measured": MEASURED,
    "weight re-measured": MEASURED,
}
CLAIM_PRIOR = 0.5
# Common practice, no source: a carrier that decided once seldom decides again.
CONTESTED = 0.3
TASKS = ("file", "ask", "contest")
# How many claims have no known deadline, and since when: said where one is to be filed.
UNDATED = ("undated_claim_count", "undated_opened_on")


def dispute_actions(disputes: pd.DataFrame, outcomes: pd.DataFrame) -> list[Action]:
    """One action per carrier.

    disputes: carrier, difference_class, parcel_count, line_count, outstanding_cents, last_dispute_on (the earliest).
    outcomes: difference_class, won_count, lost_count of the shop's own disputes.
    """
    chances = {row.difference_class: row for row in outcomes.itertuples()}
    rows = disputes.assign(
        chance=[
            _chance(
                CHANCES.get(name, OTHERWISE),
                getattr(chances.get(name), "won_count", 0),
                getattr(chances.get(name), "lost_count", 0),
            )
            for name in disputes["difference_class"]
        ]
    )
    return [_dispute(str(carrier), part) for carrier, part in rows.groupby("carrier", sort=True)]


def _chance(prior: float, won: int, lost: int) -> float:
    """Posterior mean of a beta distribution that starts as PRIOR_CASES cases of the prior chance."""
    return float((prior * PRIOR_CASES + won) / (PRIOR_CASES + won + lost))


def _dispute(carrier: str, rows: pd.DataFrame) -> Action:
    ranked = rows.sort_values("outstanding_cents", ascending=False, kind="stable")
    causes = [f"{row.difference_class} ({row.line_count})" for row in ranked.itertuples()]
    due_on = _first_day(ranked["last_dispute_on"])
    cents = int(ranked["outstanding_cents"].sum())
    return Action(
        action_kind="dispute",
        facts={"carrier": carrier, "line_count": int(ranked["line_count"].sum()), "named": listed(causes)},
        confidence=float((ranked["chance"] * ranked["outstanding_cents"]).sum() / cents) if cents else 0.0,
        parcel_count=int(ranked["parcel_count"].sum()),
        evidence=f"marts.billing_disputes, carrier {carrier}, is_disputable",
        once_cents=cents,
        due_on=due_on,
    )


def _first_day(days: pd.Series) -> dt.date | None:
    known = pd.to_datetime(days).dropna()
    return None if known.empty else known.min().date()


def claim_actions(claims: pd.DataFrame, outcomes: pd.DataFrame) -> list[Action]:
    """One action per task.

    claims: claim_task, claim_count, parcel_count, open_cents, claim_due_on (the earliest),
    undated_claim_count and undated_opened_on (the earliest) of those without it. outcomes: one row with paid_count and
    refused_count of the shop's own decided claims.
    """
    counts = outcomes.sum(numeric_only=True)
    chance = _chance(CLAIM_PRIOR, int(counts.get("paid_count", 0)), int(counts.get("refused_count", 0)))
    rows = {str(row["claim_task"]): row for row in as_dicts(claims)}
    return [_claim(task, rows[task], chance) for task in TASKS if task in rows]


def _claim(task: str, row: Mapping[str, Any], chance: float) -> Action:
    due_on = None if pd.isna(row["claim_due_on"]) else pd.Timestamp(row["claim_due_on"]).date()
    undated = {name: row[name] for name in UNDATED} if task == "file" else {}
    return Action(
        action_kind="claim",
        facts={"claim_task": task, "claim_count": int(row["claim_count"]), **undated},
        confidence=CONTESTED if task == "contest" else chance,
        parcel_count=int(row["parcel_count"]),
        evidence=f"marts.claim_deadlines, claim_task {task}",
        once_cents=int(row["open_cents"]),
        due_on=due_on,
    )
