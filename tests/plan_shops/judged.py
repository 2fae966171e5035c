"""One shop's plan beside what followed, and beside the best that could have been done."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tests.plan_shops.advised import advised
from tests.plan_shops.carrying import carried_out
from tests.plan_shops.oracle import Demand, spent, stocking
from tests.plan_shops.trade import LATER, PAST, PlanShop, month

# Whether goods could be a little smaller is not in the trade: such rows are not carried out, nor counted.
UNTRIED = ("near miss",)
NEARLY_SURE = 0.9


@dataclass(frozen=True)
class Outcome:
    """Cents a month. best: what an oracle saves; promised, came: of the rows that were carried out, in their order.
    contradictions: rows that exclude another."""

    best: float
    spent: float
    promised: list[float]
    came: list[float]
    sure: list[bool]
    contradictions: list[str]


def outcome(shop: PlanShop) -> Outcome:
    """What the plan after the shop's past brought in the months that followed."""
    found = advised(shop)
    done = carried_out(shop, found, shop.later, LATER)
    rows = [row for row in found.actions if row["is_in_sum"] and row["action_kind"] not in UNTRIED]
    return Outcome(
        best(shop),
        spent(shop, shop.later) / LATER,
        [promised(row) for row in rows],
        [done.came.get(row["place"], 0.0) for row in rows],
        [row["confidence"] >= NEARLY_SURE for row in rows],
        list(done.contradictions),
    )


def promised(row: dict[str, object]) -> float:
    """What a row is expected to bring a month, what it costs once spread over a year."""
    return float(str(row["expected_month_cents"])) - float(str(row.get("once_cost_cents", 0))) / 12


def off_the_whole(shop: PlanShop) -> float:
    """How far the sum of the rows is from the whole plan carried out on the twelve months that it was reckoned on, as a
    share; board weighs nothing here, since the program leaves the scale weight as it was."""
    light = replace(shop, board_lb=0.0)
    found = advised(light)
    year = [each for each in light.past if each.month >= month(PAST - 12)]
    whole = sum(carried_out(light, found, year, 12).came.values())
    rows = [row for row in found.actions if row["action_kind"] not in UNTRIED]
    shown: float = sum(row["saving_month_cents"] - row["once_cost_cents"] / 12 for row in rows)
    return abs(shown / whole - 1) if whole else abs(shown)


def best(shop: PlanShop) -> float:
    """What the oracle saves a month of the later months, with as many sizes as are in use."""
    demand = Demand(shop, shop.later, LATER)
    chosen = demand.best(len({each.carton.code for each in shop.past}))
    now = spent(shop, shop.later) / LATER + stocking(shop, shop.cartons)
    return now - demand.month_cents(chosen)


def summary(found: list[Outcome]) -> dict[str, float]:
    """What the bench holds to its limits, over shops."""
    rows = [each for one in found for each in zip(one.promised, one.came, one.sure, strict=True)]
    sure = [came > 0 for _, came, is_sure in rows if is_sure]
    promised, came = (sum(each[at] for each in rows) for at in (0, 1))
    shares = sorted(sum(one.came) / one.best for one in found if one.best > 0)
    return {
        "found": came / sum(one.best for one in found),
        "least found": shares[0],
        "fifth found": shares[len(shares) // 5],
        "promised over came": promised / came,
        "sure": len(sure),
        "sure wrong": sum(not each for each in sure) / max(len(sure), 1),
        "contradictions": sum(len(one.contradictions) for one in found),
    }
