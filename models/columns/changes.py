"""Columns of judged changes and of alarms."""

from models.fields import Topic, choice, count, date, flag, fraction, limits, number, ratio, signed_fraction, text

CHANGE_VERDICTS = WORKED, NO_EFFECT, WORSE, TOO_EARLY, NOT_SETTLED = (
    *("worked", "no effect seen", "worse", "too early", "not settled"),
)
# Why a change was made: what was chosen for a bad record gets better by itself.
CHANGE_REASONS = WORST, BAD_MONTH, CLAIM, PLANNED, NOT_STATED = (
    *("worst of several", "bad month", "claim", "planned", "not stated"),
)
CHARTS = ("claims by week", "share surcharged", "cost per parcel")

CHANGES_MADE: Topic = {
    "decision_id": text("Name of the decision in the log", "tripods-in-corner-blocks"),
    "change_made": text("What was changed", "corner blocks instead of paper", label="Change"),
    "reason_given": text("Why the change was made", "legs punched through paper"),
    "item_types": text("Item types changed", "tripod"),
    "changed_on": date("First day of the change", "2026-03-01", label="From"),
    "expected_ratio": number("Target for the damage rate, as a share of that before", 0.5, least=0, label="Target"),
    "change_reason": choice("What led to the change", "planned", CHANGE_REASONS, label="Reason"),
    "measured_ratio": ratio(
        "Damage rate after over that before, against item types left alone, at the look that the verdict is of",
        0.38,
        label="Damage after / before",
    ),
    **limits(
        ratio,
        "measured_low",
        "damage after / before: of all month ends together, 95 percent hold the truth",
        0.18,
        0.79,
    ),
    "likely_ratio": ratio(
        "The same by the latest month end, drawn towards no change as far as few claims say little",
        0.45,
        label="Adjusted after / before",
    ),
    "likely_low": ratio("Lower limit of the adjusted after / before, 95 percent", 0.25),
    "likely_high": ratio("Upper limit of the adjusted after / before, 95 percent", 0.8),
    "claims_expected": number("Claims after the change had the old rate stayed", 30.4, least=0),
    "claims_seen": count("Claims after the change", 10),
    "has_control": flag("Whether item types left alone could be compared", True),
    "verdict": choice("What can be said", "worked", CHANGE_VERDICTS),
    "judged_on": date("Month end that the verdict is of; the last day of the records before the first", "2026-10-31"),
    "look_count": count("Month ends from the change to that one", 8),
    "planned_look_count": count("Month ends over which a change is judged", 24),
    "changed_again_on": date(
        "Day of the next logged change of the same goods; parcels sent from then on do not count", "2027-02-01"
    ),
    "is_final": flag("Whether later month ends cannot change the verdict", True),
    "alarm_id": text("Name by which the alarm is acknowledged", "2026-08-17-damage-tripod", label="Alarm"),
    "cause": text("What went up", "damage: tripod"),
    "chart": choice("Chart that signalled", "claims by week", CHARTS),
    "seen": number("Claims, share or cents seen in that week", 4.0),
    "expected": number("What was expected", 0.9),
    "score": number("Cumulative excess over what was expected", 61.0, label="Cumulative excess"),
    "chart_limit": number("Excess at which the alarm is given", 55.0, label="Alarm limit"),
    "span_week_count": count("Weeks since the sum of claims last stood at nothing", 3, least=1),
    "span_claim_count": count("Claims reported in those weeks", 9),
    "span_expected_claims": number("Claims to be expected in those weeks", 2.4, least=0),
    "seen_share": fraction("Share of the week's parcels that were charged it", 0.13),
    "expected_share": fraction("Share to be expected of the week's goods", 0.08),
    "excess_share": signed_fraction("Carriage for each parcel above what the week's goods usually cost", 0.12),
    "is_alarm": flag("Whether the chart signalled in that week", False),
    "is_acknowledged": flag("Whether somebody has seen it", False),
    "quiet_weeks": number("Weeks between false alarms of all charts together", 200.0, least=0),
}
