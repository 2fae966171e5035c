"""How damage is reckoned: the section [damage] of the shop's settings, and what it may say."""

from __future__ import annotations

from dataclasses import dataclass, field

from models.errors import SettingsError
from models.records import CLAIM_CAUSES


@dataclass(frozen=True)
class Damage:
    """causes: claims that packing answers for. window_days: age of a parcel up to which claims are counted.
    least_claims: claims needed for a lag curve of the shop's own. months: how far back rates look.
    handling_cents: the shop's own work on one claim. chance_needed: before another method is recommended.
    least_parcels: parcels by a method before it is recommended; below, a trial is. sampled_parcels: of each item type,
    rated again under every method. false_discovery_rate: over all pairs of methods. weeks_between_false_alarms: of all
    charts together.
    """

    causes: list[str] = field(default_factory=lambda: ["damage"])
    window_days: int = 120
    least_claims: int = 20
    months: int = 24
    handling_cents: int = 0
    chance_needed: float = 0.9
    least_parcels: int = 30
    sampled_parcels: int = 120
    false_discovery_rate: float = 0.05
    weeks_between_false_alarms: float = 200.0


def checked_damage(damage: Damage, where: str) -> Damage:
    """The section if it can be used. Raises SettingsError that names the setting."""
    unknown = [cause for cause in damage.causes if cause not in CLAIM_CAUSES]
    if unknown or not damage.causes:
        raise _wrong(where, f"causes = {damage.causes!r}", f"use some of {', '.join(CLAIM_CAUSES)}")
    least = {"window_days": 1, "least_claims": 1, "months": 1, "handling_cents": 0, "least_parcels": 1}
    least |= {"sampled_parcels": 2, "weeks_between_false_alarms": 10}
    for name, value in least.items():
        if getattr(damage, name) < value:
            raise _wrong(where, f"{name} = {getattr(damage, name)}", f"state at least {value}")
    if not 0.5 <= damage.chance_needed < 1.0 or not 0.0 < damage.false_discovery_rate < 1.0:
        raise _wrong(
            where, "a chance is out of range", "chance_needed lies from 0.5 to below 1, the other within 0 and 1"
        )
    return damage


def _wrong(where: str, what: str, next_step: str) -> SettingsError:
    return SettingsError(where, what, "every figure on damage", next_step)
