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
    made = rules(pd.DataFrame([*chosen, *weekly(200), *losing]), 3)
    (action,) = service_actions(made)
    assert action.month_cents == {("tripod", CARRIAGE): 350}  # 21 parcels in twelve months, 2.00 each
    assert action.month_limits == (350, 350)
    assert (action.parcel_count, action.plan, action.is_in_sum) == (2, "services", True)
    assert action.evidence == (
        "analysis.service_rules, item_type tripod, carrier Tern, service quick, zone_low 5, "
        "other_carrier Skua, other_service slow"
    )
