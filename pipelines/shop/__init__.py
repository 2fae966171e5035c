"""The shop's folder: settings, warehouse, files that appear whole, backups, the log of runs."""
