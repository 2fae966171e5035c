"""What is due, in plain lines: deadlines by the day of making, then invoices and payments, then orders of cartons. The
same sentences as on the page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import pandas as pd

from dashboards import sentences
from dashboards.parts import Records
from dashboards.sections import cartons, invoices
from dashboards.sentences.letters import MORE_DUE
from dashboards.words import words
from models.shop_units import Units

Tables = Mapping[str, pd.DataFrame]
DEADLINES = words(
    "disputes.overdue disputes.next disputes.next_by_records claims.step_overdue claims.step_this_week claims.step "
    "claims.step_by_records"
)
MOST = 8


def due_lines(tables: Tables, units: Units, made_at: dt.datetime | None = None) -> list[str]:
    """What `dunnage watch` and `dunnage status` print of what is due: nothing where nothing is."""
    others = (*invoices.DUE, *cartons.DUE)
    return [*deadline_lines(tables, units, made_at), *sentences.lines(others, Records(tables=tables), units)]


def deadline_lines(tables: Tables, units: Units, made_at: dt.datetime | None = None) -> list[str]:
    """The overdue and next deadlines of disputes and claims, the first MOST of them; the others are counted."""
    lines = sentences.lines(DEADLINES, Records(tables=tables, made_at=made_at), units)
    left = pd.DataFrame({"row_count": [len(lines) - MOST]} if len(lines) > MOST else {"row_count": []})
    return [*lines[:MOST], *sentences.lines(("letter.more_due",), Records(tables={MORE_DUE: left}), units)]
