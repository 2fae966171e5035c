"""Columns of words: written beside the codes and numbers of their rows before anything is shown.

What stands in them are entries of dashboards/sentences without their full stop, several parted by semicolons.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

import pandas as pd

from dashboards import sentences
from dashboards.review_tables import Records
from dashboards.sentences import words
from dashboards.sentences.actions import ACTIONS, OTHER_WAYS
from dashboards.sentences.claims import ALARMS
from dashboards.sentences.entry import listed
from models.shop_units import Units

Tables = Mapping[str, pd.DataFrame]
TO_DO = words(
    "action.dispute action.file action.file_undated action.file_part_undated action.ask action.contest action.carton "
    "action.cut action.cut_span action.cut_other action.cut_other_span action.lighter action.shorter action.sizes "
    "action.sizes_buy action.sizes_use_up action.packing action.choice action.trial action.trial_of_any_size "
    "action.charge action.service action.service_zone action.service_zones"
)
GO_ON = words(
    "go_on.disputes go_on.claims go_on.cartons go_on.bench_sheets go_on.near_misses go_on.sizes go_on.packing "
    "go_on.charges go_on.services"
)
LISTS = ("named", "used_up")
HAPPENED = ("alarm.claims", "alarm.share", "alarm.cost")


def worded(tables: Tables, units: Units) -> dict[str, pd.DataFrame]:
    """The tables, those with words to write with the columns that hold them."""
    found = dict(tables)
    if ACTIONS in tables:
        actions = tables[ACTIONS].reset_index(drop=True)
        words = {
            "action_words": written(actions, ACTIONS, TO_DO, units),
            "go_on_with": written(actions, ACTIONS, GO_ON, units),
        }
        lists = {name: actions[name].map(listed, na_action="ignore") for name in LISTS}
        found[ACTIONS] = actions.assign(**words, **lists, other_way=_other_ways(tables, units))
    if ALARMS in tables:
        alarms = tables[ALARMS].reset_index(drop=True)
        found[ALARMS] = alarms.assign(alarm_words=written(alarms, ALARMS, HAPPENED, units))
    return found


def written(rows: pd.DataFrame, table: str, ids: Sequence[str], units: Units) -> pd.Series[str]:
    """What the entries on the table say of each row, null where none is true of it."""
    records = Records(tables={table: rows})
    written: dict[int, list[str]] = defaultdict(list)
    for id in ids:
        for row, sentence in sentences.entries()[id].stated_by_row(records):
            written[row].append(sentences.text(sentence, units))
    return pd.Series(["; ".join(written[row]) or None for row in range(len(rows))], dtype="str")


def _other_ways(tables: Tables, units: Units) -> pd.Series[str]:
    """The other way of each action, by its place; null where it excludes none."""
    ways = tables.get(OTHER_WAYS, pd.DataFrame(columns=["place"])).reset_index(drop=True)
    first = written(ways, ACTIONS, TO_DO, units)
    more = written(ways, OTHER_WAYS, ("action.more_ways",), units)
    both = [" ".join(filter(None, pair)) for pair in zip(first.fillna(""), more.fillna(""), strict=True)]
    by_place = dict(zip(ways["place"], both, strict=True))
    return pd.Series([by_place.get(place) for place in tables[ACTIONS]["place"]], dtype="str")
