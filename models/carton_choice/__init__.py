"""Which carton each parcel should have had: what it needed, what is on offer, what it would have cost.

Plain values and frames in and out. Prices come from the one rating, which the caller runs between the two halves:
`offers` says what may be priced, `ladder` and the others read the prices.
"""
