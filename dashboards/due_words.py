"""What is due, in plain lines: deadlines by the day of making, then invoices and payments, then orders of cartons. The
same sentences as on the page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING

from dashboards import sentences
from dashboards.review_tables import Records
from dashboards.sentences import words
from dashboards.sentences.letters import MORE_DUE
from models.plain_rows import plain
from models.shop_units import Units

if TYPE_CHECKING:
    import pandas as pd

Tables = Mapping[str, "pd.DataFrame"]
DEADLINES = words(
    "disputes.overdue disputes.next disputes.next_by_records claims.step_overdue claims.step_this_week claims.step "
    "claims.step_by_records"
)
MOST = 8
# Of invoices and payments, and of cartons, on every surface.
INVOICES = words(
    "invoices.lines_missing invoices.lines_beyond invoices.two_totals invoices.rejected invoices.number_missing "
    "invoices.period_missing invoices.none_since invoices.waiting invoices.waiting_unpriced invoices.owed "
    "invoices.owed_undated invoices.owed_not_known"
)
CARTONS = words("stock.out stock.out_undated stock.short stock.order_now stock.count_again")


def due_lines(tables: Tables, units: Units, made_at: dt.datetime | None = None) -> list[str]:
    """What `dunnage watch` and `dunnage status` print of what is due: nothing where nothing is, or is built."""
    if not tables:
        return []
    others = (*INVOICES, *CARTONS)
    return [*deadline_lines(tables, units, made_at), *sentences.lines(others, Records(tables=tables), units)]


def deadline_lines(tables: Tables, units: Units, made_at: dt.datetime | None = None) -> list[str]:
    """The overdue and next deadlines of disputes and claims, the first MOST of them; the others are counted."""
    lines = sentences.lines(DEADLINES, Records(tables=tables, made_at=made_at), units)
    left = plain([{"row_count": len(lines) - MOST}] if len(lines) > MOST else [], ["row_count"])
    return [*lines[:MOST], *sentences.lines(("letter.more_due",), Records(tables={MORE_DUE: left}), units)]
