"""How much of a comparison is left where another factor is held alike."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from models.damage.confounding import share_left


def cells(*rows: tuple[str, str, str, int]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=["item_type", "packing_method", "carrier", "parcel_count"])


def test_by_hand() -> None:
    """Two carriers, 30 and 10 by one, 10 and 30 by the other: left 7.5 + 7.5 of .25 x (39 + 39)."""
    rows = cells(("x", "foam", "A", 30), ("x", "paper", "A", 10), ("x", "foam", "B", 10), ("x", "paper", "B", 30))
    assert share_left(rows, ("foam", "paper"), ["item_type"], "carrier") == pytest.approx(15 / (0.25 * 78))


def test_a_carrier_of_its_own_leaves_nothing_and_one_for_both_leaves_all() -> None:
    apart = cells(("x", "foam", "A", 50), ("x", "paper", "B", 50))
    assert share_left(apart, ("foam", "paper"), ["item_type"], "carrier") == 0.0
    alike = apart.assign(carrier="A")
    assert share_left(alike, ("foam", "paper"), ["item_type"], "carrier") == pytest.approx(1.0, abs=0.02)
    # What another method does is no matter, nor goods that only one of them was used on.
    others = cells(("x", "straw", "B", 90), ("y", "foam", "B", 90))
    more = pd.concat([alike, others])
    assert share_left(more, ("foam", "paper"), ["item_type"], "carrier") == pytest.approx(1.0, abs=0.02)


def test_many_small_levels_dealt_by_chance_leave_about_all() -> None:
    draw = np.random.default_rng(8)
    dealt = [("x", ("foam", "paper")[draw.random() < 0.3], f"C{draw.integers(150)}", 1) for _ in range(400)]
    assert share_left(cells(*dealt), ("foam", "paper"), ["item_type"], "carrier") == pytest.approx(1.0, abs=0.15)
    single = [("x", ("foam", "paper")[at % 2], f"C{at}", 1) for at in range(40)]
    assert share_left(cells(*single), ("foam", "paper"), ["item_type"], "carrier") == 1.0
