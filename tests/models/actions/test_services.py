"""Parcels that another service would carry for less, as actions."""

from __future__ import annotations

import pandas as pd

from models.actions.action import CARRIAGE
from models.actions.services import service_actions
from models.analyses.services import rules
from tests.models.analyses.test_services import cell, weekly


def test_only_what_is_advised_is_an_action_with_its_limits_for_the_parcels_of_a_month() -> None:
    chosen = [cell(ago, 300) for ago in range(3, 12)]
    losing = [cell(5, 300, item_type="anvil"), *weekly(-100, item_type="anvil")]
    made = rules(pd.DataFrame([*chosen, *weekly(200), *losing]), 3, lambda rows: [0] * len(rows))
    (action,) = service_actions(made)
    assert action.month_cents == {("tripod", CARRIAGE): 350}  # 21 parcels in twelve months, 2.00 each
    assert action.month_limits == (350, 350)
    assert (action.parcel_count, action.plan, action.is_in_sum) == (2, "services", True)
    assert action.evidence == (
        "analysis.service_rules, item_type tripod, carrier Tern, service quick, zone_low 5, "
        "other_carrier Skua, other_service slow"
    )


def advised_rule(mean: int, low: int, high: int, within: int = 0) -> pd.DataFrame:
    """One rule of twenty parcels held out, with the limits of its saving and what its learned prices may be off."""
    named = {"item_type": "tripod", "carrier": "Tern", "service": "quick", "zone_low": "5", "zone_high": "6"}
    found = {"saving_per_parcel_cents": mean, "saving_low_cents": low, "saving_high_cents": high, "is_advised": True}
    counts = {"parcels_per_month": 10, "service_month_cents": 10 * mean, "held_out_parcel_count": 20}
    other = {"other_carrier": "Skua", "other_service": "slow", "learned_within_cents": within}
    return pd.DataFrame([{**named, **other, **counts, **found}])


def test_the_chance_is_that_of_a_saving_above_zero() -> None:
    """A normal table: 0.9750 of it lies below 1.96 standard errors, 0.8365 below 0.98."""
    chances = [
        service_actions(advised_rule(*given))[0].confidence
        for given in ((100, 0, 200), (50, -50, 150), (100, 0, 200, 1000), (5, 5, 5))
    ]
    assert [round(chance, 4) for chance in chances] == [0.975, 0.8365, 0.8365, 0.99]
