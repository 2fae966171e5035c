"""In which row a way stands that the chosen plan excludes."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd

from models.actions.action import CARRIAGE, PACKING
from models.actions.joint import done_together, excludes
from models.actions.priced_together import priced_together
from models.actions.savings import carton_actions
from models.actions.services import service_actions
from models.actions.sizes import size_actions
from models.analyses.actions import the_plan
from tests.models.actions.test_joint import OPENING, PARTS, action
from tests.models.actions.test_services import advised_rule
from tests.models.actions.test_sizes import ADVICE, RUN, moved, saving
from tests.models.actions.test_sources import carton, frame


def test_what_a_part_of_a_plan_excludes_stands_with_the_action_that_opens_the_plan() -> None:
    rival = action(20, carton="", plan="service")
    for order in ([OPENING, *PARTS], [*PARTS, OPENING]):
        kept = done_together([*order, rival, action(30, plan="stock")])
        assert [each.plan for each in kept] == ["sizes"]
        assert [other.plan for other in kept[0].other_ways] == ["stock", "service"]


RULE = {"item_type": "tripod", "carrier": "Tern", "service": "quick", "zone_low": "5", "zone_high": "6"}
RULE |= {"other_carrier": "Skua", "other_service": "slow"}
(SERVICE,) = service_actions(advised_rule(100, 100, 100))


def together(cents: int, **more: object) -> dict[str, object]:
    """What a change of the tripod's carton and the rule save together beyond what each saves alone."""
    change = {"carton_code": "C-48", "best_carton_code": "C-46", "size_source": "stock", "is_cut": False}
    counts = {"is_saving_alone": True, "parcel_count": 9, "refused_parcel_count": 0, "joint_month_cents": cents}
    return {**RULE, **change, **counts, **more}


def in_stock(cents: int | None, saved: int = 12_000) -> list[tuple[str, int]]:
    """Kinds and amounts of the plan of a change of carton that saves so much a year and of the rule's 10.00 a month."""
    stock = None if cents is None else pd.DataFrame([together(cents)])
    found = [*carton_actions(frame(carton(saving_cents=saved, saved_month_count=12))), SERVICE]
    return [(each.action_kind, each.saving_cents) for each in done_together(priced_together(found, stock, None))]


def test_a_carton_and_a_service_for_the_same_parcels_are_both_done_where_that_brings_more() -> None:
    # By hand: 10.00 a month by the service; 10.00 by the carton, of which 4.00 are saved by either.
    assert in_stock(-400) == [("carton", 600), ("other service", 1_000)]
    assert in_stock(300) == [("carton", 1_300), ("other service", 1_000)]
    # A carton that saves nothing more on that service is not changed; one that was not priced with it is a choice.
    assert in_stock(-1_000) == [("other service", 1_000)]
    assert in_stock(None, 24_000) == [("carton", 2_000)]
    assert in_stock(-1_900, 24_000) == [("carton", 2_000)]


def test_what_is_left_out_beside_a_row_is_named_by_it() -> None:
    found = [*carton_actions(frame(carton(saving_cents=6_000, saved_month_count=12))), SERVICE]
    (kept,) = done_together(priced_together(found, pd.DataFrame([together(-600)]), None))
    assert kept.action_kind == "other service"
    assert [each.action_kind for each in kept.other_ways] == ["carton"]


def test_what_adds_less_than_the_floor_to_a_greater_one_is_its_other_way() -> None:
    found = [*carton_actions(frame(carton(saving_cents=60_000, saved_month_count=12))), SERVICE]
    plans = {
        joint: the_plan(priced_together(found, pd.DataFrame([together(joint)]), None), 500) for joint in (-490, -510)
    }
    assert [(each.action_kind, each.saving_cents) for each in plans[-490]] == [
        ("carton", 5_000),
        ("other service", 510),
    ]
    (kept,) = plans[-510]
    assert (kept.saving_cents, [each.action_kind for each in kept.other_ways]) == (5_000, ["other service"])
    assert kept.other_month_cents == 990  # of 10.00, by its chance


