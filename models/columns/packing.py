"""Columns of the packing decision."""

from __future__ import annotations

from models.fields import Definition, cents, choice, count, flag, fraction, signed_cents, text

DECISION_VERDICTS = ("use", "keep", "wait", "choice", "too close", "one method", "no cost known")

PACKING: dict[str, Definition] = {
    "packing_cents": cents("Material and packing time of one parcel", 860, label="Material and labour"),
    "method_carriage_cents": signed_cents(
        "Carton and postage of the sampled parcels, mean", 2980, label="Carton and postage"
    ),
    "carriage_change_cents": signed_cents("Carton and postage less those of the current method", 210),
    "expected_damage_cents": signed_cents("Damage rate times severity", 330),
    "total_cents": signed_cents("All of these for one parcel", 4170, label="Total per parcel"),
    "total_low_cents": signed_cents("Lower limit of the total, 95 percent", 3990, label="Total, lower limit"),
    "total_high_cents": signed_cents("Upper limit of the total, 95 percent", 4390, label="Total, upper limit"),
    "cheapest_chance": fraction("Chance that the method is the cheapest", 0.83, label="Chance to be cheapest"),
    "yearly_gain_cents": signed_cents("Gain in a year against the current method", 41000, label="Gain a year"),
    "gain_low_cents": signed_cents("Lower limit of the gain, 95 percent", -8000, label="Gain, lower limit"),
    "gain_high_cents": signed_cents("Upper limit of the gain, 95 percent", 90000, label="Gain, upper limit"),
    "break_even_rate": fraction(
        "Damage rate at which it would cost what the current method costs", 0.041, label="Break-even rate"
    ),
    "method_parcel_count": count("Parcels of the item type packed so", 212),
    "is_current": flag("Method of most parcels in the last 90 days", True),
    "is_best": flag("Method with the lowest expected total", False),
    "best_method": text("Method with the lowest expected total", "foam"),
    "more_damaged_count": count(
        "Parcels that would be damaged a year beyond those of the current method; below zero where fewer would",
        4,
        least=-1_000_000_000,
    ),
    "current_method": text("Method of most parcels in the last 90 days", "paper"),
    "best_chance": fraction("Chance that the best method is the cheapest", 0.83),
    "best_gain_cents": signed_cents(
        "Gain in a year that the best method may be counted on for: less than the difference of the totals, as far as "
        "that is uncertain",
        36000,
        label="Gain a year to count on",
    ),
    "best_gain_low_cents": signed_cents("Lower limit of the gain by the best method, 95 percent", -8000),
    "best_gain_high_cents": signed_cents("Upper limit of the gain by the best method, 95 percent", 90000),
    "wait_parcels": count(
        "More parcels by each of two methods until the chance is high enough", 240, label="More parcels, each"
    ),
    "trial_parcels": count(
        "Parcels by each method that would show the difference in damage", 1150, label="Parcels for a trial, each"
    ),
    "information_cents": cents("Worth of knowing every rate exactly, for a year", 5200),
    "yearly_parcel_count": count("Parcels of the item type in the last twelve months", 610),
    "sampled_parcel_count": count("Parcels rated under every method", 120, label="Parcels rated"),
    "packing_verdict": choice("What follows", "wait", DECISION_VERDICTS, label="Verdict"),
    "is_carriage_rated": flag("Whether parcels were rated again under each method", True),
    "postage_cents": cents("Postage by the tariff", 2690),
}
