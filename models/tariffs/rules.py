"""What a tariff can state. Weights, lengths and volumes are whole thousandths of the tariff's own unit (`_milli`)."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from models.claims.deadlines import ClaimTerm
from models.tariffs.charges import (
    NEAREST_CENT,
    Condition,
    Discount,
    Extra,
    Fuel,
    OfServices,
    OfZones,
    Rounding,
    Shipment,
    Surcharge,
    Tax,
)

MILLI = 1_000
MILLIONTHS_OF_PERCENT = 10_000
LENGTHS_PER_INCH = {"in": Decimal(1), "cm": Decimal("2.54")}
# 1 lb is 0.45359237 kg exactly (international pound, 1959).
WEIGHTS_PER_POUND = {"lb": Decimal(1), "oz": Decimal(16), "kg": Decimal("0.45359237"), "g": Decimal("453.59237")}
# What a density is per: a cubic foot, a cubic metre.
DENSITY_VOLUMES = {"in": Decimal(12**3), "cm": Decimal(100**3)}
SIZE_MEASURES = (
    *("longest_side", "second_side", "shortest_side", "length_plus_girth", "sum_of_sides", "longest_plus_shortest"),
    *("diagonal", "not_rectangular", "volume", "dim_weight"),
)
MEASURES = (*SIZE_MEASURES, "scale_weight", "rated_weight")
SIDE_ROUNDINGS = ("up", "nearest", "none")
KINDS = ("base", "surcharge")
SHARES_OF = (*KINDS, "declared")
EXTRA_KINDS = ("option", "event")
EXTRA_BASES = ("base", "declared")
DISPUTE_STARTS = ("invoiced_on", "shipped_on")
# The zone of a price that holds wherever no other zone has one.
EVERY_ZONE = "*"
OPEN_END = date(2099, 12, 31)


@dataclass(frozen=True)
class Service:
    """How one service rounds, what volume weighs in it (divisor; None for nothing), and what it does not carry.

    limits: measure and most. minimums: measure and least.
    """

    service: str
    side_rounding: str
    divisor: Decimal | None
    divisor_above_milli: int
    non_rectangular_factor: Decimal
    weight_step_milli: int
    minimum_weight_milli: int
    limits: tuple[tuple[str, int], ...]
    line: int
    minimums: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True)
class SizeClass(OfServices):
    """A size that prices go by: measures and the most of each. Of those that a parcel fits the first counts."""

    size_class: str
    at_most: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Further(OfZones):
    """What each step of weight begun adds, in thousandths of a cent, beyond the last price or the range before, up to a
    weight."""

    step_milli: int
    amount_millicents: int
    up_to_milli: int


@dataclass(frozen=True)
class ChartRow:
    """The zone of destinations (a prefix or range), from origins that begin so; service is empty for all."""

    origin: str
    destination: str
    zone: str
    service: str
    line: int


@dataclass(frozen=True)
class Promise(OfZones):
    """Days from shipping to delivery that the carrier promises."""

    days: int


@dataclass(frozen=True)
class Price:
    """The price of a billed weight of at most `up_to_milli`; None where no price is known up to there.

    size_class: empty where the price is for every size. miss_cents: how far from a learned price a bill is no evidence
    of an error; interval_cents: how far from it nineteen bills of twenty lie at most. Both are None where it is
    published, or not known.
    """

    service: str
    zone: str
    up_to_milli: int
    price_cents: int | None
    line: int
    size_class: str = ""
    miss_cents: int | None = None
    interval_cents: int | None = None


@dataclass(frozen=True)
class Tariff:
    """A carrier's price list, valid from its first to its last day of shipping.

    ships_from: where the shop ships from. zone_chart: the rows that begin there. learned_first_on, learned_last_on:
    days of shipping whose bills the prices were learned from; None where published. is_tax_in_prices: the billed
    charges contain it, no line of its own states it. is_tax_reclaimable: the shop gets it back, so that it is no cost.
    dispute_days, claim_days, label_refund_days: None where the list does not state them.
    """

    file: str
    tariff_code: str
    carrier: str
    source: str
    effective_from: date
    effective_to: date | None
    currency: str
    length_unit: str
    weight_unit: str
    prices_file: str
    dispute_days: int | None
    dispute_from: str | None
    claim_days: int | None
    label_refund_days: int | None
    services: tuple[Service, ...]
    surcharges: tuple[Surcharge, ...]
    areas: tuple[tuple[str, tuple[str, ...]], ...]
    fuel: tuple[Fuel, ...]
    discounts: tuple[Discount, ...]
    prices: tuple[Price, ...]
    ships_from: str | None = None
    learned_first_on: date | None = None
    learned_last_on: date | None = None
    extras: tuple[Extra, ...] = ()
    zone_chart: tuple[ChartRow, ...] = ()
    promises: tuple[Promise, ...] = ()
    classes: tuple[SizeClass, ...] = ()
    further: tuple[Further, ...] = ()
    rounding: Rounding = NEAREST_CENT
    tax_rounding: Rounding = NEAREST_CENT
    is_tax_in_prices: bool = False
    is_tax_reclaimable: bool = False
    taxes: tuple[Tax, ...] = ()
    claim_terms: tuple[ClaimTerm, ...] = ()
    shipments: tuple[Shipment, ...] = ()

    @property
    def last_on(self) -> date:
        """The last day of shipping; OPEN_END where none is stated."""
        return self.effective_to or OPEN_END

    @property
    def service_names(self) -> set[str]:
        """The names of its services."""
        return {each.service for each in self.services}

    @property
    def priced_zones(self) -> set[str]:
        """Every zone that has a price in some service."""
        return {each.zone for each in self.prices}

    @property
    def surcharge_names(self) -> set[str]:
        """The names of its surcharges, of which several rows may have the same."""
        return {each.surcharge for each in self.surcharges}

    def days(self, row: Surcharge | Extra | Discount) -> tuple[date, date]:
        """The first and last day of shipping on which a row counts: its own where it states them."""
        return row.valid_from or self.effective_from, row.valid_to or self.last_on

    def conditions(self, service: Service) -> tuple[Condition, ...]:
        """Every distinct condition of a service's surcharges, limits and sizes, turned upward."""
        rows = [row for row in self.surcharges if row.holds_for(service.service)]
        stated = [each.upward for row in rows for alternative in row.when for each in alternative]
        bounds = [*service.limits, *(bound for row in self.classes_of(service) for bound in row.at_most)]
        least = [Condition(measure, True, milli) for measure, milli in service.minimums]
        return tuple(dict.fromkeys([*stated, *(Condition(measure, False, most) for measure, most in bounds), *least]))

    def classes_of(self, service: Service) -> tuple[SizeClass, ...]:
        """The sizes that the service's prices go by, in the order of the file."""
        return tuple(row for row in self.classes if row.holds_for(service.service))

    def zones(self, service: str) -> tuple[str, ...]:
        """Every zone that has a price in the service, in the order of the file."""
        return tuple(dict.fromkeys(price.zone for price in self.prices if price.service == service))
