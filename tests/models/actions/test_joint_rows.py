"""In which row a way stands that the chosen plan excludes."""

from __future__ import annotations

from models.actions.joint import done_together
from tests.models.actions.test_joint import OPENING, PARTS, action


def test_what_a_part_of_a_plan_excludes_stands_with_the_action_that_opens_the_plan() -> None:
    rival = action(20, carton="", plan="service")
    for order in ([OPENING, *PARTS], [*PARTS, OPENING]):
        kept = done_together([*order, rival, action(30, plan="stock")])
        assert [each.plan for each in kept] == ["sizes"]
        assert [other.plan for other in kept[0].other_ways] == ["stock", "service"]
