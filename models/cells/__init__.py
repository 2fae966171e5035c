"""Strict reading of text cells: numbers, dates, units, currencies."""
