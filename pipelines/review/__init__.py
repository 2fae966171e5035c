"""From tables to what a reader sees: the month's page and workbook, one parcel, one figure."""
