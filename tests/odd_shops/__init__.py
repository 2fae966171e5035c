"""Twelve invented shops that are unlike the demo, and what is true of each, kept beside its files."""
