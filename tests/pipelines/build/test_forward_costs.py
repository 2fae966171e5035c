"""What to charge, held to months that it has not seen: a sample of tests/benchmarks/bench_guidance.py."""

from __future__ import annotations

import pandas as pd
import pytest

from pipelines.build.forward_costs import forward_costs
from tests.benchmarks.bench_guidance import covered, shop
from tests.shops import built


def test_charges_cover_eight_of_ten_held_out_parcels_after_an_announced_rise() -> None:
    assert covered(shop(1, 0.08)) == pytest.approx(0.8, abs=0.03)


def test_a_shop_without_tariff_or_parcels_keeps_its_costs() -> None:
    with built() as connection:
        assert forward_costs(connection, pd.Timestamp("2026-10-31").date()).empty
