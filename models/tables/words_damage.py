"""Columns of exposure, claims, damage rates, packing decisions, judged changes and alarms."""

from __future__ import annotations

import pandera.pandas as pa

from models.fields import cents, choice, count, date, flag, fraction, number, signed_cents, text

CLAIM_TASKS = ("file", "ask", "contest")
DECISION_VERDICTS = ("use", "keep", "wait", "too close", "one method", "no cost known")
CHANGE_VERDICTS = ("worked", "no effect seen", "worse", "too early")
CHARTS = ("claims by week", "share surcharged", "cost per parcel")
MOST_RATIO = 1e12

_CLAIMS: dict[str, pa.Column] = {
    "reporting_lag_days": count("Days from shipping to the claim; below zero where a date is wrong", 18, least=-40_000),
    "claim_task": choice("What is to be done: file it, ask for the answer, contest what was paid", "file", CLAIM_TASKS),
    "claim_due_on": date("Last day on which the carrier takes the claim", "2026-12-04"),
    "days_left": count("Days until then; below zero where it is past", 14, least=-40_000),
    "days_waiting": count("Days since the last step", 33, least=-40_000),
    "is_in_time": flag("Whether it can still be filed", True),
    "open_cents": cents("Amount still to be had", 18900),
    "claim_count": count("Claims counted", 39),
    "week_on": date("Monday of the week", "2026-10-05"),
}

_RATES: dict[str, pa.Column] = {
    "age_days": count("Age of a parcel in days", 30),
    "reported_share": fraction("Share of claims reported by that age", 0.74),
    "reported_low": fraction("Lower limit of the share, 95 percent", 0.66),
    "reported_high": fraction("Upper limit of the share, 95 percent", 0.82),
    "curve_source": text("Where the curve comes from", "measured from the shop's own claims"),
    "is_default": flag("Too few claims for a curve of the shop's own", False),
    "late_claim_count": count("Claims past the window, not counted", 1),
    "impossible_claim_count": count("Claims dated before shipping, not counted", 0),
    "window_days": count("Claims are counted up to this age of the parcel", 120),
    "exposure": number("Parcels at risk, corrected for claims still to come", 1187.4, least=0),
    "crude_claim_rate": fraction("Claims over parcels, as they stand", 0.0246),
    "damage_rate": fraction("Claims over parcels at risk: corrected for claims still to come", 0.0251),
    "damage_rate_low": fraction("Lower limit of the corrected rate, 95 percent", 0.018),
    "damage_rate_high": fraction("Upper limit of the corrected rate, 95 percent", 0.034),
    "shrunk_rate": fraction("Corrected rate, drawn towards its item type as far as few parcels say little", 0.0249),
    "shrunk_low": fraction("Lower limit of the drawn rate", 0.019),
    "shrunk_high": fraction("Upper limit of the drawn rate", 0.032),
    "method_a": text("First packing method", "foam"),
    "method_b": text("Second packing method", "air cushion"),
    "crude_ratio": number("Rate of the first over that of the second, item types thrown together", 1.32, least=0),
    "adjusted_ratio": number("The same, compared within item types and zone bands", 0.51, least=0, most=MOST_RATIO),
    "ratio_low": number("Lower limit of the adjusted ratio, 95 percent", 0.31, least=0, most=MOST_RATIO),
    "ratio_high": number("Upper limit of the adjusted ratio, 95 percent", 0.84, least=0, most=MOST_RATIO),
    "odds_ratio": number("Odds of the first over those of the second, compared alike", 0.5, least=0, most=MOST_RATIO),
    "logistic_ratio": number("Odds ratio by a logistic model, as a check", 0.5, least=0, most=MOST_RATIO),
    "logistic_low": number("Its lower limit", 0.3, least=0, most=MOST_RATIO),
    "logistic_high": number("Its upper limit", 0.84, least=0, most=MOST_RATIO),
    "p_value": fraction("Chance of so much difference if both broke alike", 0.008),
    "q_value": fraction("That chance, corrected for the number of comparisons", 0.024),
    "homogeneity_p": fraction("Chance of so much disagreement between the groups compared", 0.44),
    "is_different": flag("Whether the difference stands after correction", True),
    "is_reversed": flag("Whether the crude ratio points the other way", True),
    "is_unlike": flag("Whether crude and adjusted ratio differ by more than a tenth", True),
    "is_corrected": flag("One method never had a claim, so half a claim was added to each", False),
    "strata_count": count("Groups in which both methods were used", 11),
    "severity_cents": signed_cents("Lost per damaged parcel, net of recovery, drawn towards the item type", 14200),
    "severity_low_cents": signed_cents("Lower limit, 95 percent", 11800),
    "severity_high_cents": signed_cents("Upper limit, 95 percent", 16900),
    "cap_cents": signed_cents("Loss above which a claim was capped; the rest is shared by all claims", 39000),
}

