-- One row per zone: parcels priced by both tariffs.
{compared_by zone}
