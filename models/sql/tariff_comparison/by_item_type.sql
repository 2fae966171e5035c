-- One row per item type: parcels priced by both tariffs.
{compared_by item_type}
