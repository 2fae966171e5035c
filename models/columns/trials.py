"""Columns of trials at the bench."""

from models.fields import Topic, choice, count, date, fraction, signed_cents, text

ASSIGNED_BY = BY_SALE, BY_WEEK = "sale", "week"
TRIAL_STATES = RUNNING, ENDED = "running", "ended"
TRIAL_VERDICTS = BREAKS_LESS, BREAKS_MORE, NO_DIFFERENCE, TOO_EARLY, NOT_SETTLED = (
    *("breaks less", "breaks more", "no difference seen", "too early", "not settled"),
)
TRIAL_REASONS = NOT_PROVEN, SELDOM_USED = "not settled", "seldom used"

TRIALS: Topic = {
    "trial_id": text("Name of the trial in the log", "tripod-corner-blocks", label="Trial"),
    "assigned_method": text(
        "Packing method that a trial at the bench assigned to the parcel",
        "corner blocks",
        known_as="assigned [packing/packed] [method], trial [method]",
    ),
    "usual_method": text("Packing method that is used now", "paper"),
    "other_method": text("Packing method that is tried", "corner blocks"),
    "assigned_by": choice("What decides which method a parcel gets", "sale", ASSIGNED_BY),
    "started_on": date("First day of the trial", "2026-10-01", label="From"),
    "planned_end_on": date("Last day of the trial, unless it is ended before", "2027-03-31", label="To"),
    "ended_on": date("Day on which the shop ended the trial", "2027-01-15"),
    "trial_state": choice("Whether parcels are still assigned", "running", TRIAL_STATES, label="State"),
    "trial_verdict": choice("What the trial says of the method tried", "too early", TRIAL_VERDICTS, label="Verdict"),
    "usual_parcel_count": count("Parcels assigned the usual method", 120),
    "tried_parcel_count": count("Parcels assigned the method tried", 118),
    "usual_claim_count": count("Claims on parcels assigned the usual method", 6),
    "tried_claim_count": count("Claims on parcels assigned the method tried", 2),
    "unassigned_count": count("Parcels of the item type in the trial's time without an assignment, not counted", 4),
    "followed_share": fraction("Share of the assigned parcels that were packed as assigned", 0.94),
    "trial_reason": choice("Why a trial is offered", "not settled", TRIAL_REASONS, label="Reason"),
    "needed_parcel_count": count("Parcels of both methods together that the trial needs", 420, label="Parcels needed"),
    "needed_days": count("Days until so many are sent, at the volume of the last year", 180, label="Days needed"),
    "more_packing_cents": signed_cents("Material and labour of the method tried beyond those of the usual one", 210),
}
