"""Ways that exclude one another, in one row: whoever stocks other sizes no longer packs in the better of today's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from models.actions.action import Action, counted

SIZES = "sizes"


def one_row_each(actions: Sequence[Action]) -> list[Action]:
    """The actions, less those that another excludes; the one that stays names the other way and what that would bring.

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
    first = max(rivals, key=lambda each: each.expected_cents)
    if sizes.expected_cents > together:
        more = f" and {counted(len(rivals) - 1, 'more change')}" if len(rivals) > 1 else ""
        return [replace(sizes, other_way=f"{first.words}{more}", other_month_cents=together)]
    stays = replace(first, other_way=sizes.words, other_month_cents=sizes.expected_cents)
    return [stays if each is first else each for each in rivals]
