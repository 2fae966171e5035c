"""How damage is reckoned: the section [damage] of the shop's settings, and what it may say."""

from dataclasses import dataclass, field
from typing import Annotated, ClassVar

from pydantic import Field

from models.claims.states import CLAIM_CAUSES
from models.settings.types import Day, Section, among

# Damage after to before that a change is hoped to bring, where the shop states no other.
EXPECTED_RATIO = 0.5
# Fewer claims to be expected after a change prove nothing yet (common practice, no source).
LEAST_EXPECTED = 5.0


@dataclass(frozen=True)
class Damage(Section):
    """causes: claims that packing answers for. window_days: age of a parcel up to which claims are counted.
    min_claims: claims needed for a lag curve of the shop's own. months: how far back rates look.
    handling_cents: the shop's own work on one claim. chance_needed: before another method is recommended.
    min_parcels: parcels by a method before it is recommended; below, a trial is. sampled_parcels: of each item type,
    rated again under every method. false_discovery_rate: over all pairs of methods. weeks_between_false_alarms: of all
    charts together. claims_to: day up to which claims are on record, where they come in files.
    """

    affected: ClassVar[str] = "every figure on damage"

    causes: Annotated[list[Annotated[str, among(CLAIM_CAUSES)]], Field(min_length=1)] = field(
        default_factory=lambda: ["damage"]
    )
    window_days: Annotated[int, Field(ge=1, le=3650)] = 120
    min_claims: Annotated[int, Field(ge=1, le=10**6)] = 20
    months: Annotated[int, Field(ge=1, le=1200)] = 24
    handling_cents: Annotated[int, Field(ge=0, le=10**9)] = 0
    chance_needed: Annotated[float, Field(ge=0.5, lt=1)] = 0.9
    min_parcels: Annotated[int, Field(ge=1, le=10**9)] = 30
    sampled_parcels: Annotated[int, Field(ge=2, le=10**6)] = 120
    false_discovery_rate: Annotated[float, Field(gt=0, lt=1)] = 0.05
    weeks_between_false_alarms: Annotated[float, Field(ge=10, le=10**5)] = 200.0
    claims_to: Day | None = None
