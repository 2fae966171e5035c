"""How cartons are judged and chosen: the section [cartons] of the shop's settings, and what it may say."""

from __future__ import annotations

from dataclasses import dataclass, field

from models.errors import SettingsError


@dataclass(frozen=True)
class Cartons:
    """judged_months: parcels of so many last months are judged; older ones were sent at other prices.
    sizes: most sizes to stock; 0 for as many as are in use. hold_out_months: later months on which a saving is
    checked. fixed_cents_a_month: what it costs to stock one size at all. take_up_cents: once, for a size that is not
    stocked yet; spread over a year. seconds: time limit of the choice.
    candidate_step_in: sides of new sizes are whole numbers of it; most_candidates: new sizes that come into question.
    keep, drop: codes of stocked sizes that must stay or go. cut_step_in: cut heights are whole numbers of it.
    cut_minutes: work of cutting one carton down. stock_months: how long an order should last.
    """

    judged_months: int = 24
    sizes: int = 0
    hold_out_months: int = 3
    fixed_cents_a_month: int = 500
    take_up_cents: int = 6000
    seconds: float = 60.0
    candidate_step_in: float = 1.0
    most_candidates: int = 400
    keep: list[str] = field(default_factory=list)
    drop: list[str] = field(default_factory=list)
    cut_step_in: float = 1.0
    cut_minutes: float = 2.0
    stock_months: float = 3.0


def checked_cartons(cartons: Cartons, where: str) -> Cartons:
    """The section if it can be used. Raises SettingsError that names the setting."""
    least = {
        "judged_months": 1,
        "sizes": 0,
        "hold_out_months": 1,
        "fixed_cents_a_month": 0,
        "take_up_cents": 0,
        "most_candidates": 1,
        "cut_minutes": 0,
    }
    least |= {"seconds": 1, "stock_months": 0}
    for name, value in least.items():
        if getattr(cartons, name) < value:
            raise _wrong(where, f"{name} = {getattr(cartons, name)}", f"state at least {value}")
    for name in ("candidate_step_in", "cut_step_in"):
        if not 0.1 <= getattr(cartons, name) <= 12:
            raise _wrong(where, f"{name} = {getattr(cartons, name)}", "state from 0.1 to 12 in")
    both = sorted(set(cartons.keep) & set(cartons.drop))
    if both or not all(isinstance(code, str) for code in (*cartons.keep, *cartons.drop)):
        raise _wrong(
            where, f"keep and drop both name {', '.join(map(str, both)) or 'something else than a code'}", "choose one"
        )
    return cartons


def _wrong(where: str, what: str, next_step: str) -> SettingsError:
    return SettingsError(where, what, "every choice of cartons", next_step)
