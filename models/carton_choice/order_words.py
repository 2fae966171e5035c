"""The words of orders: whether to order, what the expected use follows, and by which rule the quantity was found.

No library is loaded: a command that only tells what is due answers at once.
"""

NOT_KNOWN, NOT_USED, RECOUNT, NOT_COUNTED = "use not known", "not used", "count again", "not counted"
OUT, NOT_LATELY, NO_LEAD_TIME = "out of stock", "not used lately", "lead time not known"
SHORT, ORDER_NOW, ORDER_LATER = "short before delivery", "order now", "order later"
# Instead of one of these, where another carton costs less than so large an order.
NOT_PAYING = "use another carton"
# In the order in which they are looked for.
FOUND = (NOT_KNOWN, NOT_USED, RECOUNT, NOT_COUNTED, OUT, NOT_LATELY, NO_LEAD_TIME, SHORT, ORDER_NOW, ORDER_LATER)
STATES = (*FOUND, NOT_PAYING)

# What to do with a size: bought, kept in stock, used up since others take its parcels; chosen, yet no parcel's best.
BUY, KEEP, USE_UP, NO_USE = "buy", "keep", "use up", "no use found"

# An order that lasts no longer is never held against another carton (common practice, no source).
LONG_MONTHS = 12

SEASON, RECENT = "last year's season", "recent weeks"
LEAST_COST, MONTHS_OF_STOCK = "least cost of a year", "months of stock"
