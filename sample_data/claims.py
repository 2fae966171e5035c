"""What went wrong on the way, and when the buyer said so."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from sample_data import shop
from sample_data.packing import Packed
from sample_data.shop import ITEM_TYPES, METHODS

# Days from shipping to report: lognormal, this median and spread, between these bounds.
LAG_MEDIAN, LAG_SIGMA, LAG_LEAST, LAG_MOST = 18.0, 0.75, 2, 120
OTHER_CAUSES = {"lost": 0.003, "not_as_listed": 0.0035, "late": 0.0015, "other": 0.0005}
CLAIM_DAYS = {"Northline": 60, "Corvane": 45}
EVIDENCE = {
    "paper": ("paper at one end only", "corner bare", "paper crushed flat"),
    "air cushion": ("cushions burst", "goods against the side wall"),
    "foam": ("foam cracked", "box punctured"),
    "corner blocks": ("one block missing", "box punctured"),
    "honeycomb paper": ("honeycomb crushed", "goods against the side wall"),
}


@dataclass
class Claim:
    """One claim as it stands at the end; amounts in cents, cause in the export's words."""

    claim_id: str
    parcel: Packed
    cause: str
    opened_on: dt.date
    filed_on: dt.date | None = None
    decided_on: dt.date | None = None
    damaged_part: str | None = None
    packing_evidence: str | None = None
    claimed_cents: int | None = None
    paid_cents: int | None = None
    refund_cents: int = 0
    replacement_cents: int = 0
    return_cost_cents: int = 0
    salvage_cents: int = 0
    first_on: dt.date | None = None
    first_cents: int = 0
    appealed_on: dt.date | None = None

    def state_on(self, day: dt.date) -> str:
        """How far it had come on that day."""
        decided_on, paid = self.decision_on(day)
        if self.appealed_on and (decided_on or day) < self.appealed_on <= day:
            return "appealed"
        if decided_on:
            return "refused" if not paid else "paid" if paid == self.claimed_cents else "paid in part"
        return "filed" if self.filed_on and self.filed_on <= day else "reported"

    def decision_on(self, day: dt.date) -> tuple[dt.date | None, int | None]:
        """The carrier's last decision by that day, and what it paid."""
        if self.decided_on and self.decided_on <= day:
            return self.decided_on, self.paid_cents
        return (self.first_on, self.first_cents) if self.first_on and self.first_on <= day else (None, None)


@dataclass
class Harm:
    """Claims reported by the end of the records, and the truth: topic -> rows."""

    claims: list[Claim] = field(default_factory=list)
    damaged_by_month: dict[str, int] = field(default_factory=dict)
    unreported_by_month: dict[str, int] = field(default_factory=dict)
    lags: list[int] = field(default_factory=list)


def true_damage_rate(item_type: str, method: str) -> float:
    """The true chance that goods of the type break under the method."""
    base = ITEM_TYPES[item_type].damage_rate
    odds = base / (1 - base) * METHODS[method].odds_ratio
    return odds / (1 + odds)


def harm(rng: np.random.Generator, parcels: list[Packed]) -> Harm:
    """Every claim that is reported by shop.AS_OF; later ones are only counted."""
    found = Harm()
    for parcel in parcels:
        cause = _draw_cause(rng, parcel)
        if not cause:
            continue
        lag = _draw_lag(rng)
        opened_on = parcel.shipped_on + dt.timedelta(days=lag)
        if cause == "broken":
            _count(found, parcel, opened_on, lag)
        if opened_on <= shop.AS_OF:
            found.claims.append(_draw_claim(rng, parcel, cause, opened_on))
    found.claims.sort(key=lambda claim: (claim.opened_on, claim.parcel.parcel_id))
    for number, claim in enumerate(found.claims, 1):
        claim.claim_id = f"CL-{number:04d}"
    return found


def _draw_cause(rng: np.random.Generator, parcel: Packed) -> str:
    intact = math.prod(1 - true_damage_rate(item_type, parcel.packing_method) for item_type, _ in parcel.contents)
    shares = [1 - intact, *OTHER_CAUSES.values()]
    pick = int(rng.choice(len(shares) + 1, p=[*shares, 1 - sum(shares)]))
    return ["broken", *OTHER_CAUSES, ""][pick]


def _draw_lag(rng: np.random.Generator) -> int:
    while True:
        lag = round(float(rng.lognormal(math.log(LAG_MEDIAN), LAG_SIGMA)))
        if LAG_LEAST <= lag <= LAG_MOST:
            return lag


