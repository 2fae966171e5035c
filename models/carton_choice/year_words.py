"""The words for the demands of a year to come."""

PAST, GROWTH, ANNOUNCED = DEMANDS = "months on record", "growth", "announced prices"
