"""Columns of the carton catalogue."""

from __future__ import annotations

from models.fields import Definition, cents, count, date, flag, inches, pounds, text

CARTONS: dict[str, Definition] = {
    "inside_length_in": inches("Longer inside side of the opening", 47.5, known_as="inside length"),
    "inside_width_in": inches("Shorter inside side of the opening", 7.5, known_as="inside width"),
    "inside_height_in": inches("Inside height from flap to flap", 7.5, known_as="inside height, depth"),
    "outside_length_in": inches("Outside along the inside length", 48.0),
    "outside_width_in": inches("Outside along the inside width", 8.0),
    "outside_height_in": inches("Outside along the inside height", 8.0),
    "board_in": inches("Board thickness", 0.16, most=2, known_as="thickness, caliper"),
    "clearance_in": inches("Room left on every side of the goods", 1.5, zero=True, known_as="clearance"),
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
        known_as="bundle [quantity/size], packed, packed quantity/size",
    ),
    "lead_time_days": count(
        "Days from an order to its delivery by the supplier",
        10,
        most=1000,
        known_as="lead [postage] [clock/date]",
    ),
    "minimum_quantity": count(
        "Fewest pieces of one order at this price", 100, least=1, known_as="minimum/from quantity, minimum sale"
    ),
}
