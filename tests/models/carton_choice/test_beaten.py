"""Which offer of a carton another one beats, against its meaning word by word."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from models.carton_choice.beaten import beats

OFFERS = st.lists(
    st.tuples(
        st.lists(st.sampled_from((10.0, 12.0)), min_size=3, max_size=3),
        st.sampled_from((100, 120)),
        st.sampled_from((math.nan, 0.5, 0.8)),
    ),
    min_size=1,
    max_size=6,
)


@given(OFFERS)
def test_one_beats_what_is_no_better_anywhere(offers: list[tuple[list[float], int, float]]) -> None:
    sizes, prices, tares = zip(*offers, strict=True)
    found = beats(np.array(sizes), prices, tares)
    for one, (sides, cents, tare) in enumerate(offers):
        for other, (larger, dearer, heavier) in enumerate(offers):
            mine, its = (*sides, cents, tare), (*larger, dearer, heavier)
            if math.isnan(tare) and math.isnan(heavier):
                mine, its = mine[:-1], its[:-1]
            is_no_worse = all(each <= that for each, that in zip(mine, its, strict=True))
            assert found[one, other] == (is_no_worse and (mine != its or one < other))


def test_what_is_beaten_leaves_one_that_beats_it() -> None:
    found = beats(np.array([[10.0, 10, 10], [10, 10, 10], [12, 10, 10]]), [100, 100, 100], [0.5, 0.5, 0.5])
    assert found.tolist() == [[False, True, True], [False, False, True], [False, False, False]]
