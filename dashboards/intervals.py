"""Descriptions of values that are not certain: a point with the interval that its table gives."""

from collections.abc import Sequence
from dataclasses import replace

import pandas as pd

from dashboards import figures
from dashboards.panels import Frame
from dashboards.pictures.picture import Kind, Limit, Picture, Tone
from models import columns


def interval_points(
    rows: pd.DataFrame,
    frame: Frame,
    by: Sequence[str],
    column: str,
    low: str = "",
    high: str = "",
    beside: str = "",
    limits: Sequence[Limit] = (),
) -> Picture:
    """One point per row at its `by` label, with a line from the cell of `low` to the cell of `high`.

    Where one of the three is null no line, or no point, is drawn. beside: a column shown as a hollow mark in the same
    row, for what the value is compared with.
    """
    known = rows[rows[column].notna().to_numpy(bool)]
    drawn = known.head(figures.MOST_BARS)
    names = [column, *filter(None, [beside])]
    labels = figures.row_labels(drawn, by)
    made = [
        mark
        for at, name in enumerate(names)
        for mark in figures.marks(drawn, frame, labels, name, lambda _: Tone.PLAIN, series=at)
    ]
    if low and high:
        ends = zip(*(figures.values(drawn, name, frame.units) for name in (low, high)), strict=True)
        spoken = zip(*(figures.written(drawn, name, frame.units) for name in (low, high)), strict=True)
        limited = [
            replace(mark, low=low_end, high=high_end, text=f"{mark.text}{_interval(low_end, high_end, *words)}")
            for mark, (low_end, high_end), words in zip(made[: len(drawn)], ends, spoken, strict=True)
        ]
        made = [*limited, *made[len(drawn) :]]
    return Picture(
        Kind.POINTS,
        frame.table,
        tuple(made),
        measured=figures.axis(column, frame.units),
        series=tuple(columns.label(name) for name in names),
        limits=tuple(limits),
        left_out=len(known) - len(drawn),
    )


def _interval(low: float | None, high: float | None, below: str, above: str) -> str:
    """The interval behind its value; a limit that is not known leaves that side open."""
    if low is None or high is None:
        return "" if low is high else f" ({below} or more)" if high is None else f" ({above} or less)"
    return f" ({below} to {above})"
