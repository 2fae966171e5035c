"""Which carton holds which goods: needed size, fit with a placement as certificate, outside size, cut-downs.

Goods are taken as rectangular, laid square to the carton's walls; a piece is never laid across the diagonal.
Nothing here knows a price: prices come in as arrays, fits go out as placements and matrices.
"""
