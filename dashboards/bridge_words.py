"""The margin's bridge as lines of text."""

from collections.abc import Iterator

import pandas as pd

from dashboards import formats, sentences
from dashboards.sentences.bridge import SPANS
from models.shop_units import Units

CHANGE, REACHED = "margin_step_change_cents", "margin_reached_cents"


def bridge_lines(rows: pd.DataFrame, before: str, after: str, units: Units) -> Iterator[str]:
    """Both margins and every step between them that changed anything. rows: of models.analyses.bridge."""
    currency, steps = units.currency, rows.iloc[:-1]
    first, last = (_line(f"margin {months}", cents, currency) for months, cents in margins(rows, before, after))
    yield first
    for _, step in steps[steps[CHANGE] != 0].iterrows():
        yield _line(f"  {step['bridge_step']}", int(step[CHANGE]), currency, sign=True) + _mostly(step, currency)
    yield last
    yield from sentences.lines_of(["bridge.spans_compared"], SPANS, rows, units)


def margins(rows: pd.DataFrame, before: str, after: str) -> list[tuple[str, int]]:
    """The two spans of months, each with its margin in minor units."""
    total = rows.iloc[-1]
    return [(before, int(total[REACHED]) - int(total[CHANGE])), (after, int(total[REACHED]))]


def _line(words: str, cents: int, currency: str, *, sign: bool = False) -> str:
    amount = formats.money(cents, currency)
    return f"{words:<30} {'+' + amount if sign and cents > 0 else amount:>14}"


def _mostly(step: pd.Series, currency: str) -> str:
    if step["main_item_change_cents"] == step[CHANGE]:
        return ""
    name, cents = _named(step["main_item_type"]), int(step["main_item_change_cents"])
    return f"  largest: {name} {'+' if cents > 0 else ''}{formats.money(cents, currency)}"


def _named(item_type: object) -> str:
    return "goods not known" if item_type == formats.UNNAMED else formats.plain(item_type, 30)
