"""The column map of sixty invented layouts, half of them held out when the header words were chosen."""

from __future__ import annotations

import statistics
from functools import cache

import pytest

from tests.pipelines.intake.layouts import LAYOUTS, is_held_out
from tests.pipelines.intake.layouts.measured import Judged, judged


@cache
def found(*, held_out: bool) -> list[Judged]:
    return [judged(layout) for layout in LAYOUTS if is_held_out(layout) is held_out]


def test_there_are_sixty_layouts_and_half_are_held_out() -> None:
    assert len(LAYOUTS) == len({layout.name for layout in LAYOUTS}) == 60
    assert sum(map(is_held_out, LAYOUTS)) == 30
    assert {layout.language for layout in LAYOUTS} == {"en", "de", "fr", "es", "it", "pt"}
    assert sum(len(layout.files) > 1 for layout in LAYOUTS) >= 10


@pytest.mark.parametrize("held_out", [True, False])
def test_nine_columns_of_ten_are_right_and_eight_without_a_question(held_out: bool) -> None:
    layouts = found(held_out=held_out)
    columns = sum(each.columns for each in layouts)
    assert sum(each.right for each in layouts) >= 0.9 * columns
    assert sum(each.unasked for each in layouts) >= 0.8 * columns


@pytest.mark.parametrize("held_out", [True, False])
def test_no_wrong_column_is_proposed_without_a_question(held_out: bool) -> None:
    assert [(each.layout.name, each.wrong) for each in found(held_out=held_out) if each.wrong] == []


@pytest.mark.parametrize("held_out", [True, False])
def test_most_layouts_need_nothing_by_hand_and_none_more_than_two_settings(held_out: bool) -> None:
    settings = [each.settings for each in found(held_out=held_out)]
    assert statistics.median(settings) == 0
    assert max(settings) <= 2
