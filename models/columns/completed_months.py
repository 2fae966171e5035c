"""Columns of months completed: what is still to be billed and reported, and how long invoices take."""

from models.fields import Topic, count, flag, fraction, limits, number, signed_cents

COMPLETION: Topic = {
    "delay_days": count("Days from shipping to an invoice", 9, least=-40_000),
    "first_billed_count": count("Parcels billed for the first time then", 120),
    "later_cents": signed_cents("What invoices after the parcel's first one added", 420),
    "later_square": number("Sum of the squares of these amounts", 52_000.0, least=0, most=1e24),
    "billed_square": number("Sum of the squares of the billed amounts", 4.2e9, least=0, most=1e24),
    "miss_square": number("Sum of the squares of billed less expected", 3.1e7, least=0, most=1e24),
    "all_packing_cents": signed_cents("Cartons, packing material and labour", 96_000),
    "priced_count": count("Billed parcels that a tariff prices", 118),
    "priced_billed_cents": signed_cents("Billed for these", 402_000),
    "priced_expected_cents": signed_cents("What the tariff expects for these", 397_000),
    "unbilled_priced_count": count("Parcels without a bill that a tariff prices", 17),
    "unbilled_expected_cents": signed_cents("What the tariff expects for these", 51_200),
    "unbilled_count": count("Parcels on record that have no bill yet", 17, label="Parcels without a bill"),
    "unpriced_count": count(
        "Parcels without a bill whose carriage nothing on record lets one expect", 0, label="Of these, cost not known"
    ),
    "sales_to_ship_count": count(
        "Sales without a parcel on record that usually go out in the month", 4, label="Sales without a parcel"
    ),
    "income_to_come_cents": signed_cents(
        "Shipping that buyers paid on these sales, with what is kept in the item price, less refunds and fees",
        5_200,
        label="Paid on sales without a parcel",
    ),
    "carriage_to_come_cents": signed_cents(
        "Carriage expected on bills that have not come yet", 51_200, label="Still to be billed"
    ),
    **limits(signed_cents, "carriage_to_come_low_cents", "the carriage still to be billed, 80 percent", 46_000, 56_900),
    "packing_to_come_cents": signed_cents("Cartons, material and labour of sales without a parcel", 1_900),
    "damage_to_come_cents": signed_cents(
        "Damage expected of claims that buyers have not reported yet", 31_000, label="Damage still to be reported"
    ),
    **limits(signed_cents, "damage_to_come_low_cents", "the damage still to be reported, 80 percent", 9_000, 58_000),
    "recovery_to_come_cents": signed_cents(
        "What carriers are expected to pay on claims that are still open", 12_000, label="Still to be recovered"
    ),
    "completed_margin_cents": signed_cents("Margin with what is still to come: expected", -540_000),
    "completed_per_parcel_cents": signed_cents(
        "Completed margin for each parcel, with those still to be sent", -1_440, label="Completed margin per parcel"
    ),
    "usual_per_parcel_cents": signed_cents(
        "Mean of the completed margin per parcel over the twelve months before", 150, label="Usual margin per parcel"
    ),
    **limits(
        signed_cents, "usual_low_cents", "what is usual, 80 percent, from the twelve months before", -60, 360, "Usual"
    ),
    "is_unusual": flag("Whether the month lies outside what is usual", False),
    **limits(signed_cents, "completed_low_cents", "the completed margin, 80 percent", -575_000, -508_000),
    "completed_change_cents": signed_cents(
        "Completed margin less that of the month before, completed too", -41_000, label="Change, completed"
    ),
    **limits(signed_cents, "change_low_cents", "the change, 80 percent", -80_000, -2_000),
    "billed_part": fraction("Share of the expected carriage that is billed so far", 0.948, label="Billed so far"),
    "is_completed": flag(
        "Whether nothing is expected to come any more; unknown where claims may come and too few tell how many",
        False,
        label="Complete",
    ),
}
