"""Columns of the carton catalogue, and of how goods lie in a carton."""

from models.fields import Topic, cents, choice, count, date, flag, inches, pounds, text

LOOKED_AT = ("as sent", "cheaper from stock")
FITTED = ("fits", "does not fit", "undecided", "not looked at")

CARTONS: Topic = {
    "inside_length_in": inches("Longer inside side of the opening", 47.5, known_as="inside length"),
    "inside_width_in": inches("Shorter inside side of the opening", 7.5, known_as="inside width"),
    "inside_height_in": inches("Inside height from flap to flap", 7.5, known_as="inside height, depth"),
    "outside_length_in": inches("Outside along the inside length", 48.0),
    "outside_width_in": inches("Outside along the inside width", 8.0),
    "outside_height_in": inches("Outside along the inside height", 8.0),
    "board_in": inches("Board thickness", 0.16, most=2, known_as="[carton] thickness, caliper"),
    "clearance_in": inches(
        "Room left on every side of the goods", 1.5, zero=True, known_as="clearance, thickness side"
    ),
    "packing_steps": text(
        "What the packer does, step by step, parted by semicolons; printed on bench sheets",
        "wrap; fill both ends; shake: nothing may move",
        label="Steps",
        known_as="steps, instructions",
    ),
    "tare_lb": pounds("Weight of one empty carton", 1.2, known_as="tare [weight]"),
    "unit_cost_cents": cents("Price of one carton", 285, known_as="cost, price, unit cost"),
    "is_cuttable": flag("Whether it may be cut lower", True, known_as="may be cut, cut"),
    "minimum_height_in": inches("Lowest inside height it may be cut to", 4.0, known_as="minimum height"),
    "telescope_overlap_in": inches(
        "Least overlap where two of it are slid into one another for goods too long; empty: not fit for that",
        5.0,
        known_as="overlap",
    ),
    "on_hand": count("Pieces in stock", 120, known_as="stock"),
    "counted_on": date(
        "Day on which the pieces in stock were counted, after that day's parcels were packed",
        "2026-10-20",
        known_as="[stock] counted [date]",
    ),
    "minimum_order": count("Smallest order from the supplier", 25, known_as="moq, minimum order"),
    "pack_quantity": count(
        "Pieces in one pack; orders are whole packs",
        25,
        least=1,
        known_as="[sold] bundle [quantity/size], [sold] packed, packed quantity/size, quantity parcel",
    ),
    "is_price_of_several": flag("Whether the price of one carton holds what a whole pack costs", False),
    "lead_time_days": count(
        "Days from an order to its delivery by the supplier", 10, most=1000, known_as="lead [postage] [clock/date]"
    ),
    "minimum_quantity": count(
        "Fewest pieces of one order at this price", 100, least=1, known_as="minimum/from quantity, minimum sale"
    ),
    # How goods lie in a carton
    "looked_at": choice(
        "Which carton: the one used, or the cheaper one for such parcels",
        "as sent",
        LOOKED_AT,
        label="Carton looked at",
    ),
    "is_end_opening": flag(
        "Whether the carton opens at its end: its height, flap to flap, is its longest side",
        True,
        label="Opens at its end",
    ),
    "fitted": choice("Whether a checked placement was found", "fits", FITTED, label="Goods"),
    "fit_reason": text("What the answer is based on", "a placement was built block by block", label="Because"),
    "piece_number": count("Number of the piece in the order of packing, lowest first", 1, least=1, label="No."),
    "along_length_in": inches("The piece's side along the carton's length", 44.0),
    "along_width_in": inches("The piece's side along the carton's width", 6.0),
    "along_height_in": inches("The piece's side that stands upright", 6.0),
    "left_in": inches("From the carton's left end", 1.0, zero=True, label="From the left"),
    "front_in": inches("From the carton's front wall", 1.0, zero=True, label="From the front"),
    "bottom_in": inches("From the carton's bottom", 1.0, zero=True, label="From the bottom"),
    "lies_at": text(
        "Place of the piece: the wall it is nearest to, else its distance", "left, front, bottom", label="Where"
    ),
    "packing_line": text("All of it in one line", "1. tripod: 44 x 6 x 6 in at left, front, bottom"),
}