def _count(found: Harm, parcel: Packed, opened_on: dt.date, lag: int) -> None:
    month = f"{parcel.shipped_on:%Y-%m}"
    found.damaged_by_month[month] = found.damaged_by_month.get(month, 0) + 1
    found.lags.append(lag)
    if opened_on > shop.AS_OF:
        found.unreported_by_month[month] = found.unreported_by_month.get(month, 0) + 1


def _draw_claim(rng: np.random.Generator, parcel: Packed, cause: str, opened_on: dt.date) -> Claim:
    item_type, _ = parcel.contents[0]
    line = parcel.sale.line_of(item_type)
    worth = line.price_cents + line.shipping_cents // line.quantity
    claim = Claim("", parcel, cause, opened_on)
    claim.refund_cents = _share(rng, worth, (1.0, 0.7, 0.4), (0.7, 0.15, 0.15)) if cause != "late" else 500
    if cause == "broken":
        claim.damaged_part = ITEM_TYPES[item_type].part
        claim.packing_evidence = str(rng.choice([*EVIDENCE[parcel.packing_method], ""])) or None
        claim.salvage_cents = _share(rng, ITEM_TYPES[item_type].cost_cents, (0.0, 0.3, 0.6), (0.5, 0.3, 0.2))
        if rng.random() < 0.15:
            claim.refund_cents, claim.replacement_cents = 0, ITEM_TYPES[item_type].cost_cents
    if cause in ("broken", "not_as_listed") and rng.random() < 0.5:
        claim.return_cost_cents = int(rng.integers(24, 80)) * 50
    if cause in ("broken", "lost"):
        _follow(rng, claim, worth)
    return claim


def _share(rng: np.random.Generator, cents: int, shares: tuple[float, ...], chances: tuple[float, ...]) -> int:
    return int(cents * float(rng.choice(shares, p=chances)))


def _follow(rng: np.random.Generator, claim: Claim, worth_cents: int) -> None:
    """Filed within days unless forgotten; decided weeks later; a claim filed after the deadline is refused."""
    if rng.random() < 0.07:
        return
    filed_on = claim.opened_on + dt.timedelta(days=int(rng.integers(0, 12)))
    if filed_on > shop.AS_OF:
        return
    claim.filed_on, claim.claimed_cents = filed_on, worth_cents
    decided_on = filed_on + dt.timedelta(days=int(rng.integers(12, 48)))
    if decided_on > shop.AS_OF:
        return
    is_late = (filed_on - claim.parcel.shipped_on).days > CLAIM_DAYS[claim.parcel.carrier]
    claim.decided_on = decided_on
    claim.paid_cents = 0 if is_late else _share(rng, worth_cents, (1.0, 0.6, 0.0), (0.5, 0.15, 0.35))


def appeal(rng: np.random.Generator, claims: list[Claim]) -> None:
    """Since the shop appeals, the carrier's decision was the second one in a third of cases: it had cut or refused the
    claim before."""
    for claim in claims:
        filed_on, decided_on, claimed = claim.filed_on, claim.decided_on, claim.claimed_cents or 0
        if filed_on is None or decided_on is None or decided_on < shop.APPEALS_SINCE:
            continue
        if (decided_on - filed_on).days >= 20 and rng.random() < 1 / 3:
            claim.first_on = filed_on + dt.timedelta(days=8)
            claim.appealed_on = claim.first_on + dt.timedelta(days=int(rng.integers(2, 8)))
            claim.first_cents = int(claimed * 0.6) if claim.paid_cents == claimed else claim.paid_cents or 0


def as_known(claim: Claim, day: dt.date) -> dict[str, Any]:
    """The claim as the export of that day shows it: headers of the export, amounts in dollars."""
    state = claim.state_on(day)
    is_filed = state != "reported"
    decided_on, paid_cents = claim.decision_on(day)
    return {
        "case": claim.claim_id,
        "label": claim.parcel.parcel_id,
        "reported": f"{claim.opened_on:%Y-%m-%d}",
        "what": claim.cause,
        "state": state,
        "sent": f"{claim.filed_on:%Y-%m-%d}" if is_filed else None,
        "answered": f"{decided_on:%Y-%m-%d}" if decided_on else None,
        "broken part": claim.damaged_part,
        "photos show": claim.packing_evidence,
        "asked": _dollars(claim.claimed_cents) if is_filed else None,
        "got": _dollars(paid_cents),
        "refund": _dollars(claim.refund_cents),
        "sent again": _dollars(claim.replacement_cents),
        "return label": _dollars(claim.return_cost_cents),
        "worth back": _dollars(claim.salvage_cents),
        "buyer mail": f"b{claim.parcel.sale.buyer_number:05d}@example.invalid",
    }


def _dollars(cents: int | None) -> float | None:
    return None if cents is None else cents / 100
