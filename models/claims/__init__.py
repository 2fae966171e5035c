"""The day of a claim: days and states, evidence, the money of each way out, and what a claim teaches. Pure."""
