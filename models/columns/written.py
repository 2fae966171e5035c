"""Columns that no table has: a surface writes them out of the codes and numbers of rows."""

from models.fields import Topic, signed_cents, text

WRITTEN: Topic = {
    "action_words": text("What the action is", "tripod: carton C-46 instead of C-48", label="What to do"),
    "other_way": text("What would bring the same money instead", "Stock 6 sizes of carton", label="Or instead"),
    "shipment_expected_cents": signed_cents("What the tariff makes of all parcels of the shipment together", 2460),
    "shipment_billed_cents": signed_cents("Billed for all parcels of the shipment, before later corrections", 2460),
    "go_on_with": text("Command or part of the page that leads on", "dunnage bench-sheets", label="Details"),
    "alarm_words": text("What happened", "9 claims were reported where 4 were to be expected", label="What happened"),
}
