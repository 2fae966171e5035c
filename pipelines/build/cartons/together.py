"""Prices the changes of carton together with the other services that are advised. Call it within `working`."""

import pandas as pd

from models.analyses.services import RULE
from models.carton_choice.changed import CHANGE, recent
from models.sql_texts import sql_texts
from models.tables.rating import PRICED
from pipelines.build import rating
from pipelines.build.cartons.classes import SCHEMAS, put, write
from pipelines.shop import warehouse

SUMS = ["parcel_count", "refused_parcel_count", "joint_cents"]


def joint_table(connection: warehouse.Connection, changed: pd.DataFrame, usages: pd.DataFrame) -> pd.DataFrame:
    """One row per change of carton and advised rule of services of the same item type: what both save together.

    changed: rows of models/carton_choice/changed.py, their options as in cartons.offers. usages: all of them.
    """
    rules = connection.execute("select * from analysis.service_rules where is_advised order by all").df()[RULE]
    late = recent(changed, usages)
    changes = late[CHANGE].drop_duplicates(ignore_index=True)
    tied = changes.assign(change_key=changes.index).merge(rules.assign(rule_key=rules.index), on="item_type")
    if tied.empty:
        return _named(tied).assign(parcel_count=0, refused_parcel_count=0, joint_month_cents=0)
    put(connection, "rules", rules.assign(rule_key=rules.index))
    put(connection, "changed", late.merge(changes.assign(change_key=changes.index), on=CHANGE))
    found = tied.merge(_savings(connection), on=["rule_key", "change_key"], how="left")
    found[SUMS] = found[SUMS].fillna(0).astype("int64")
    months = recent(usages, usages)["shipped_month"].nunique()
    return _named(found).assign(joint_month_cents=found["joint_cents"] // months)


def _named(rows: pd.DataFrame) -> pd.DataFrame:
    return rows.rename(columns={"today_code": "carton_code"})


def _savings(connection: warehouse.Connection) -> pd.DataFrame:
    """rule_key, change_key and SUMS of those that have parcels in common."""
    write(connection, "both_changed")
    rating.rate(connection, "cartons.both_changed", SCHEMAS[1], until=PRICED)
    connection.execute(f"create or replace view cartons.both_priced as select * from {SCHEMAS[1]}.priced")
    return connection.execute(sql_texts("cartons")["joint_savings"]).df()
