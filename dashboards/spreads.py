"""Descriptions of how values spread: counts over the bins of a measure, and the limit that they are held against."""

from collections.abc import Sequence
from dataclasses import replace

import pandas as pd

from dashboards import figures
from dashboards.panels import Frame
from dashboards.pictures.picture import Kind, Limit, Picture, Tone


def histogram(
    rows: pd.DataFrame,
    frame: Frame,
    column: str,
    ends: tuple[str, str],
    is_bad: pd.Series,
    limits: Sequence[Limit] = (),
) -> Picture:
    """Counts of `column`, a bar per row from the first to the second cell of `ends`; bad ones as `is_bad` says."""
    lower, upper = (figures.values(rows, name, frame.units) for name in ends)
    named = zip(*(figures.written(rows, name, frame.units) for name in ends), strict=True)
    labels = [f"{low} to {high}" for low, high in named]
    made = figures.marks(rows, frame, labels, column)
    return Picture(
        Kind.HISTOGRAM,
        frame.table,
        tuple(
            replace(mark, at=low, until=high, tone=Tone.BAD if bad else Tone.PLAIN)
            for mark, low, high, bad in zip(made, lower, upper, is_bad, strict=True)
            if low is not None and high is not None
        ),
        measured=figures.axis(column, frame.units),
        along=figures.axis(ends[0], frame.units),
        limits=tuple(limits),
    )
