"""Columns of how goods lie in a carton."""

from __future__ import annotations

from models.fields import Definition, choice, count, flag, inches, text

LOOKED_AT = ("as sent", "cheaper from stock")
FITTED = ("fits", "does not fit", "undecided", "not looked at")

PLACEMENTS: dict[str, Definition] = {
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
