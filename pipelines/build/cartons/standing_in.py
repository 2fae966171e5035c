"""Prices what stands in for the cartons that have run out. Call it within `working`, last: it prices again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pandas as pd

from models.carton_choice import fits
from models.carton_choice.offers import Offers
from models.carton_choice.substitutes import COLUMNS, substitutes
from models.settings.cartons import Cartons
from pipelines.build.cartons.classes import Demand, Judged, cut_cents, price, stocked_fits
from pipelines.shop import warehouse

# Parcels of so many last weeks say what goes into a carton.
RECENT = pd.Timedelta(weeks=13)


def substitute_table(
    connection: warehouse.Connection, settings: Cartons, judged: Judged, words: Mapping[int, str]
) -> pd.DataFrame:
    """The rows of analysis.carton_substitutes: none where no carton has run out that was used lately."""
    stock = connection.execute("select carton_code, stock_left from marts.carton_stock order by carton_code").df()
    left = {str(code): int(count) for code, count in stock.dropna().itertuples(index=False)}
    out = [code for code, count in left.items() if count == 0]
    sent = _sent_lately(judged, out)
    if sent.empty:
        return pd.DataFrame(columns=list(COLUMNS))
    wanted = _without(judged.demand, out, set(sent["contents_key"]))
    offered, pairs = _offers(connection, settings, wanted)
    price(connection, offered, pairs)
    prices = connection.execute("select class_key, option_key, price_cents from cartons.prices").df()
    return substitutes(sent, prices, offered.rows, left, words)


def _sent_lately(judged: Judged, out: list[str]) -> pd.DataFrame:
    weeks = pd.to_datetime(judged.usages["shipped_week"])
    return judged.usages[judged.usages["carton_code"].isin(out) & (weeks > weeks.max() - RECENT)]


def _without(demand: Demand, out: list[str], keys: set[int]) -> Demand:
    """The contents asked for, and the latest entries of the cartons that have not run out."""
    catalogue = demand.catalogue
    kept = catalogue[catalogue["effective_before"].isna() & ~catalogue["carton_code"].isin(out)]
    contents = {key: packed for key, packed in demand.contents.items() if key in keys}
    return replace(demand, contents=contents, catalogue=kept.reset_index(drop=True))


def _offers(connection: warehouse.Connection, settings: Cartons, wanted: Demand) -> tuple[Offers, pd.DataFrame]:
    """Today's cartons, for parcels of any day, and the pairs that a placement proves."""
    stocked, answers, _ = stocked_fits(wanted, settings, cut_cents(connection, settings))
    pairs = fits.pairs(list(wanted.contents), fits.unbeaten(answers, stocked.rows)).astype("int64")
    struck = fits.unproved(pairs, wanted.contents, stocked, wanted.known)
    proved = pairs.merge(struck, how="left", indicator=True)
    always = stocked.rows.copy()
    for name in ("effective_from", "effective_before"):
        always[name] = pd.Series(pd.NaT, always.index, dtype="datetime64[us]")
    return replace(stocked, rows=always), proved[proved["_merge"] == "left_only"].drop(columns="_merge")
