"""Pieces of one item type that are wrapped together."""

from __future__ import annotations

from dashboards.parts import Records
from dashboards.sentences.entry import Rows, RowsOf, definition, of_rows
from models.columns.goods import LEARNED, STATED

BUNDLES = "analysis.bundles"
# Bundles that are named one by one.
MOST = 4


def _by(source: str) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(BUNDLES)
        return found[found["bundle_source"] == source].head(MOST)

    return rows


ENTRIES = (
    of_rows(
        BUNDLES,
        "bundles.stated",
        "{bundled_count} {item_type} wrapped together are stated as {bundle_length_in x bundle_width_in x "
        "bundle_height_in}.",
        _by(STATED),
    ),
    of_rows(
        BUNDLES,
        "bundles.learned",
        "{bundled_count} {item_type} lay in {parcel_count:parcel/parcels} inside {bundle_length_in x bundle_width_in x "
        "bundle_height_in}, by the bench log: they are taken to fit whatever holds that inside.",
        _by(LEARNED),
    ),
    definition(
        "bundles.mean",
        "Goods fit a carton where their single pieces do, or where bundles and the pieces left over do, with the "
        "packing method's clearance around each. A bundle that is not stated is the least inside in which three "
        "parcels or more held just these pieces; nothing is taken to fit less.",
    ),
)
