-- One row per month of shipping, carrier and service; account fees stand as `account`, with no parcel.
{margin_by carrier, service}
