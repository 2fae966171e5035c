"""Prices the changes of carton and of packing method together with the other services that are advised. Call it within
`working`."""

import pandas as pd

from models.analyses.services import RULE
from models.carton_choice.changed import CHANGE, recent
from models.sql_texts import sql_texts
from models.tables.rating import PRICED
from pipelines.build import rating
from pipelines.build.cartons.classes import SCHEMAS, put, write
from pipelines.shop import warehouse

SUMS = ["parcel_count", "refused_parcel_count", "joint_cents"]
# One row per item type whose method should change. What its sampled parcels bring stands for those of a month.
METHODS = (
    "select distinct item_type, current_method, best_method, change_key, yearly_parcel_count as times, "
    "12 * sampled_parcel_count as per from cartons.repacked order by item_type"
)


def joint_tables(
    connection: warehouse.Connection, changed: pd.DataFrame, usages: pd.DataFrame
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """What changes of carton save together with each advised rule of services of the same item type, one row for both;
    then the same of packing methods.

    changed: rows of models/carton_choice/changed.py, their options as in cartons.offers. usages: all of them.
    """
    rules = connection.execute("select * from analysis.service_rules where is_advised order by all").df()[RULE]
    rules = rules.assign(rule_key=rules.index)
    late, months = recent(changed, usages), recent(usages, usages)["shipped_month"].nunique()
    changes = late[CHANGE].drop_duplicates(ignore_index=True)
    changes = changes.assign(change_key=changes.index, times=1, per=months)
    write(connection, "repacked")
    methods = connection.execute(METHODS).df()
    tied = [each.merge(rules, on="item_type") for each in (changes, methods)]
    if any(len(each) for each in tied):
        put(connection, "rules", rules)
        put(connection, "changed", late.merge(changes, on=CHANGE))
        found = _savings(connection)
    else:
        found = pd.DataFrame(columns=["rule_key", "change_key", *SUMS], dtype="int64")
    cartons, repacked = (_in_a_month(each, found) for each in tied)
    return cartons.rename(columns={"today_code": "carton_code"}), repacked


def _savings(connection: warehouse.Connection) -> pd.DataFrame:
    """rule_key, change_key and SUMS of those that have parcels in common."""
    write(connection, "both_changed")
    rating.rate(connection, "cartons.both_changed", SCHEMAS[1], until=PRICED)
    connection.execute(f"create or replace view cartons.both_priced as select * from {SCHEMAS[1]}.priced")
    return connection.execute(sql_texts("cartons")["joint_savings"]).df()


def _in_a_month(tied: pd.DataFrame, found: pd.DataFrame) -> pd.DataFrame:
    """Each pair of a change and a rule with its SUMS, none where no parcel has both, and its joint_month_cents."""
    rows = tied.merge(found, on=["rule_key", "change_key"], how="left")
    rows[SUMS] = rows[SUMS].fillna(0).astype("int64")
    return rows.assign(joint_month_cents=rows["joint_cents"] * rows["times"] // rows["per"])
