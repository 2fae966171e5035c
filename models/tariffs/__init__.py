"""A carrier's dated price list: its rules and prices as validated values, as tables for the engine, and its checks."""
