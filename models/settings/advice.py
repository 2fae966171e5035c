"""What is worth advising: the section [advice] of the shop's settings."""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from pydantic import Field

from models.settings.types import Section


@dataclass(frozen=True)
class Advice(Section):
    """least_cents: what an action must be expected to bring, a month or once, in the smallest unit of the currency."""

    affected: ClassVar[str] = "what to do next"

    least_cents: Annotated[int, Field(ge=0, le=10**9)] = 500
