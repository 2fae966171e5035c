"""How near is near: the section [near_misses] of the shop's settings."""

from __future__ import annotations

from dataclasses import dataclass

from models.errors import SettingsError


@dataclass(frozen=True)
class NearMisses:
    """reach_in: inches off one side within which a charge counts as avoidable. reach_lb: pounds off the weight."""

    reach_in: float = 1.0
    reach_lb: float = 1.0


def checked_near_misses(near_misses: NearMisses, where: str) -> NearMisses:
    """The section if it can be used. Raises SettingsError for a reach that is not above zero or beyond twelve."""
    for name, value in (("reach_in", near_misses.reach_in), ("reach_lb", near_misses.reach_lb)):
        if not 0 < value <= 12:
            raise SettingsError(
                where, f"{name} = {value}", "the surcharges within reach", "state more than 0 and at most 12"
            )
    return near_misses
