"""The tariff format by example: `dunnage tariff format` prints it, a test reads it, so it cannot grow stale."""

from models.packaged import packaged
from models.shop_units import Units

EXAMPLE = packaged("tariffs/format.toml")

# What a list in centimetres and kilograms states in the place of the lines above; rounded as such a carrier would.
IN_METRIC = {
    'length_unit = "in"                        # in, cm': 'length_unit = "cm"                        # as the list',
    'weight_unit = "lb"                        # lb, oz, kg, g': 'weight_unit = "kg"                        # or "g"',
    "divisor = 139.0 ": "divisor = 5000.0",
    "longest_side = 108.0, length_plus_girth = 165.0, scale_weight = 150.0": "longest_side = 270.0, "
    "length_plus_girth = 420.0, scale_weight = 70.0",
    "more_than = 48.0": "more_than = 120.0",
    "more_than = 30.0": "more_than = 75.0",
    "at_least = 20.0": "at_least = 10.0",
    "minimum_weight = 40.0": "minimum_weight = 20.0",
    "density = 6.0": "density = 100.0",
}


def example(units: Units) -> str:
    """The example in the shop's units."""
    text = EXAMPLE
    for stated, metric in IN_METRIC.items() if units.is_metric else ():
        text = text.replace(stated, metric)
    return text
