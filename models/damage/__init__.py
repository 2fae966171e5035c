"""Damage: how often goods break, what it costs, which packing method pays, and whether a change worked.

Pure functions on arrays and frames. Exposure is real-valued throughout: parcels at risk, corrected for the claims
that are still to come (models/damage/reporting_lags.py). A claim is counted once, in the month its parcel was shipped.
"""
