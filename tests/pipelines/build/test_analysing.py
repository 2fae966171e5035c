"""What the analyses are given: a mart is fetched once for neighbours, and none sees what another did to it."""

from __future__ import annotations

import pandas as pd
import pytest

from models.analyses import Analysis, Question
from pipelines.build import analysing
from pipelines.shop import warehouse
from tests.shops import built

CELLS, COSTS = "marts.exposure_cells", "packing_costs"


def test_neighbours_share_a_mart_and_nothing_else(monkeypatch: pytest.MonkeyPatch) -> None:
    fetched: list[str] = []
    read = analysing._read

    def counted(connection: warehouse.Connection, name: str) -> pd.DataFrame:
        fetched.append(name)
        return read(connection, name)

    def spoil(question: Question) -> dict[str, pd.DataFrame]:
        cells = question.table(CELLS)
        assert cells["parcel_count"].tolist() == [1]
        cells["parcel_count"] = 99
        cells.loc[:, "damage_count"] = 99
        cells["spoilt"] = True
        return {}

    def look(question: Question) -> dict[str, pd.DataFrame]:
        cells = question.table(CELLS)
        assert cells[["parcel_count", "damage_count"]].values.tolist() == [[1, 0]]
        assert "spoilt" not in cells
        return {}

    monkeypatch.setattr(analysing, "_read", counted)
    reads = (CELLS, COSTS)
    analyses = [Analysis("first", reads, (), look), Analysis("second", reads, (), look)]
    with built(sales=[{"sale_id": "S1"}], weights=[{"parcel_id": "P1", "sale_id": "S1"}]) as connection:
        analysing.analyse(connection, {}, analyses)
        assert fetched == [CELLS, COSTS, COSTS]  # a query may rest on what the first one wrote
        analysing.analyse(connection, {}, [Analysis("spoils", reads, (), spoil), *analyses])
        analysing.analyse(connection, {}, [Analysis("other", (COSTS,), (), lambda question: {}), *analyses])
