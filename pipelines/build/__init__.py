"""From accepted records to marts and analyses: SQL models, rating, cartons, the shop's own logs."""
