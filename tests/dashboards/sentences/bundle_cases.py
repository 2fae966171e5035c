"""Cases of the sentences on pieces wrapped together."""

from __future__ import annotations

from tests.dashboards.sentences.cases import Case, Tables, row, rows

BUNDLES = "analysis.bundles"


def _bundle(source: str, parcels: int | None) -> Tables:
    sides = {"bundle_length_in": 44.0, "bundle_width_in": 8.0, "bundle_height_in": 7.0}
    return row(BUNDLES, item_type="anvil", bundled_count=2, bundle_source=source, parcel_count=parcels, **sides)


CASES: dict[str, Case] = {
    "bundles.stated": Case(
        _bundle("stated", None),
        (_bundle("learned", 3), rows(BUNDLES)),
        "anvil: 2 pieces wrapped together measure 44 x 8 x 7",
    ),
    "bundles.learned": Case(
        _bundle("learned", 3),
        (_bundle("stated", None), rows(BUNDLES)),
        "anvil: 2 pieces lay in 3 parcels inside 44 x 8 x 7",
    ),
}
