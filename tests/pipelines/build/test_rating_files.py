"""Several price lists of one carrier, each for services of its own."""

from __future__ import annotations

from datetime import date
from typing import Any

from models.tariffs.checks import checked_together
from models.tariffs.rules import Tariff
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.pipelines.parcels import rated

WEIGHT: dict[str, Any] = {"scale_weight_lb": 5.0}


def listed(code: str, service: str, first: str, rate: int, last: str = "") -> Tariff:
    text = rules_text(code, effective_from=first, effective_to=last).replace('"plain"', f'"{service}"')
    text = text.replace(f'carrier = "{code}"', 'carrier = "trial"')
    return parsed(f"{code}.toml", text, lambda name: prices_text(rate=rate).replace("plain", service))


GROUND = listed("ground", "ground", "2025-01-01", 100)
AIR = listed("air", "air", "2025-05-01", 300)


def test_each_service_is_priced_by_the_list_that_states_it() -> None:
    asked = [
        WEIGHT | {"service": "ground"},
        WEIGHT | {"service": "air"},
        # The list for air begins later, and that for the ground does not state it.
        WEIGHT | {"service": "air", "shipped_on": date(2025, 4, 30)},
        WEIGHT | {"service": "sea"},
    ]
    for order in ([GROUND, AIR], [AIR, GROUND]):
        found = rated(order, *asked)
        assert found["expected_cents"].fillna(0).tolist() == [500, 1500, 0, 0]
        assert found["tariff_code"].tolist() == ["ground", "air", "ground", "air"]
        assert found["lacking"].tolist()[2:] == ["service not in the tariff"] * 2


def test_lists_of_other_services_may_hold_on_the_same_days() -> None:
    assert checked_together([GROUND, AIR]) == []
    again = listed("other", "ground", "2025-06-01", 200)
    found = checked_together([GROUND, AIR, again])
    assert [(each.level, each.file) for each in found] == [("stop", "ground.toml")]
    ended = listed("ended", "ground", "2024-01-01", 90, last="2024-12-01")
    assert [each.level for each in checked_together([ended, GROUND, AIR])] == ["warn"]