def test_sizes_are_priced_with_services_as_their_parcels_are_added_up() -> None:
    """A new size, a stocked carton, one in which parcels lose, and one that late months do not bear out."""
    worse = moved(
        item_type="tripod", carton_code="C-50", best_carton_code="C-52", is_bought=False, saving_cents=-12_000
    )
    shown = moved(item_type="tripod", carton_code="C-44", best_carton_code="C-42", is_bought=False)
    new = moved(item_type="tripod", carton_code="C-48", best_carton_code="N-1")
    found = [*size_actions(RUN, ADVICE, saving(200, 190, 210), frame(new, shown, worse)), SERVICE]
    pairs = [
        together(-100, best_carton_code="N-1", size_source="new"),
        together(-10, carton_code="C-44", best_carton_code="C-42"),
        together(-1, carton_code="C-50", best_carton_code="C-52", is_saving_alone=False),
        together(-7_000, carton_code="C-30", best_carton_code="C-42"),
    ]
    tied = priced_together(found, None, pd.DataFrame(pairs))
    assert [sum(each.joint_cents.values()) for each in tied] == [-1, -100, -10, 0]
    assert not any(excludes(each, SERVICE) for each in tied[:3])
    sizes, change, service = done_together(tied)
    # The smaller of each two has what is left: the loss of what must leave its carton, and the service beside cartons.
    assert sizes.month_cents == {("tripod", CARRIAGE): 100_000 - 1_000 - 1}
    assert (change.saving_cents, service.saving_cents) == (100_000, 1_000 - 100 - 10)
    assert SERVICE.month_limits and service.month_limits == tuple(cents - 110 for cents in SERVICE.month_limits)
    # A rule that came after the sizes were chosen was not priced with them.
    later = replace(SERVICE, evidence=f"{SERVICE.evidence} later")
    assert excludes(tied[1], later) and excludes(tied[2], later)


def repacked(cents: int) -> pd.DataFrame:
    """What a method of less room and the rule save together beyond what each saves alone."""
    counts = {"parcel_count": 9, "refused_parcel_count": 0, "joint_month_cents": cents}
    return pd.DataFrame([{**RULE, "current_method": "paper", "best_method": "foam", **counts}])


FOAM = replace(
    action(500, action_kind="packing"),
    facts={"item_type": "tripod", "best_method": "foam", "current_method": "paper"},
    plan="cartons in stock",
    cartons=frozenset({("tripod", "")}),
)


def with_foam(cents: int | None, carton_too: int = 0) -> list[tuple[str, int]]:
    """Kinds and amounts of the plan of a method that saves 5.00 a month, a carton that saves 6.00, and the rule."""
    found = [FOAM, *carton_actions(frame(carton(saving_cents=7_200, saved_month_count=12))), SERVICE]
    stock, methods = pd.DataFrame([together(carton_too)]), None if cents is None else repacked(cents)
    return [
        (each.action_kind, each.saving_cents) for each in done_together(priced_together(found, stock, None, methods))
    ]


def test_a_packing_method_and_a_service_are_both_done_where_that_brings_more() -> None:
    assert with_foam(None) == [("carton", 600), ("other service", 1_000)]
    assert with_foam(-300) == [("packing", 200), ("carton", 600), ("other service", 1_000)]
    # The method's gain begins in the new carton, which loses 1.00 a month on the other service: it must bring that too.
    assert with_foam(-300, carton_too=-700) == [("packing", 100), ("other service", 1_000)]
    assert with_foam(-450, carton_too=-700) == [("packing", 500), ("carton", 600)]


def test_what_brings_nothing_and_excludes_nothing_is_no_other_way() -> None:
    (done,) = done_together([action(50), action(-5, "K-2")])
    assert (done.saving_cents, list(done.other_ways)) == (50, [])


def test_what_two_save_together_is_added_to_the_cent_where_the_lesser_saves_no_carriage_itself() -> None:
    lesser = action(0, facts={"item_type": "tripod"}, evidence="packed", joint_cents={"other": 7})
    lesser = replace(lesser, month_cents={("tripod", PACKING): 20})
    found = done_together([lesser, action(50, evidence="other")])
    assert found[0].month_cents == {("tripod", PACKING): 20, ("tripod", CARRIAGE): 7}
