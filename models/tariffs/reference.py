"""The tariff format by example: `dunnage tariff format` prints it, a test reads it, so it cannot grow stale."""

from __future__ import annotations

from models.shop_units import Units

EXAMPLE = """\
# A tariff is this file of rules and one CSV file of prices beside it. Weights and lengths are in its own units.
# A carrier may have several at once (ground, air): of each service one on a day.
tariff_code = "northline-2026"
carrier = "Northline"                     # as the bench log and the invoices name it
source = "Price list of 12 January 2026"  # where the figures come from
effective_from = 2026-01-12
effective_to = 2027-01-10                 # last day of shipping; leave out while open
currency = "USD"
length_unit = "in"                        # in, cm
weight_unit = "lb"                        # lb, oz, kg, g
prices = "northline-2026.csv"             # service,zone,up_to_weight,price_cents; an empty price means none is known
                                          # zone * is for every zone that has no price of its own
                                          # `dunnage tariff learn` writes one; its first line, with #, says so
zone_chart = "northline-zones.csv"        # origin,destination,zone: gives a zone where no record does
ships_from = "60601"                      # the shop's postal code, which chooses the chart's origin
dispute_days = 60
dispute_from = "invoiced_on"              # invoiced_on, shipped_on
claim_days = 60                           # last day after shipping to file a claim; [[claim_terms]] says more
label_refund_days = 30                    # last day after buying to return an unused label; leave it out if not known
rounding = { cents = 1, way = "nearest" } # each charge to a multiple of so many cents: up, nearest (half goes up) or
                                          # down; surcharges, options, events and discounts may state their own
tax_rounding = { cents = 1, way = "nearest" }
tax_in_prices = false                     # true: the billed charges contain the tax, and no line of its own states it
tax_reclaimable = false                   # true: the shop gets it back, so that it is no cost and lowers no margin

# The other days of a claim: leave out what the carrier does not state. step: notice (tell the carrier of damage),
# evidence, answer (the carrier's own day), appeal. One of days, working_days (Monday to Friday), months.
# from: shipped_on, delivered_on, opened_on (reported by the buyer), filed_on, decided_on.
[[claim_terms]]
step = "notice"
days = 15
from = "delivered_on"

[[claim_terms]]
step = "appeal"
months = 1
from = "decided_on"

[[services]]
service = "ground"
side_rounding = "up"                      # up, nearest (half goes up), none
divisor = 139.0                           # rounded volume over this is the dimensional weight; "none" for none
divisor_above_volume = 0.0                # it counts only where the volume is more than this
non_rectangular_factor = 1.0              # multiplies the volume of tubes and bundles before the two lines above
weight_step = 1.0                         # a rated weight is rounded up to a multiple of this
minimum_weight = 1.0
limits = { longest_side = 108.0, length_plus_girth = 165.0, scale_weight = 150.0 }   # beyond: not carried
minimums = { longest_side = 6.0 }         # below: not carried

# Sizes, where prices go by them: the price file then has a column `class`. The first that a parcel fits counts.
[[classes]]
class = "S"
services = ["ground"]                     # leave out for all
at_most = { sum_of_sides = 24.0, scale_weight = 4.0 }

[[classes]]
class = "L"
at_most = { longest_side = 108.0 }

# Measures: longest_side, second_side, shortest_side, length_plus_girth, sum_of_sides, longest_plus_shortest, diagonal
# (corner to farthest corner), volume, scale_weight, dim_weight, rated_weight; compared by more_than, at_least,
# less_than, at_most. { rectangular = false } holds for tubes and bundles (not_rectangular).
[[surcharges]]
surcharge = "long side"                   # several rows may share a name: zone bands, seasons
charge_code = "LONG SIDE"                 # the carrier's word on its invoices
services = ["ground"]                     # leave out for all
zones = ["2", "3", "4"]                   # leave out for all
when = [                                  # one line must hold, with all conditions in it; leave out for always
  [{ measure = "longest_side", more_than = 48.0 }],
  [{ measure = "second_side", more_than = 30.0 }, { measure = "scale_weight", at_least = 20.0 }],
]
amount_cents = 1850                       # 12.5 too; one of amount_cents, percent (with of), per_declared, per_weight,
                                          # per_missing_weight
group = "handling"                        # of one group only the highest rank is charged; where all its rows say
                                          # greatest = true, the greatest amount
rank = 1
minimum_weight = 40.0                     # where it is charged, at least this weight is billed
at_least_cents = 500
at_most_cents = 9000

[[surcharges]]
surcharge = "weight"
charge_code = "WEIGHT"
zones = ["4"]
greatest = false
per_weight = { above = 30.0, step = 1.0, amount_cents = 12.5 }   # for each step of billed weight begun above

[[surcharges]]
surcharge = "low density"                 # for each step of weight begun that is missing: volume at the density, less
charge_code = "LOW DENSITY"               # the scale weight rounded up to weight_step. density: weight per cubic foot,
zones = ["4"]                             # or where length_unit is cm per cubic metre; one for each service
per_missing_weight = { density = 6.0, step = 1.0, amount_cents = 15 }

[[surcharges]]
surcharge = "season"
charge_code = "SEASON"
from = 2026-10-05                         # first and last day of shipping
to = 2027-01-10
percent = 6.0
of = ["surcharge"]                        # or ["base"], both, or ["declared"]; each after its discount

[[surcharges]]
surcharge = "remote area"
charge_code = "REMOTE AREA"
residential = true                        # home deliveries only
area = "remote"                           # destinations listed under [areas] only
amount_cents = 1240

[[surcharges]]
surcharge = "declared value"
charge_code = "DECLARED VALUE"
per_declared = { above_cents = 10000, step_cents = 10000, amount_cents = 120 }   # for each step begun above

# Charges that no parcel is expected to bear. Billed at this amount they are right. Without an amount they are not
# checked; nor is any charge that the tariff does not state.
[[options]]                               # chosen by the shop: a signature, cash on delivery, a return
option = "signature"
charge_code = "SIGNATURE"
services = ["ground"]                     # services, zones, from and to as for surcharges
amount_cents = 450                        # or percent, or neither

[[options]]
option = "collect on delivery"
charge_code = "COD"
percent = 2.0
of = "declared"                           # base (as billed), declared
at_least_cents = 500
at_most_cents = 5000

[[events]]                                # what happened at the carrier: an address correction, a re-measuring fee
event = "address correction"
charge_code = "ADDRESS FIX"
amount_cents = 1800

[[discounts]]
services = ["ground"]
percent = 12.0
on = ["base"]                             # base, fuel, or "surcharge:long side"
minimum_charge_cents = 890                # the discount does not go below this
zones = ["2", "3"]                        # leave out for all
from = 2026-01-12                         # of rows that have begun and not ended the latest counts
to = 2026-12-31
above_weight = 0.0                        # off the base price alone: billed weights above one and up to another
up_to_weight = 70.0

[[discounts]]
percent = 5.0
on = ["base"]
stacked = "after"                         # counts besides: "after" off what is left, "added" to the others' percent;
                                          # the highest minimum_charge_cents of those that count holds

[[further]]                               # beyond the last price: what each step of weight begun adds to it;
                                          # several rows are ranges one after the other, each up to its weight
services = ["ground"]                     # services and zones as for surcharges
step = 1.0
amount_cents = 65.5
up_to = 200.0

# Parcels that go as one shipment, where the carrier prices them together: the records name it (shipment_id). Without a
# row the bill of such a shipment is not checked. Fuel is taken, and rounded, on the sum of the shipment.
[[shipments]]
services = ["ground"]                     # leave out for all
parcels_at_least = 2                      # counts from so many parcels on; of several rows the highest that is reached
base = "each"                             # each: every parcel has its own price; total: one for the weight of all,
                                          # where prices do not go by sizes, with weight = "rounded" (the rated weights
                                          # added), "greater" (of each parcel the greater of scale and dimensional
                                          # weight, added) or "together" (scale weights added, or dimensional ones)
less_percent = 10.0                       # of base = "each": off the base price of a parcel; or less_cents = 100
less_on = "further"                       # further: of all parcels but the most expensive one; all: of every one
minimum_cents = 1200                      # the base price of the shipment is at least this
once = ["remote area"]                    # charged once: the greatest, or where it takes a share, of the shipment's
                                          # base price; every other surcharge for each parcel

[areas]                                   # a code that begins so; of entries that fit, the longest counts
remote = ["597", "995", "2010..2019", "IV1..IV28"]   # IV1 is not IV12

[[promises]]                              # days from shipping to delivery; the first row that fits counts
zones = ["2", "3"]                        # services and zones as for surcharges
days = 3

[[fuel]]                                  # the latest row that has begun counts
from = 2026-01-12
percent = 14.25
on = ["base", "surcharge"]                # surcharge for all of them, or only "surcharge:long side"
services = ["ground"]                     # leave out for all

[[tax]]                                   # on all charges of a parcel, fuel too; the latest row that has begun counts
from = 2026-01-12                         # without a row for the zone nothing is said of the tax on its bills
percent = 19.0
zones = ["2", "3", "4"]                   # services and zones as for surcharges

# What a tariff cannot state, and why: a price for several parcels of one order where no record says which were priced
# together (state the price of each, what is billed less is no dispute); a list with tax in its prices that is billed
# without it (enter the prices without tax); tax on some charges only; rounding of a parcel's total, since each charge
# is a line of its own in whole cents.
"""

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
