"""The steps of the carton ladder, in their order."""

# Another service takes the parcel as it was packed: it needs no carton, no knife and no stock, so it stands first. The
# steps after it are those of cartons, on the service that was used.
SERVICE = "right service"
STEPS = ("spent", SERVICE, "right carton from stock", "cut down", "best sizes", "made to measure")
