"""Columns that no table has: a surface writes them out of a row's codes and numbers."""

from __future__ import annotations

from models.fields import Definition, text

WRITTEN: dict[str, Definition] = {
    "action_words": text("What the action is", "tripod: carton C-46 instead of C-48", label="What to do"),
    "other_way": text("What would bring the same money instead", "Stock 6 sizes of carton", label="Or instead"),
    "go_on_with": text("Command or part of the page that leads on", "dunnage bench-sheets", label="Details"),
    "alarm_words": text("What happened", "9 claims were reported where 4 were to be expected", label="What happened"),
}
