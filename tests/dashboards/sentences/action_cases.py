"""Cases of the words that say what an action is, and where it leads on."""

from __future__ import annotations

from typing import Any

import pandas as pd

from tests.dashboards.sentences.cases import Case, row, rows

ACTIONS, OTHER_WAYS = "analysis.actions", "analysis.other_ways"
USED, SAME = {"carton_code": "K-2", "best_carton_code": "K-1"}, {"carton_code": "K-2", "best_carton_code": "K-2"}
ONE, SPAN = {"cut_low_in": 4.0, "cut_high_in": 4.0}, {"cut_low_in": 3.0, "cut_high_in": 4.0}
DATED = {"claim_task": "file", "claim_count": 1, "undated_claim_count": 0}
UNDATED = {
    "claim_task": "file",
    "claim_count": 2,
    "undated_claim_count": 2,
    "undated_opened_on": pd.Timestamp(2026, 5, 4),
}
WAYS = {"carrier": "Tern", "service": "quick", "other_carrier": "Skua", "other_service": "slow"}
# Of each kind of action what it needs to be told, what then hides it, and what it says.
TO_DO: dict[str, tuple[str, dict[str, Any], dict[str, Any], str]] = {
    "dispute": (
        "dispute",
        {"line_count": 1, "carrier": "Tern", "named": "wrong zone (1)"},
        {"carrier": None},
        "Dispute 1 charge with Tern: wrong zone (1)",
    ),
    "file": ("claim", DATED, {"claim_task": "ask"}, "File 1 claim"),
    "file_undated": ("claim", UNDATED, {"claim_count": 3}, "File 2 claims, reported since 4 May"),
    "file_part_undated": ("claim", UNDATED | {"claim_count": 3}, {"undated_claim_count": 0}, "known for 2 of them"),
    "ask": ("claim", {"claim_task": "ask", "claim_count": 2}, {"claim_task": "file"}, "Ask after 2 claims"),
    "contest": ("claim", {"claim_task": "contest", "claim_count": 2}, {"claim_task": "ask"}, "paid on 2 claims: less"),
    "carton": ("carton", USED, {"best_carton_code": None}, "anvil: carton K-1 instead of K-2"),
    "cut": ("cut", SAME | ONE, {"cut_high_in": 5.0}, "anvil: carton K-2, cut to 4 in"),
    "cut_span": ("cut", SAME | SPAN, {"cut_low_in": 4.0}, "cut to between 3 and 4 in"),
    "cut_other": ("cut", USED | ONE, {"carton_code": "K-1"}, "carton K-1, cut to 4 in, instead of K-2"),
    "cut_other_span": ("cut", USED | SPAN, {"cut_low_in": 4.0}, "cut to between 3 and 4 in, instead of K-2"),
    "lighter": (
        "near miss",
        {"change_in": None, "change_lb": 0.4, "charge_name": "heavy"},
        {"change_in": 1.0},
        "0.4 lb lighter would avoid heavy",
    ),
    "shorter": (
        "near miss",
        {"change": "longest side", "change_in": 0.5},
        {"change_in": None},
        "longest side 0.5 in shorter would avoid",
    ),
    "sizes": ("sizes", {"size_count": 1}, {"size_count": None}, "Stock 1 size of carton"),
    "sizes_buy": ("sizes", {"named": "\x1f".join("abcdef")}, {"named": None}, "buy a, b, c, d and 2 more"),
    "sizes_use_up": ("sizes", {"used_up": "\x1f".join("ab")}, {"used_up": None}, "use up a and b"),
    "packing": (
        "packing",
        {"best_method": "wool", "current_method": "straw"},
        {"best_method": None},
        "anvil: pack with wool instead of straw",
    ),
    "choice": (
        "choice",
        {"more_damaged_count": 1},
        {"more_damaged_count": None},
        "may cost less, with about 1 more broken parcel a year to be expected",
    ),
    "trial": ("trial", {"wait_parcels": 30}, {"wait_parcels": None}, "pack 30 more parcels each with"),
    "trial_of_any_size": ("trial", {"wait_parcels": None}, {"wait_parcels": 30}, "pack more parcels each with"),
    "service": (
        "other service",
        WAYS | {"zone_low": None, "zone_high": None},
        {"zone_low": "4"},
        "anvil: by Skua slow instead of Tern quick",
    ),
    "service_zone": (
        "other service",
        WAYS | {"zone_low": "B", "zone_high": "B"},
        {"zone_high": "C"},
        "anvil to zone B: by Skua slow instead of Tern quick",
    ),
    "service_zones": (
        "other service",
        WAYS | {"zone_low": "4", "zone_high": "6"},
        {"zone_low": "6"},
        "anvil to zones 4 to 6: by Skua slow instead of Tern quick",
    ),
    "charge": ("charge", {"named": "anvil"}, {"named": None}, "keep more in the item price: anvil"),
}
LEADS = {
    "disputes": "dispute",
    "claims": "claim",
    "cartons": "carton",
    "bench_sheets": "cut",
    "near_misses": "near miss",
    "sizes": "sizes",
    "packing": "trial",
    "charges": "charge",
    "services": "other service",
}


def _to_do(kind: str, shown: dict[str, Any], hidden: dict[str, Any], says: str) -> Case:
    other = row(ACTIONS, **{"action_kind": "other", **shown})
    return Case(
        row(ACTIONS, action_kind=kind, **shown), (row(ACTIONS, **{"action_kind": kind, **shown, **hidden}), other), says
    )


def _leads(kind: str) -> Case:
    """Where an action of the kind leads on; a command or a part of the page."""
    return Case(row(ACTIONS, action_kind=kind), (row(ACTIONS, action_kind="other"), rows(ACTIONS)))


CASES: dict[str, Case] = {
    **{f"action.{name}": _to_do(*case) for name, case in TO_DO.items()},
    **{f"go_on.{name}": _leads(kind) for name, kind in LEADS.items()},
    "action.more_ways": Case(
        row("analysis.other_ways", more_way_count=1),
        (row("analysis.other_ways", more_way_count=0),),
        "and 1 more change",
    ),
}
