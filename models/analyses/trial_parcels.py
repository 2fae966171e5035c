"""Parcels of trials at the bench: what each was assigned, and which tell nothing of how goods are usually packed."""

from typing import Any

import pandas as pd

from models.analyses.question import Question
from models.columns.trials import BY_WEEK
from models.damage.trials import Arms, arms

READS = ("shop.trials", "trial_parcels")


def logged(question: Question) -> pd.DataFrame:
    """The log of trials, its days as such."""
    log = question.table("shop.trials")
    return log.assign(**{name: pd.to_datetime(log[name]) for name in ("started_on", "planned_end_on", "ended_on")})


def sent(question: Question) -> pd.DataFrame:
    """Parcels of every trial's item type that were sent in its time."""
    parcels = question.table("trial_parcels")
    return parcels.assign(shipped_on=pd.to_datetime(parcels["shipped_on"]))


def assigned(parcels: pd.DataFrame, methods: Arms, assigned_by: str) -> pd.DataFrame:
    """The trial's parcels with `arm`, the method that each was assigned; none where it was assigned neither."""
    if assigned_by == BY_WEEK:
        weeks = [methods.of_week(day.date()) for day in parcels["shipped_on"]]
        return parcels.assign(arm=pd.Series(weeks, index=parcels.index, dtype=object))
    named = parcels["assigned_method"].isin((methods.usual_method, methods.other_method))
    return parcels.assign(arm=parcels["assigned_method"].where(named))


def tried_otherwise(question: Question, changes: pd.DataFrame) -> pd.DataFrame:
    """Parcels that a trial had packed in another than the usual way: parcel_id, item_type, shipped_on. From a logged
    change of the goods on, what was tried may be what is usual now, so that these count again."""
    parcels, columns = sent(question), ["parcel_id", "item_type", "shipped_on"]
    found = [_of_trial(trial, parcels, changes) for trial in logged(question).to_dict("records")]
    return pd.concat([each[columns] for each in found]).drop_duplicates() if found else parcels.reindex(columns=columns)


def _of_trial(trial: dict[Any, Any], parcels: pd.DataFrame, changes: pd.DataFrame) -> pd.DataFrame:
    methods, item_type = arms(trial), trial["item_type"]
    own = assigned(parcels[parcels["trial_id"] == trial["trial_id"]], methods, str(trial["assigned_by"]))
    later = changes[(changes["item_type"] == item_type) & (changes["changed_on"] >= trial["started_on"])]
    is_other = (own["arm"] == methods.other_method) | (own["packing_method"] == methods.other_method)
    is_before = own["shipped_on"] < later["changed_on"].min() if len(later) else True
    return own[is_other & is_before].assign(item_type=item_type)
