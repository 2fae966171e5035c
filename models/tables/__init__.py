"""Contracts of every table that is built: core, marts and analysis."""

from __future__ import annotations

import pandera.pandas as pa

from models.tables.analysis import ANALYSIS
from models.tables.core import CORE
from models.tables.marts import MARTS

TABLES: dict[str, pa.DataFrameSchema] = {str(schema.name): schema for schema in (*CORE, *MARTS, *ANALYSIS)}
