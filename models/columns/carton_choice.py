"""Columns of the carton ladder, the sizes to stock, plans and bench sheets."""

from models.carton_choice.order_words import BUY, KEEP, NO_USE, USE_UP
from models.carton_choice.steps import STEPS
from models.carton_choice.year_words import DEMANDS
from models.fields import (
    Topic,
    cents,
    choice,
    count,
    date,
    flag,
    fraction,
    inches,
    instant,
    limits,
    number,
    pounds,
    ratio,
    signed_cents,
    text,
)

CARTON_CHOICE: Topic = {
    "contents": text("What was packed, pieces by item type", "1 mount head, 2 counterweight"),
    "ladder_step": choice(
        "What is allowed; each step allows all before it, but the right service and the best sizes",
        STEPS[2],
        STEPS,
        label="Step",
    ),
    "rung": count("Place of the step among the steps", 1),
    "ladder_cents": cents("Carriage by the tariff, carton and cutting", 412_000, label="Carriage and cartons"),
    "spent_cents": cents("Carriage by the tariff at the sides as sent, and the carton used", 431_000),
    "best_cents": cents("Carriage by the tariff, and the best carton from stock", 398_000, label="In better carton"),
    "saving_cents": signed_cents("Spent less what it would have cost", 33000),
    "better_parcel_count": count("Parcels that this step makes cheaper", 41, label="Parcels made cheaper"),
    "today_code": text("Code under which the catalogue goes on", "C-48B", label="Code today"),
    "renamed_on": date("First day of the code that follows", "2026-06-01", label="Renamed on"),
    "best_carton_code": text("Cheapest carton from stock that holds the contents", "C-46", label="Better carton"),
    "best_height_in": inches(
        "Inside height of the better carton, after cutting where it is cut", 45.0, label="Its inside height"
    ),
    "used_height_in": inches(
        "Inside height of the carton used, after cutting where it was cut", 47.4, label="Inside height used"
    ),
    "is_cut": flag("Whether it is to be cut down to that height", True, label="To be cut"),
    "considered_parcel_count": count("Parcels whose carton was judged", 330),
    "bounded_parcel_count": count("Parcels judged with sides unknown, bounded by the carton they travelled in", 4),
    "left_out_parcel_count": count("Parcels left out: no price, or neither goods nor carton known", 7),
    "open_fit_parcel_count": count(
        "Parcels for which a cheaper carton from stock may or may not hold the goods", 2, label="Fit not known"
    ),
    "open_saving_cents": cents(
        "Most that those cartons would have saved, if they held them all", 340, label="Saved at most, fit not known"
    ),
    # The sizes to stock
    "made_at": instant("When the sizes were chosen", "2026-11-20 18:00:00"),
    "chosen_from_on": date("First month the sizes were chosen on", "2025-05-01"),
    "chosen_to_on": date("Last month the sizes were chosen on", "2026-07-01"),
    "held_out_month_count": count("Later months on which the saving is checked", 3, label="Months held out"),
    "candidate_count": count("Sizes that came into question", 420, label="Sizes considered"),
    "candidate_statement": text(
        "Which sizes came into question", "all 420 sizes that the demand can need", label="Which sizes"
    ),
    "size_code": text("Stocked carton, supplier's code or a new size by its inside", "new 16 x 16 x 7", label="Size"),
    "size_source": choice("Where the size comes from", "new", ("stock", "supplier", "new"), label="From"),
    "size_count": count("Sizes in stock", 8, label="Sizes in stock"),
    "is_chosen": flag("Whether it is among the sizes to stock", True),
    "is_knee": flag("Where one more size stops paying much", False),
    "is_proven": flag("Whether it is proven that no choice can be cheaper", True),
    "monthly_cents": cents(
        "Cost a month, with stocking each size and a twelfth of what it costs once", 412_000, label="Cost a month"
    ),
    "bound_monthly_cents": cents("No choice can cost less a month", 411_000, label="Lower bound a month"),
    "gap_share": fraction("How far from the best the choice can be, as a share of its cost", 0.0, label="Proven gap"),
    "year_demand": choice(
        "What the year to come is taken to be: the months on record; item types that grew or shrank going on so; the "
        "price lists announced, from their day on",
        DEMANDS[0],
        DEMANDS,
        label="Demand",
    ),
    "demand_parcels": number("Parcels of a mean month of that demand", 330.4, least=0, label="Parcels a month"),
    "best_monthly_cents": cents(
        "Cost a month of as many sizes, chosen for that demand alone", 409_000, label="In sizes chosen for it alone"
    ),
    "regret_month_cents": cents(
        "What the sizes to stock cost more a month than those chosen for that demand alone",
        3_000,
        label="Costs more by",
    ),
    "compared_month_count": count("Whole months that are also on record a year before", 12, label="Months compared"),
    "year_ago_parcel_count": count("Parcels in the same months a year before", 210, label="Parcels a year before"),
    "growth_ratio": ratio("Parcels against those of the same months a year before", 1.4, label="Growth"),
    **limits(ratio, "growth_low", "the growth, 95 percent for all item types together", 1.1, 1.8, "Growth"),
    "is_growth_proved": flag("Whether the interval leaves out 1: growth or decline", True),
    "saving_part": choice("On which months", "held out", ("chosen on", "held out"), label="Months"),
    "saving_against": choice(
        "Compared with what", "spent", ("spent", "right carton from stock"), label="Compared with"
    ),
    "saving_per_parcel_cents": signed_cents("Saving for each parcel; below zero is a loss", 212),
    **limits(
        signed_cents, "saving_low_cents", "the saving for each parcel, 95 percent, over weeks", 160, 264, "Saving"
    ),
    "saving_likely_low_cents": signed_cents(
        "Lower limit of the saving for each parcel, 80 percent, over weeks", 176, label="Lower limit, four in five"
    ),
    "saving_likely_high_cents": signed_cents(
        "Upper limit of the saving for each parcel, 80 percent, over weeks", 248, label="Upper limit, four in five"
    ),
    "stocking_month_cents": signed_cents(
        "What stocking the sizes costs a month beyond stocking today's; below zero where it costs less", -1000
    ),
    "week_count": count("Weeks", 13),
    "single_code": text("Carton of which two are slid into one another", "C-48"),
    "tare_parcel_count": count(
        "Parcels judged whose carton used has a stated tare", 310, label="Parcels with the carton's tare"
    ),
    "void_fill_cents": cents(
        "Void fill of the cartons used, by the stated price of the room that goods and their clearance leave", 12_400
    ),
    "monthly_use": number("Parcels a month that the size would serve", 21.5, least=0),
    "served_parcel_count": count(
        "Parcels that the size would serve in the months it was chosen on", 322, label="Parcels served"
    ),
    "saving_year_cents": signed_cents("Saving of the parcels it would serve, for a year", 91000, label="Saving a year"),
    "stock_months": number("Months that the stock on hand lasts", 8.1, least=0, label="Months of stock"),
    "leftover_cents": cents(
        "Cost of pieces on hand that would be left over after a year", 11000, label="Left over after a year"
    ),
    "advice": choice("What to do", BUY, (BUY, KEEP, USE_UP, NO_USE)),
    # Joined and split parcels
    "plan": choice("What would be done instead", "joined", ("joined", "split")),
    "contents_before": text("What each parcel of the sale held", "1 tripod | 1 mount head"),
    "plan_sale_count": count("Sales, or parcels, of this kind", 31),
    "cheaper_count": count("Sales, or parcels, that are cheaper that way", 18),
    "unchanged_cents": cents(
        "What the same sales, or parcels, would have cost unchanged, in the sizes to stock where these are cheaper",
        58_000,
    ),
    "plan_cents": cents("What the sales, or parcels, would have cost that way", 51000),
    "plan_saving_cents": signed_cents("Saving of those that are cheaper that way", 9000),
    # Bench sheets
    "score_at_in": inches("Score and fold the walls here, measured up from the table", 45.3),
    "trim_at_in": inches("Cut off what stands above; empty where nothing does", 49.7),
    "flap_in": inches("Length of the new flaps", 4.3),
    "needed_flap_in": inches("Least length of the flaps: half the carton's width", 4.3),
    "label_length_in": inches("Longest closed side as the carrier's tariff rounds it", 47.0, label="Label, length"),
    "label_width_in": inches("Second closed side as the carrier's tariff rounds it", 9.0, label="Label, width"),
    "label_height_in": inches("Shortest closed side as the carrier's tariff rounds it", 9.0, label="Label, height"),
    "length_at_most_in": inches(
        "Longest closed length that the carrier does not charge extra, where the carton ends close below it",
        48.0,
        label="Closed length at most",
    ),
    "label_girth_in": inches(
        "Longest side and twice each other, of the sides as the carrier's tariff rounds them",
        81.0,
        most=10_000,
        label="Label, length plus girth",
    ),
    "girth_at_most_in": inches(
        "Greatest length plus girth of rounded sides that the carrier does not charge extra, where the carton ends "
        "close below it",
        105.0,
        most=10_000,
        label="Length plus girth at most",
    ),
    "expected_weight_lb": pounds("Middle of the scale weights of such parcels", 13.1),
}
