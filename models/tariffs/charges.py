"""What a tariff can state of charges beside the base price. Weights are thousandths of its own unit (`_milli`)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


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


@dataclass(frozen=True)
class DeclaredSteps:
    """An amount for each step of declared value begun above the free value."""

    above_cents: int
    step_cents: int
    amount_cents: int


@dataclass(frozen=True)
class WeightSteps:
    """An amount, in thousandths of a cent, for each step of billed weight begun above a weight."""

    above_milli: int
    step_milli: int
    amount_millicents: int


@dataclass(frozen=True)
class Surcharge:
    """One surcharge row. `when` lists alternatives, each a list of conditions; () in it means always.

    Exactly one of amount_cents, share_millionths, declared and per_weight is given; `of` belongs to share_millionths.
    is_greatest: of its group the row of the greatest amount is charged, whatever the ranks.
    """

    surcharge: str
    charge_code: str
    services: tuple[str, ...] | None
    zones: tuple[str, ...] | None
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
    line: int
    at_least_cents: int | None = None
    per_weight: WeightSteps | None = None
    is_greatest: bool = False

    @property
    def is_of_declared(self) -> bool:
        """Whether it takes a share of the declared value."""
        return self.share_millionths is not None and "declared" in self.of


@dataclass(frozen=True)
class Extra:
    """A charge that no parcel is expected to bear: an option that the shop chooses, an event at the carrier.

    Where it is billed, this is its amount: fixed, or a share of the billed base or of the declared value. Neither is
    given where the list states no amount.
    """

    extra_kind: str
    charge_name: str
    charge_code: str
    services: tuple[str, ...] | None
    zones: tuple[str, ...] | None
    valid_from: date | None
    valid_to: date | None
    amount_cents: int | None
    share_millionths: int | None
    of: str
    at_least_cents: int | None
    at_most_cents: int | None
    line: int


@dataclass(frozen=True)
class Fuel:
    """Fuel's share of the named kinds from a day of shipping on."""

    valid_from: date
    share_millionths: int
    on: tuple[str, ...]
    line: int
    services: tuple[str, ...] | None = None


@dataclass(frozen=True)
class Discount:
    """A share off the base price or off a surcharge's fixed amount."""

    services: tuple[str, ...] | None
    share_millionths: int
    on: tuple[str, ...]
    minimum_charge_cents: int
    valid_from: date | None
    line: int
    zones: tuple[str, ...] | None = None
    valid_to: date | None = None
