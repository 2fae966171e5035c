"""The steps of the carton ladder, in their order."""

from __future__ import annotations

STEPS = ("spent", "right carton from stock", "cut down", "best sizes", "made to measure")
