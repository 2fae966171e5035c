"""What is worth advising, and how near is near: the sections [advice] and [near_misses] of the shop's settings."""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from pydantic import Field

from models.settings.types import Section

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
