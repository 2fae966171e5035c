"""Columns of exposure, reporting lags, damage rates, comparison and severity."""

from models.fields import Topic, cents, choice, count, date, flag, fraction, limits, number, ratio, signed_cents, text

# Where the curve of reporting delays comes from.
CURVES = ("own claims", "usual delays")
# What tells how far claims are on record.
CLAIMS_ENDS = ("other records", "settings", "import", "newest claim")

DAMAGE: Topic = {
    "age_days": count("Age of a parcel in days", 30, label="Age, days"),
    "reported_share": fraction("Share of claims reported by that age", 0.74, label="Share reported"),
    **limits(fraction, "reported_low", "the share, 95 percent", 0.66, 0.82),
    "curve_source": choice("Where the curve comes from", "own claims", CURVES, label="Curve"),
    "is_default": flag("Too few claims for a curve of the shop's own", False),
    "is_drifting": flag("Whether the record proves that the delay changes over time", False),
    "late_claim_count": count("Claims past the window, not counted", 1),
    "impossible_claim_count": count("Claims dated before shipping, not counted", 0),
    "claims_to_source": choice(
        "What tells how far claims are on record", "other records", CLAIMS_ENDS, label="Claims on record, by"
    ),
    "claims_to": date("Last day whose claims are on record, as far as can be told", "2026-11-30"),
    "claims_to_stated": date("Last day whose claims are on record, as the settings state", "2026-11-30"),
    "last_claim_on": date("Day of the newest claim on record", "2026-11-29"),
    "records_to": date("Last day of all records", "2026-11-30"),
    "window_days": count("Claims are counted up to this age of the parcel", 120),
    "wanted_days": count("Claims would be counted up to this age, were the records old enough", 120),
    "exposure": number("Parcels at risk, corrected for claims still to come", 1187.4, least=0),
    "crude_claim_rate": fraction("Claims over parcels, as they stand", 0.0246, label="Crude rate"),
    "damage_rate": fraction(
        "Claims over parcels at risk: corrected for claims still to come", 0.0251, label="Corrected rate"
    ),
    **limits(fraction, "damage_rate_low", "the corrected rate, 95 percent", 0.018, 0.034),
    "shrunk_rate": fraction(
        "Corrected rate, adjusted towards like parcels as far as few say little", 0.0249, label="Adjusted rate"
    ),
    "same_parcels_rate": fraction(
        "Damage rate that the item type's parcels would have, all packed by the method",
        0.0244,
        label="Rate on the same parcels",
    ),
    **limits(fraction, "shrunk_low", "the adjusted rate", 0.019, 0.032, "Adjusted rate"),
    "method_a": text("First packing method", "foam", label="First method"),
    "method_b": text("Second packing method", "air cushion", label="Second method"),
    "crude_ratio": number(
        "Rate of the first over that of the second, before adjusting for the goods and zones", 1.32, least=0
    ),
    "adjusted_ratio": ratio("Rate of the first over that of the second, within item types and zone bands", 0.51),
    **limits(ratio, "ratio_low", "the adjusted ratio, 95 percent", 0.31, 0.84),
    "odds_ratio": ratio("Odds of the first over those of the second, compared alike", 0.5),
    "logistic_ratio": ratio("Odds ratio by a logistic model, as a check", 0.5, label="Odds ratio, logistic model"),
    "logistic_low": ratio("Lower limit of the logistic model's ratio", 0.3),
    "logistic_high": ratio("Upper limit of the logistic model's ratio", 0.84),
    "pooled_ratio": ratio(
        "Rate of the first over that of the second, with carriers, services, zones and months reckoned in",
        0.55,
        label="Ratio with carriers and months",
    ),
    **limits(ratio, "pooled_low", "that ratio; of pairs said to differ, one in forty misses", 0.35, 0.86),
    "p_value": fraction("Chance of so much difference if both broke alike", 0.008),
    "q_value": fraction("Chance of so much difference, corrected for the number of comparisons", 0.024),
    "homogeneity_p": fraction(
        "Chance of so much disagreement between the groups compared", 0.44, label="Same in all groups, p"
    ),
    "is_different": flag("Whether the difference stands after correction", True, label="Difference stands"),
    "is_entangled": flag(
        "Whether the difference does not stand once carriers, services, months and other goods are reckoned in", False
    ),
    "is_reversed": flag("Whether the crude ratio points the other way", True),
    "is_unlike": flag("Whether crude and adjusted ratio differ by more than a tenth", True),
    "is_corrected": flag("One method never had a claim, so half a claim was added to each", False),
    "strata_count": count("Groups in which both methods were used", 11, label="Groups compared"),
    "gross_loss_cents": cents(
        "Lost per damaged parcel before the carrier pays, adjusted towards like goods",
        21500,
        label="Lost before recovery",
    ),
    "recovered_share": fraction(
        "Share of the loss that carriers pay, adjusted towards like goods", 0.34, label="Share recovered"
    ),
    "severity_cents": signed_cents(
        "Lost per damaged parcel, net of recovery, adjusted towards like goods", 14200, label="Lost per damaged parcel"
    ),
    **limits(signed_cents, "severity_low_cents", "the loss per damaged parcel, 95 percent", 11800, 16900),
}
