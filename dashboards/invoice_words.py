"""What is due of invoices and payments, on a terminal: the same sentences as on the page, line by line."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd

from dashboards import sentences
from dashboards.parts import Records
from dashboards.sections.invoices import DUE
from models.shop_units import Units


def due_lines(tables: Mapping[str, pd.DataFrame], units: Units) -> list[str]:
    """What `dunnage watch` and `dunnage status` print of invoices: nothing where nothing is due."""
    return sentences.lines(DUE, Records(tables=tables), units)
