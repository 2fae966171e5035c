"""What a tariff can state of charges beside the base price, for which services and zones.

Weights are thousandths of its own unit (`_milli`).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, kw_only=True)
class OfServices:
    """A row that holds for some services; for all where it names none. line: in the tariff's file."""

    services: tuple[str, ...] | None
    line: int

    def holds_for(self, service: str) -> bool:
        """Whether it holds for a service."""
        return service in (self.services or (service,))


@dataclass(frozen=True, kw_only=True)
class OfZones(OfServices):
    """A row that holds in some zones of some services; in all where it names none."""

    zones: tuple[str, ...] | None

    def holds_in(self, service: str, zone: str | None) -> bool:
        """Whether it holds for a service in a zone; None stands for all zones alike."""
        return self.holds_for(service) and zone in (self.zones or (zone,))


MILLI = 1_000
MILLIONTHS = 1_000_000
ROUNDING_WAYS = ("up", "nearest", "down")
SURCHARGE = "surcharge:"
STACKED = ("added", "after")


@dataclass(frozen=True)
class Condition:
    """A measure of more than, or where inclusive of at least, a threshold.

    is_below: the contrary, less than or where inclusive at most. The measure not_rectangular is one or nothing.
    """

    measure: str
    is_inclusive: bool
    threshold_milli: int
    is_below: bool = False

    @property
    def upward(self) -> Condition:
        """The condition itself, or the one that holds just where this one does not."""
        return Condition(self.measure, self.is_inclusive != self.is_below, self.threshold_milli)

    @property
    def passed_milli(self) -> int:
        """Of an upward condition: whole thousandths that a measure passes where it holds."""
        return self.threshold_milli - self.is_inclusive


@dataclass(frozen=True)
class Rounding:
    """To which multiple of cents an amount is rounded, and which way: up, nearest (half goes up), down."""

    cents: int = 1
    way: str = "nearest"

    @property
    def bias_millionths(self) -> int:
        """What is added to millionths of a cent before they are cut down to a multiple."""
        whole = self.cents * MILLIONTHS
        return {"up": whole - 1, "nearest": whole // 2, "down": 0}[self.way]

    def of_millicents(self, amount: int) -> int:
        """Thousandths of a cent as cents."""
        whole = self.cents * MILLIONTHS
        return (amount * MILLIONTHS // MILLI + self.bias_millionths) // whole * self.cents


NEAREST_CENT = Rounding()


@dataclass(frozen=True)
class DeclaredSteps:
    """An amount, in thousandths of a cent, for each step of declared value begun above the free value."""

    above_cents: int
    step_cents: int
    amount_millicents: int


@dataclass(frozen=True)
class WeightSteps:
    """An amount, in thousandths of a cent, for each step of billed weight begun above a weight."""

    above_milli: int
    step_milli: int
    amount_millicents: int


@dataclass(frozen=True)
class MissingWeight:
    """An amount, in thousandths of a cent, for each step begun of the weight that a parcel lacks to a density.

    density: weight per cubic foot where lengths are inches, per cubic metre where they are centimetres.
    """

    density: Decimal
    step_milli: int
    amount_millicents: int


@dataclass(frozen=True)
class Surcharge(OfZones):
    """One surcharge row. `when` lists alternatives, each a list of conditions; () in it means always.

    Exactly one of amount_cents, share_millionths, declared, per_weight and missing is given; `of` belongs to
    share_millionths. missing: where no weight is missing the row is not charged.
    is_greatest: of its group the row of the greatest amount is charged, whatever the ranks.
    """

    surcharge: str
    charge_code: str
    when: tuple[tuple[Condition, ...], ...]
    is_residential: bool
    area: str | None
    valid_from: date | None
    valid_to: date | None
    amount_cents: int | None
    share_millionths: int | None
    of: tuple[str, ...]
    declared: DeclaredSteps | None
    group: str | None
    rank: int
    minimum_weight_milli: int
    at_most_cents: int | None
    at_least_cents: int | None = None
    per_weight: WeightSteps | None = None
    missing: MissingWeight | None = None
    is_greatest: bool = False
    rounding: Rounding = NEAREST_CENT

    @property
    def is_of_declared(self) -> bool:
        """Whether it takes a share of the declared value."""
        return self.share_millionths is not None and "declared" in self.of


@dataclass(frozen=True)
class Extra(OfZones):
    """A charge that no parcel is expected to bear: an option that the shop chooses, an event at the carrier.

    Where it is billed, this is its amount: fixed, or a share of the billed base or of the declared value. Neither is
    given where the list states no amount.
    """

    extra_kind: str
    charge_name: str
    charge_code: str
    valid_from: date | None
    valid_to: date | None
    amount_cents: int | None
    share_millionths: int | None
    of: str
    at_least_cents: int | None
    at_most_cents: int | None
    rounding: Rounding = NEAREST_CENT


@dataclass(frozen=True)
class Shipment(OfServices):
    """How parcels that go together are priced, of so many on: each at its own price, or all by the weight of all.

    weight: of is_of_total, how it is added: `rounded` (the rated weights), `greater` (of each parcel what is greater,
    scale or dimensional weight), `together` (the greater of both sums). less_cents or less_millionths: what the base
    price of the parcels after the most expensive one, or of all, is less. once: surcharges of which the greatest alone
    is charged.
    """

    parcels_at_least: int
    is_of_total: bool
    weight: str
    less_cents: int | None
    less_millionths: int | None
    is_less_on_all: bool
    minimum_cents: int
    once: tuple[str, ...]
    rounding: Rounding

    @property
    def changes_base(self) -> bool:
        """Whether the base price of the shipment is another one than its parcels' together."""
        return self.is_of_total or bool(self.less_cents or self.less_millionths or self.minimum_cents)


@dataclass(frozen=True)
class Tax(OfZones):
    """Tax on all charges of a parcel from a day of shipping on."""

    valid_from: date
    share_millionths: int


@dataclass(frozen=True)
class Fuel(OfServices):
    """Fuel's share from a day of shipping on. on: base, surcharge for all of them, or "surcharge:NAME" for one."""

    valid_from: date
    share_millionths: int
    on: tuple[str, ...]


@dataclass(frozen=True)
class Discount(OfZones):
    """A share off the base price, a surcharge or fuel.

    stacked: empty where of several rows the latest counts; a row counts besides where it is `added` to the share of
    that one, or is taken `after` it, off what the others leave. Above and up to: billed weight, of the base price.
    """

    share_millionths: int
    on: tuple[str, ...]
    minimum_charge_cents: int
    valid_from: date | None
    valid_to: date | None = None
    rounding: Rounding = NEAREST_CENT
    stacked: str = ""
    above_milli: int = 0
    up_to_milli: int | None = None
