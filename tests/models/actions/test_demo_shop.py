"""What the demo shop is told to do: what was planted stands first, every action leads somewhere, sums are conserved."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from dashboards.sections import all_sections
from dashboards.word_columns import worded
from models.actions.action import APART
from models.shop_units import Units
from models.tables import TABLES
from pipelines.cli import COMMANDS
from pipelines.shop import warehouse
from tests.shops import rows

ACTIONS = "analysis.actions"
ROOT = Path(__file__).parents[3]


def test_the_long_carton_of_the_biography_is_the_first_thing_to_do(demo: warehouse.Connection) -> None:
    planted = tomllib.loads((ROOT / "sample_data" / "truth.toml").read_text(encoding="utf-8"))["long_carton"]
    first = rows(demo, "select * from analysis.actions order by place")[0]
    facts = ("action_kind", "item_type", "best_carton_code", "carton_code")
    expected = ["carton", "tripod", planted["avoided_by_carton"], planted["carton_code"]]
    assert [first[name] for name in facts] == expected
    # The surcharges alone over eighteen months; base price and carton come on top, fuel too.
    by_surcharge = planted["surcharges_net_of_discount_cents"] / 18
    assert first["saving_month_cents"] == pytest.approx(by_surcharge, rel=0.35)


def test_totals_are_the_sum_of_the_list(demo: warehouse.Connection) -> None:
    found = rows(demo, "select * from analysis.actions order by place")
    (totals,) = rows(demo, "select * from analysis.action_totals")
    counted = [each for each in found if each["is_in_sum"]]
    assert (totals["action_count"], totals["apart_count"]) == (len(counted), len(found) - len(counted))
    assert totals["expected_month_cents"] == sum(each["expected_month_cents"] for each in counted)
    assert totals["expected_once_cents"] == sum(each["expected_once_cents"] for each in counted)
    assert {each["action_kind"] for each in counted}.isdisjoint(APART)
    assert all(max(each["expected_month_cents"], each["expected_once_cents"]) >= 500 for each in found)


def test_all_actions_together_save_no_more_than_was_spent_and_lost(demo: warehouse.Connection) -> None:
    """Each cent saved is one of carriage, carton, packing or damage that was spent, or of a loss, in those months."""
    (totals,) = rows(demo, "select expected_month_cents from analysis.action_totals")
    (spent,) = rows(
        demo,
        """select
            sum(billed_cents + carton_cents + material_cents + labour_cents + damage_net_cents) / 12 as month_cents
        from marts.shipping_margin where shipped_month between '2025-11-01' and '2026-10-01'""",
    )
    assert 0 < totals["expected_month_cents"] < float(spent["month_cents"])


def test_every_action_names_a_table_and_a_command_or_part_of_the_page_that_there_is(demo: warehouse.Connection) -> None:
    titles = {section.title for section in all_sections()}
    for each in worded({ACTIONS: demo.execute(f"select * from {ACTIONS}").df()}, Units("USD"))[ACTIONS].to_dict(
        "records"
    ):
        assert each["action_words"]
        assert each["evidence"].split(",")[0] in TABLES
        command = re.match(r"dunnage ([a-z-]+)", each["go_on_with"])
        if command:
            assert command[1].replace("-", "_") in COMMANDS
        else:
            assert each["go_on_with"].removeprefix("the page, under ") in titles
