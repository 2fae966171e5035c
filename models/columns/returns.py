"""Columns of goods that came back undamaged."""

from __future__ import annotations

from models.fields import Definition, cents, choice, count, date, text

CONDITIONS = ("as new", "opened", "used", "unsellable")

RETURNS: dict[str, Definition] = {
    "return_id": text("Number of the return", "R-0107", label="Return", known_as="return [number/case]"),
    "returned_on": date("Day the goods were back", "2026-11-02", known_as="returned, return [date], return received"),
    "return_condition": choice(
        "What the goods were like when they came back",
        "opened",
        CONDITIONS,
        label="Condition",
        known_as="[return/item] condition",
    ),
    "return_parcel_id": text(
        "Number of the label of the way back; where an invoice bills it, that bill is the way back's cost",
        "NL40090007",
        label="Way back",
        known_as="return label, return tracking [number], label back, inbound label",
    ),
    "return_carriage_cents": cents(
        "Carriage of the way back of goods that came back undamaged",
        1_720,
        label="Returns, carriage",
        known_as="return postage [cost/price], return cost, postage back, carriage back",
    ),
    "depreciation_cents": cents(
        "Worth that goods lost that came back undamaged",
        1_500,
        label="Returns, depreciation",
        known_as="item depreciation, worth lost, value lost, loss of value",
    ),
    "resold_on": date("Day they were sold again", "2026-11-20", known_as="resold, resold date, sold again"),
    "way_out_cents": cents("All that carriers billed for the way out", 2_140, least=-100_000_000_000),
    "days_away": count("Days from shipping until the goods were back", 24, least=-40_000),
    "days_unsold": count("Days from shipping until they were sold again, or until the records end", 43, least=-40_000),
}
