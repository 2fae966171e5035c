-- One row per packing method: its entry in force on the last day of shipping on record, else the next to come.
{current packing_method in core.packing_methods}
