"""Prices what stands in for cartons that are out or hard to order. Call it within `working`, last: it prices again."""

from collections.abc import Mapping
from dataclasses import replace

import pandas as pd

from models.carton_choice import fits
from models.carton_choice.long_orders import is_long
from models.carton_choice.offers import Offers
from models.carton_choice.orders import carton_orders
from models.carton_choice.substitutes import COLUMNS, substitutes
from models.carton_choice.use import use_of
from models.plain_rows import as_dicts
from models.settings.cartons import Cartons
from models.sql_texts import sql_texts
from pipelines.build.cartons.classes import Demand, Judged, cut_cents, price, stocked_fits
from pipelines.shop import warehouse

# Parcels of so many last weeks say what goes into a carton.
RECENT = pd.Timedelta(weeks=13)


def substitute_table(
    connection: warehouse.Connection, settings: Cartons, judged: Judged, words: Mapping[int, str]
) -> pd.DataFrame:
    """The rows of analysis.carton_substitutes: none where no carton that was used lately has run out or has a next
    order that lasts longer than a year."""
    stock = connection.execute("select * from marts.carton_stock order by carton_code").df()
    left = {str(code): int(count) for code, count in stock.set_index("carton_code")["stock_left"].dropna().items()}
    out = [code for code, count in left.items() if count == 0]
    missing = list(dict.fromkeys([*out, *_long_orders(connection, settings, stock)]))
    sent = _sent_lately(judged, missing)
    if sent.empty:
        return pd.DataFrame(columns=list(COLUMNS))
    wanted = _without(judged.demand, out, set(sent["contents_key"]))
    offered, pairs = _offers(connection, settings, wanted)
    price(connection, offered, pairs, wanted)
    prices = connection.execute("select class_key, option_key, price_cents from cartons.prices").df()
    return substitutes(sent, prices, offered.rows, left, words)


def _long_orders(connection: warehouse.Connection, settings: Cartons, stock: pd.DataFrame) -> list[str]:
    """Cartons whose next order would last longer than a year."""
    use = use_of(connection.execute("select * from marts.carton_days").df())
    steps = connection.execute(sql_texts("queries")["carton_price_steps"]).df()
    orders = carton_orders(stock, steps, use, settings, pd.DataFrame(columns=list(COLUMNS)))
    return [str(row["carton_code"]) for row in as_dicts(orders) if is_long(row)]


def _sent_lately(judged: Judged, out: list[str]) -> pd.DataFrame:
    weeks = pd.to_datetime(judged.usages["shipped_week"])
    return judged.usages[judged.usages["carton_code"].isin(out) & (weeks > weeks.max() - RECENT)]


def _without(demand: Demand, out: list[str], keys: set[int]) -> Demand:
    """The contents asked for, and the latest entries of the cartons that have not run out."""
    catalogue = demand.catalogue
    kept = catalogue[catalogue["is_current"] & ~catalogue["carton_code"].isin(out)]
    contents = {key: packed for key, packed in demand.contents.items() if key in keys}
    return replace(demand, contents=contents, catalogue=kept.reset_index(drop=True))


def _offers(connection: warehouse.Connection, settings: Cartons, wanted: Demand) -> tuple[Offers, pd.DataFrame]:
    """Today's cartons, for parcels of any day, and the pairs that a placement proves. None is left out that another one
    beats: of the parcels of that other one it may be the next best."""
    stocked, answers, _ = stocked_fits(wanted, settings, cut_cents(connection, settings))
    pairs = fits.pairs(list(wanted.contents), answers).astype("int64")
    struck = fits.unproved(pairs, wanted.contents, stocked, wanted.known)
    proved = pairs.merge(struck, how="left", indicator=True)
    always = stocked.rows.copy()
    for name in ("effective_from", "effective_before"):
        always[name] = pd.Series(pd.NaT, always.index, dtype="datetime64[us]")
    return replace(stocked, rows=always), proved[proved["_merge"] == "left_only"].drop(columns="_merge")