_DECISIONS: dict[str, pa.Column] = {
    "packing_cents": cents("Material and packing time of one parcel", 860),
    "method_carriage_cents": signed_cents("Carton and postage of the sampled parcels, mean", 2980),
    "carriage_change_cents": signed_cents("Carton and postage less those of the current method", 210),
    "expected_damage_cents": signed_cents("Damage rate times severity", 330),
    "total_cents": signed_cents("All of these for one parcel", 4170),
    "total_low_cents": signed_cents("Lower limit of the total, 95 percent", 3990),
    "total_high_cents": signed_cents("Upper limit of the total, 95 percent", 4390),
    "cheapest_chance": fraction("Chance that the method is the cheapest", 0.83),
    "yearly_gain_cents": signed_cents("Gain in a year against the current method", 41000),
    "gain_low_cents": signed_cents("Lower limit of the gain, 95 percent", -8000),
    "gain_high_cents": signed_cents("Upper limit of the gain, 95 percent", 90000),
    "break_even_rate": fraction("Damage rate at which it would cost what the current method costs", 0.041),
    "method_parcel_count": count("Parcels of the item type packed so", 212),
    "is_current": flag("Method of most parcels in the last 90 days", True),
    "is_best": flag("Method with the lowest expected total", False),
    "best_method": text("Method with the lowest expected total", "foam"),
    "current_method": text("Method of most parcels in the last 90 days", "paper"),
    "best_chance": fraction("Chance that the best method is the cheapest", 0.83),
    "best_gain_cents": signed_cents("Gain in a year by the best method", 41000),
    "best_gain_low_cents": signed_cents("Its lower limit, 95 percent", -8000),
    "best_gain_high_cents": signed_cents("Its upper limit, 95 percent", 90000),
    "wait_parcels": count("More parcels by each of two methods until the chance is high enough", 240),
    "trial_parcels": count("Parcels by each method that would show the difference in damage", 1150),
    "information_cents": cents("Worth of knowing every rate exactly, for a year", 5200),
    "yearly_parcel_count": count("Parcels of the item type in the last twelve months", 610),
    "sampled_parcel_count": count("Parcels rated under every method", 120),
    "packing_verdict": choice("What follows", "wait", DECISION_VERDICTS),
    "carriage_note": text("What carton and postage rest on", "rated again with each method's clearance"),
    "postage_cents": cents("Postage by the tariff", 2690),
}

_CHANGES: dict[str, pa.Column] = {
    "decision_id": text("Name of the decision in the log", "tripods-in-corner-blocks"),
    "change_made": text("What was changed", "corner blocks instead of paper"),
    "reason_given": text("Why", "legs punched through paper"),
    "item_types": text("Item types changed", "tripod"),
    "changed_on": date("First day of the change", "2026-03-01"),
    "expected_ratio": number("Damage hoped for, as a share of that before", 0.5, least=0),
    "measured_ratio": number("Damage after over before, against item types left alone", 0.38, least=0, most=MOST_RATIO),
    "measured_low": number("Lower limit, 95 percent", 0.18, least=0, most=MOST_RATIO),
    "measured_high": number("Upper limit, 95 percent", 0.79, least=0, most=MOST_RATIO),
    "claims_expected": number("Claims after the change had the old rate stayed", 30.4, least=0),
    "claims_seen": count("Claims after the change", 10),
    "has_control": flag("Whether item types left alone could be compared", True),
    "verdict": choice("What can be said", "worked", CHANGE_VERDICTS),
    "verdict_rule": text("Why so", "the whole interval lies below one"),
    "judged_on": date("Day the verdict was given; it stands from then on", "2026-11-20"),
    "is_final": flag("Whether the verdict was given once and stands", True),
}

_ALARMS: dict[str, pa.Column] = {
    "alarm_id": text("Name by which the alarm is acknowledged", "2026-08-17-damage-tripod"),
    "cause": text("What went up", "damage: tripod"),
    "chart": choice("Chart that signalled", "claims by week", CHARTS),
    "seen": number("Claims, share or cents seen in that week", 4.0),
    "expected": number("What was to be expected", 0.9),
    "score": number("Where the chart stands", 61.0),
    "chart_limit": number("Where the chart signals", 55.0),
    "alarm_words": text("What happened", "4 claims were reported where 0.9 were to be expected"),
    "is_alarm": flag("Whether the chart signalled in that week", False),
    "is_acknowledged": flag("Whether somebody has seen it", False),
    "quiet_weeks": number("Weeks between false alarms of all charts together", 200.0, least=0),
}

DAMAGE_WORDS: dict[str, pa.Column] = {**_CLAIMS, **_RATES, **_DECISIONS, **_CHANGES, **_ALARMS}
