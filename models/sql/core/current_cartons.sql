-- One row per carton of the catalogue: its entry in force on the last day of shipping on record, else the next to come.
{current carton_code in core.cartons}
