"""Columns of what a little less would save, and of surcharges by group."""

from __future__ import annotations

from models.fields import Definition, choice, count, flag, fraction, inches, pounds, signed_cents, text

CHANGES = ("longest side", "second side", "shortest side", "weight")

NEAR_MISSES: dict[str, Definition] = {
    "reach_in": inches("How much off one side, within which a charge counts as avoidable", 1.0, most=12),
    "reach_lb": pounds("How much off the weight, within which a charge counts as avoidable", 1.0, most=12),
    "class_key": count("Parcels that the tariff takes for one, but for fuel", 1, least=1),
    "direction": count("-1 for less, 1 for more", -1, least=-1, most=1),
    "is_whole_reach": flag("Whether it does what the whole reach would", True),
    "eighth": count("Eighths of the reach", 3, least=1, most=8),
    "near_miss": choice("Whether it was paid, or kept off by little", "paid", ("paid", "just under")),
    "change": choice("What would be a little less, or more", "longest side", CHANGES, label="Measure"),
    "change_in": inches("Least change of that side that does it", 0.75, label="Reduction"),
    "limit_in": inches(
        "Closed length from which the carrier charges for a long side, its rounding counted", 48.5, label="Charged from"
    ),
    "from_length_in": inches("Closed length of the parcels, at least", 48.75, label="Closed length"),
    "until_length_in": inches("Closed length of the parcels, less than", 49.0, label="Less than"),
    "is_beyond": flag("Whether the carrier charges for that length", True, label="Charged for"),
    "change_lb": pounds("Least change of the weight that does it", 0.5, label="Reduction"),
    "spared_cents": signed_cents("What the change would save by the tariff, fuel included", 2320, label="Would save"),
    "is_counted": flag("Whether its saving is added up: once for each parcel", True),
    "can_cut": flag("Whether cutting the carton lower does it and the goods still fit", True),
    "cut_count": count("Parcels whose carton can be cut so far", 743, label="Could be cut"),
    "other_carton_code": text(
        "Smallest carton of the catalogue that holds the goods and keeps the charge off", "C-46", label="Other carton"
    ),
    "grouped_by": choice("What the parcels are grouped by", "item type", ("item type", "carton", "service")),
    "group_name": text("The item type, carton or service", "tripod", label="Group"),
    "avoidable_count": count("Parcels whose surcharge a little less would have avoided", 498),
    "avoidable_cents": signed_cents("Part of the amount that a little less would have avoided", 768_000),
    "avoidable_share": fraction("Avoidable part of the amount", 0.91),
    "rate_low": fraction("Lower limit of the share, 95 percent", 0.91, label="Share, lower limit"),
    "rate_high": fraction("Upper limit of the share, 95 percent", 0.96, label="Share, upper limit"),
}
