"""Columns of claims for lost and damaged parcels."""

from __future__ import annotations

from models.claims.states import CLAIM_CAUSES, STATES
from models.claims.terms import STARTS, STEPS, TERM_UNITS
from models.fields import Definition, cents, choice, count, date, flag, signed_cents, text

CLAIM_STATES = STATES
CLAIM_TASKS = ("file", "ask", "contest")

CLAIMS: dict[str, Definition] = {
    "claim_id": text("Number of the claim", "CL-0231", label="Claim", known_as="claim, case"),
    "last_step_on": date(
        "Day of the claim's last step: reported, filed, asked, decided, appealed or closed", "2026-11-20"
    ),
    "appealed_on": date("Day the carrier's decision was appealed", "2026-11-28"),
    "delivered_on": date("Day the carrier delivered the parcel, as it was said with the claim", "2026-10-09"),
    "claim_step": choice(
        "The claim's next step: notice to the carrier, filing, evidence, the carrier's answer, appeal", "filing", STEPS
    ),
    "step_due_on": date("Last day of the claim's next step", "2026-12-04", label="Deadline"),
    "term_length": count("How long the term is, in its own unit", 60, most=3_650),
    "term_unit": choice("Unit of the term", "days", TERM_UNITS),
    "term_start": choice("Day from which the term counts", "shipped_on", STARTS),
    "claim_cause": choice(
        "What went wrong", "damage", CLAIM_CAUSES, known_as="[claim] cause, reason, what happened, what"
    ),
    "claim_state": choice("How far the claim has come", "filed", CLAIM_STATES, known_as="[claim] state"),
    "damaged_part": text("Part that broke", "focuser", is_remark=True, known_as="part"),
    "packing_evidence": text(
        "What photos show of the packing", "end cap crushed", is_remark=True, known_as="evidence, photos show"
    ),
    "claimed_cents": cents("Asked of the carrier", 18900, known_as="claimed, demand, claim amount"),
    "paid_cents": cents("Paid by the carrier", 18900, known_as="paid, recovered, received"),
    "refund_cents": cents("Refunded to the buyer", 21350, known_as="refund"),
    "replacement_cents": cents("Cost of goods sent again", 0, known_as="replacement, sent again"),
    "return_cost_cents": cents("Cost of the return", 1720, known_as="return postage, return label"),
    "salvage_cents": cents("Worth of what came back", 4000, known_as="salvage [value], worth of returns, worth back"),
    "is_cost_stated": flag("Whether a refund, a replacement or a return of the claim is on record", True),
    "claim_cost_cents": signed_cents(
        "What the claim cost before the carrier paid: refund, replacement and return, less salvage; where none of "
        "these is on record, what was claimed",
        17350,
    ),
    "loss_cents": signed_cents("Lost on the claim, net of what came back and what was paid", 17350),
    "reporting_lag_days": count("Days from shipping to the claim; below zero where a date is wrong", 18, least=-40_000),
    "claim_task": choice(
        "What is to be done: file it, ask for the answer, contest what was paid", "file", CLAIM_TASKS, label="To do"
    ),
    "claim_due_on": date("Last day on which the carrier takes the claim", "2026-12-04", label="File by"),
    "days_left": count(
        "Days until the carrier's last day for the claim; below zero where it is past", 14, least=-40_000
    ),
    "days_waiting": count("Days since the last step", 33, least=-40_000),
    "is_in_time": flag("Whether its deadline had not passed when the records end", True),
    "open_cents": cents("Amount that can still be recovered", 18900, label="Recoverable"),
    "claim_count": count("Claims counted", 39, label="Claims"),
    "week_on": date("Monday of the week", "2026-10-05", label="Week of"),
}
