"""Entries of packing methods: which one is in force; given rows, expected rows."""

from __future__ import annotations

from typing import Any

from models.sql_texts import sql_texts
from tests.shops import built, rows

FOAM: dict[str, Any] = {
    "packing_method": "foam", "effective_from": "2025-01-01", "material_cents": 300, "pack_minutes": 10,
    "clearance_in": 1.5,
}  # fmt: skip
PRICED = {**FOAM, "effective_from": "2026-02-01", "material_cents": 320}
ANNOUNCED = {**FOAM, "effective_from": "2026-12-01", "material_cents": 410, "clearance_in": 2.0}
TO_COME = {**FOAM, "packing_method": "pulp", "effective_from": "2027-01-01"}
SENT = {"parcel_id": "P1", "sale_id": "S1", "carton_code": "C-48", "packing_method": "foam"}


def in_force(last_on: str) -> list[tuple[Any, ...]]:
    """What packing decisions reckon with where the last parcel was sent on a day."""
    with built(
        sales=[{"sale_id": "S1"}],
        weights=[{**SENT, "shipped_on": last_on}],
        packing_methods=[FOAM, PRICED, ANNOUNCED, TO_COME],
        needed=("core.current_packing_methods",),
    ) as connection:
        found = rows(connection, sql_texts("queries")["packing_costs"])
    return [(row["packing_method"], row["material_cents"], row["clearance_in"]) for row in found]


def test_an_announced_entry_waits_for_its_day() -> None:
    assert in_force("2026-11-30") == [("foam", 320, 1.5), ("pulp", 300, 1.5)]
    assert in_force("2026-12-01") == [("foam", 410, 2.0), ("pulp", 300, 1.5)]
    assert in_force("2026-01-31")[0] == ("foam", 300, 1.5)
