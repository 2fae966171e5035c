"""Pieces of one item type that are wrapped together."""

from dashboards.sentences.entry import definition, where
from dashboards.sentences.grounds import having
from models.columns.goods import LEARNED, STATED

BUNDLES = "analysis.bundles"
# Bundles that are named one by one.
MOST = 4

ENTRIES = (
    where(
        "bundles.stated",
        "{item_type}: {bundled_count} pieces wrapped together measure {bundle_length_in x bundle_width_in x "
        "bundle_height_in}, as stated.",
        having(BUNDLES, "bundle_source", STATED, MOST),
    ),
    where(
        "bundles.learned",
        "{item_type}: {bundled_count} pieces lay in {parcel_count:parcel/parcels} inside {bundle_length_in x "
        "bundle_width_in x bundle_height_in}, by the bench log; they are taken to fit whatever holds that inside.",
        having(BUNDLES, "bundle_source", LEARNED, MOST),
    ),
    definition(
        "bundles.mean",
        "Goods fit a carton where their single pieces do, or where bundles and the pieces left over do, with the "
        "packing method's clearance around each. A bundle that is not stated is the least inside in which three "
        "parcels or more held just these pieces; nothing is taken to fit less.",
    ),
)
