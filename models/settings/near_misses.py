"""How near is near: the section [near_misses] of the shop's settings."""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from pydantic import Field

from models.settings.types import Section

Reach = Annotated[float, Field(gt=0, le=12)]


@dataclass(frozen=True)
class NearMisses(Section):
    """reach_in: inches off one side within which a charge counts as avoidable. reach_lb: pounds off the weight."""

    affected: ClassVar[str] = "the surcharges within reach"

    reach_in: Reach = 1.0
    reach_lb: Reach = 1.0
