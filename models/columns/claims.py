"""Columns of claims, of insuring against them, and of returns."""

from models.claims.deadlines import STARTS, STEPS, TERM_UNITS
from models.claims.states import CLAIM_CAUSES, STATES
from models.fields import Topic, cents, choice, count, date, flag, fraction, signed_cents, text

CLAIM_STATES = STATES
CLAIM_TASKS = ("file", "ask", "contest")
CONDITIONS = ("as new", "opened", "used", "unsellable")

CLAIMS: Topic = {
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
    "claimed_cents": cents("Asked of the carrier", 18900, known_as="claimed [amount], demand, claim amount"),
    "paid_cents": cents("Paid by the carrier", 18900, known_as="paid [amount], recovered, received, settled [amount]"),
    "refund_cents": cents("Refunded to the buyer", 21350, known_as="refund"),
    "replacement_cents": cents("Cost of goods sent again", 0, known_as="replacement, sent again"),
    "return_cost_cents": cents("Cost of the return", 1720, known_as="return postage, return label"),
    "salvage_cents": cents("Worth of what came back", 4000, known_as="salvage [value], worth of returns, worth back"),
    "is_cost_stated": flag("Whether a refund, a replacement or a return of the claim is on record", True),
    "claim_cost_cents": signed_cents(
        "What the claim cost before the carrier paid: refund, replacement and return, less salvage; where none of "
        "these is on record, what was claimed, or else paid",
        17350,
    ),
    "loss_cents": signed_cents("Lost on the claim, net of what came back and what was paid", 17350),
    "reporting_lag_days": count("Days from shipping to the claim; below zero where a date is wrong", 18, least=-40_000),
    "claim_task": choice(
        "What is to be done: file it, ask for the answer, contest what was paid", "file", CLAIM_TASKS, label="To do"
    ),
    "claim_due_on": date(
        "Last day on which the carrier takes the claim, or an appeal against what it paid", "2026-12-04", label="Due by"
    ),
    "days_left": count("Days until that last day; below zero where it is past", 14, least=-40_000),
    "days_waiting": count("Days since the last step", 33, least=-40_000),
    "is_in_time": flag("Whether its deadline had not passed when the records end", True),
    "open_cents": cents("Amount that can still be recovered", 18900, label="Recoverable"),
    "claim_count": count("Claims counted", 39, label="Claims"),
    "week_on": date("Monday of the week", "2026-10-05", label="Week of"),
    # Goods that came back undamaged
    "return_id": text("Number of the return", "R-0107", label="Return", known_as="return [number/case]"),
    "returned_on": date("Day the goods were back", "2026-11-02", known_as="returned, return [date], return received"),
    "return_condition": choice(
        "What the goods were like when they came back",
        "opened",
        CONDITIONS,
        label="Condition",
        known_as="[return/item] condition",
    ),
    "return_parcel_id": text(
        "Number of the label of the way back; where an invoice bills it, that bill is the way back's cost",
        "NL40090007",
        label="Way back",
        known_as="return label, return tracking [number], label back, inbound label",
    ),
    "return_carriage_cents": cents(
        "Carriage of the way back of goods that came back undamaged",
        1_720,
        label="Returns, carriage",
        known_as="return postage [cost/price], return cost, postage back, carriage back",
    ),
    "depreciation_cents": cents(
        "Worth that goods lost that came back undamaged",
        1_500,
        label="Returns, depreciation",
        known_as="item depreciation, worth lost, value lost, loss of value",
    ),
    "resold_on": date("Day they were sold again", "2026-11-20", known_as="resold, resold date, sold again"),
    "way_out_cents": cents("All that carriers billed for the way out", 2_140, least=-100_000_000_000),
    "days_away": count("Days from shipping until the goods were back", 24, least=-40_000),
    "days_unsold": count("Days from shipping until they were sold again, or until the records end", 43, least=-40_000),
    # Insuring parcels, and of claims that are one more of a pattern
    "worth_cents": cents("What the goods in the parcel were sold for", 18_900),
    "worth_from_cents": cents("Least worth of the band: what the goods in a parcel were sold for", 10_000),
    "least_worth_cents": cents("Worth from which the rule insures a parcel", 15_000, label="Insure from"),
    "is_fragile_only": flag("Whether the rule insures fragile goods only", True),
    "has_fragile": flag("Whether any of the goods is fragile", True),
    "is_insured": flag("Whether a premium was billed or the label was insured", True),
    "is_claimed": flag("Whether a claim for damage or loss is on record", False),
    "is_claim_decided": flag("Whether the carrier decided all its claims", False),
    "premium_cents": cents("Fee for insurance or a declared value", 125),
    "lost_cents": cents("Claimed, or spent on the buyer where nothing was claimed yet", 18_900),
    "brought_cents": signed_cents("What carriers would have paid more on insured parcels", 42_000),
    "net_cents": signed_cents(
        "What the rule would have brought less its premium", 12_000, label="Brought less premium"
    ),
    "net_low_cents": signed_cents(
        "Lower limit of that: all rules lie within their limits with a chance of 95 %", -8_000, label="At least"
    ),
    "net_high_cents": signed_cents(
        "Upper limit of that: all rules lie within their limits with a chance of 95 %", 41_000, label="At most"
    ),
    "insured_parcel_count": count("Parcels that were insured", 120, label="Insured"),
    "insured_claim_count": count("Claims on insured parcels", 4, label="Claims, insured"),
    "paid_claim_count": count("Claims that the carrier paid, in full or in part", 5, label="Claims paid"),
    "refused_claim_count": count("Claims that the carrier refused", 3, label="Claims refused"),
    "decided_insured_count": count("Decided claims on insured parcels, of all rules", 14, label="Decided, insured"),
    "decided_other_count": count("Decided claims on other parcels, of all rules", 22, label="Decided, others"),
    "reported_month": date("First day of the month in which the claims were reported", "2026-10-01", label="Month"),
    "claim_ids": text("Numbers of the claims, the first five", "CL-0231, CL-0240", label="Claims reported"),
    "like_count": count("Parcels with this item type, packing method, carton and carrier", 120, label="Parcels alike"),
    "like_damaged_count": count("Of these, damaged", 9, label="Damaged"),
    "other_count": count("Other parcels of the item type", 700, label="Others"),
    "other_damaged_count": count("Of these, damaged", 14, label="Others damaged"),
    "pattern_chance": fraction("Chance of as many or more damaged if these were no worse than the others", 0.004),
    "corrected_chance": fraction("The same, corrected for the number of groups compared", 0.031, label="Corrected"),
    "settled_count": count("Parcels of each kind that would settle it", 400, label="Would settle it"),
    "is_pattern": flag("Whether chance alone would seldom do it, corrected for the groups compared", True),
}
