-- One row per month of shipping and channel; account fees stand as `account`, with no parcel.
{margin_by channel}
