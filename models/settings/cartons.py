"""How cartons are judged, how near a near miss is, and what is worth advising.

The sections [cartons], [near_misses] and [advice] of the shop's settings, and what they may say.
"""

from dataclasses import dataclass, field
from typing import Annotated, ClassVar

from pydantic import AfterValidator, Field

from models.settings.types import RefusedError, Section, Words

Step = Annotated[float, Field(ge=0.1, le=12)]


@dataclass(frozen=True)
class Cartons(Section):
    """judged_months: parcels of so many last months are judged; older ones were sent at other prices.
    sizes: most sizes to stock; 0 for as many as are in use. hold_out_months: later months on which a saving is
    checked. fixed_cents_per_month: what it costs to stock one size at all. new_size_cents: once, for a size that is not
    stocked yet; spread over a year. seconds: of the processor, for the choice, however busy the machine is.
    candidate_step_in: sides of new sizes are whole numbers of it; max_candidates: new sizes that come into question.
    keep, drop: codes of stocked sizes that must stay or go. cut_step_in: cut heights are whole numbers of it.
    cut_minutes: work of cutting one carton down. new_lowest_in: least inside height to which sizes that are not stocked
    are taken to be cut: common practice, no source. stock_months: how long an order should last, where what ordering
    and keeping cost is not stated: order_cost_cents, for one order; storage_month_cents_per_ft3, for a month, cartons
    lying flat; interest_per_year, on the money they cost. service_level: chance that stock lasts until delivery where
    an order goes out at the reorder level (common practice, no source). void_fill_cents_per_ft3,
    void_fill_lb_per_ft3: what filling the room that goods and their clearance leave costs and weighs; nothing where it
    is not stated. solver: whether a general constraint solver (the extra `solver`) is asked where the fit of 9 to 12
    pieces stays open.
    """

    affected: ClassVar[str] = "every choice of cartons"

    judged_months: Annotated[int, Field(ge=1, le=1200)] = 24
    sizes: Annotated[int, Field(ge=0, le=1000)] = 0
    hold_out_months: Annotated[int, Field(ge=1, le=120)] = 3
    fixed_cents_per_month: Annotated[int, Field(ge=0, le=10**9)] = 500
    new_size_cents: Annotated[int, Field(ge=0, le=10**9)] = 6000
    seconds: Annotated[float, Field(ge=1, le=86_400)] = 60.0
    candidate_step_in: Step = 1.0
    max_candidates: Annotated[int, Field(ge=1, le=100_000)] = 400
    keep: list[Words] = field(default_factory=list)
    drop: list[Words] = field(default_factory=list)
    cut_step_in: Step = 1.0
    cut_minutes: Annotated[float, Field(ge=0, le=1440)] = 2.0
    new_lowest_in: Annotated[float, Field(ge=0.1, le=1200)] = 5.0
    stock_months: Annotated[float, Field(ge=0, le=120)] = 3.0
    order_cost_cents: Annotated[int, Field(ge=0, le=10**9)] = 0
    storage_month_cents_per_ft3: Annotated[float, Field(ge=0, le=10**6)] = 0.0
    interest_per_year: Annotated[float, Field(ge=0, le=1)] = 0.0
    service_level: Annotated[float, Field(ge=0.5, le=0.9999)] = 0.95
    void_fill_cents_per_ft3: Annotated[float, Field(ge=0, le=10**6)] = 0.0
    void_fill_lb_per_ft3: Annotated[float, Field(ge=0, le=100)] = 0.0
    solver: bool = False


def _kept_or_dropped(cartons: Cartons) -> Cartons:
    """The section where no code must both stay and go. Raises RefusedError."""
    for number, code in enumerate(cartons.drop):
        if code in cartons.keep:
            raise RefusedError(f"keep and drop both name {code}", "choose one", at=("drop", number))
    return cartons


CheckedCartons = Annotated[Cartons, AfterValidator(_kept_or_dropped)]


Reach = Annotated[float, Field(gt=0, le=12)]


@dataclass(frozen=True)
class Advice(Section):
    """least_cents: what an action must be expected to bring, a month or once, in the smallest unit of the currency."""

    affected: ClassVar[str] = "what to do next"

    least_cents: Annotated[int, Field(ge=0, le=10**9)] = 500


@dataclass(frozen=True)
class NearMisses(Section):
    """reach_in: inches off one side within which a charge counts as avoidable. reach_lb: pounds off the weight."""

    affected: ClassVar[str] = "the surcharges within reach"

    reach_in: Reach = 1.0
    reach_lb: Reach = 1.0
