"""Whether the months held out bear a change of carton out: what it saves there, with an interval over weeks."""

from math import isnan

import pandas as pd

from models.assortment import LEAST_WEEKS, Saving, bootstrap_saving
from models.carton_choice.changed import CHANGE

LEVEL = 0.8
USED = ["item_type", "today_code"]


def changes_held_out(changed: pd.DataFrame, usages: pd.DataFrame, months: int) -> pd.DataFrame:
    """One row per change of carton: CHANGE, and what it saves in so many last months for each parcel of the item type
    in the carton used, also those that stay in it.

    changed: rows of models/carton_choice/changed.py. usages: `ladder.priced_usages`, all of them. A change is advised
    where the lower limit of 80 percent lies above nothing: a few parcels of one week are no habit.
    """
    last = pd.to_datetime(usages["shipped_month"]).max() - pd.DateOffset(months=months)
    changed = changed[changed["is_saving_alone"].astype(bool)]
    sent = _weekly(_since(usages, last), USED, "parcel_count")
    saved = _weekly(_since(changed, last), CHANGE, "saving_cents")
    weeks = changed[CHANGE].drop_duplicates().merge(sent, on=USED, how="left")
    weeks = weeks.merge(saved, on=[*CHANGE, "shipped_week"], how="left").fillna({"saving_cents": 0, "parcel_count": 0})
    found = [dict(zip(CHANGE, key, strict=True)) | _measured(rows) for key, rows in weeks.groupby(CHANGE)]
    return pd.DataFrame(found, columns=[*CHANGE, *_NOTHING]).rename(columns={"today_code": "carton_code"})


def _since(rows: pd.DataFrame, last: pd.Timestamp) -> pd.DataFrame:
    return rows[pd.to_datetime(rows["shipped_month"]) > last]


def _weekly(rows: pd.DataFrame, by: list[str], what: str) -> pd.DataFrame:
    return rows.groupby([*by, "shipped_week"])[what].sum().reset_index()


_NOTHING: dict[str, object] = {
    **{"held_out_parcel_count": 0, "week_count": 0, "saving_per_parcel_cents": None, "saving_likely_low_cents": None},
    **{"saving_likely_high_cents": None, "is_advised": False},
}


def _measured(weeks: pd.DataFrame) -> dict[str, object]:
    """Of the weeks of one change, with the parcels sent in each and what it saves on them."""
    sent = weeks[weeks["parcel_count"] > 0]
    if sent.empty:
        return _NOTHING
    each = sent["saving_cents"] / sent["parcel_count"]
    saving = bootstrap_saving(sent["shipped_week"], each, sent["parcel_count"], level=LEVEL)
    return _NOTHING | {
        "held_out_parcel_count": int(saving.parcels),
        "week_count": saving.weeks,
        "saving_per_parcel_cents": round(saving.cents_per_parcel),
        "saving_likely_low_cents": None if isnan(saving.low) else round(saving.low),
        "saving_likely_high_cents": None if isnan(saving.high) else round(saving.high),
        "is_advised": _is_borne_out(saving),
    }


def _is_borne_out(saving: Saving) -> bool:
    return saving.weeks >= LEAST_WEEKS and saving.low > 0
