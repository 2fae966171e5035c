-- One row per month of shipping, carrier and zone; account fees stand as `account`, with no parcel.
{margin_by carrier, zone, zone_band}
