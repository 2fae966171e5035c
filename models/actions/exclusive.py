"""Ways that exclude one another, in one row: whoever stocks other sizes no longer packs in the better of today's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from models.actions.action import Action

SIZES = "sizes"


def one_row_each(actions: Sequence[Action]) -> list[Action]:
    """The actions, less those that another excludes; the one that stays knows the other ways and what they would bring.

    Sizes to stock exclude changes of carton, cuts and smaller parcels of the same item types. The way with the
    greater expected saving a month stays, the sizes only where they bring more than all that they exclude.
    """
    for sizes in (each for each in actions if each.action_kind == SIZES):
        rivals = [
            each for each in actions if each is not sizes and each.plan and each.month_cents.keys() & sizes.month_cents
        ]
        others = [each for each in actions if each is not sizes and each not in rivals]
        return [*others, *_chosen(sizes, rivals)]
    return list(actions)


def _chosen(sizes: Action, rivals: list[Action]) -> list[Action]:
    if not rivals:
        return [sizes]
    together = sum(each.expected_cents for each in rivals)
    ranked = sorted(rivals, key=lambda each: -each.expected_cents)
    if sizes.expected_cents > together:
        return [replace(sizes, other_ways=ranked, other_month_cents=together)]
    stays = replace(ranked[0], other_ways=[sizes], other_month_cents=sizes.expected_cents)
    return [stays if each is ranked[0] else each for each in rivals]
