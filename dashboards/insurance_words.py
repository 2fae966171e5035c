"""Insuring parcels on a terminal: the same sentences as on the page."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd

from dashboards import sentences
from dashboards.parts import Records
from dashboards.sections.insurance import SAID
from dashboards.sentences.insurance import LEDGER as LEDGER
from dashboards.sentences.insurance import RULES as RULES
from models.shop_units import Units


def said(tables: Mapping[str, pd.DataFrame], units: Units) -> list[str]:
    """What the records say of insuring, and how to read the figures."""
    return sentences.lines((*SAID, "insurance.no_premium", "insurance.means"), Records(tables=tables), units)
