"""Classes of parcels, the cartons that hold them, and the price of each pair by the one rating.

Working tables stand in the schemas `cartons` and `carton_rating` of the warehouse while it works, then they go.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field

import numpy as np
import pandas as pd

from models.carton_choice import fits, ladder, offers
from models.carton_choice.demand import contents_by_key, items_by_type, looked_at
from models.carton_choice.offers import Offers
from models.carton_choice.void_fill import VoidFill, filled_rows, stated_fill, with_void_fill
from models.packing.fit import Known, Verdict, usual_effort
from models.packing.needed import Contents, PackedItem
from models.settings.cartons import Cartons
from models.sql_texts import sql_texts
from models.tables.rating import CLASS_PRICES
from pipelines.build import rating
from pipelines.build.working_tables import first_judged, working_schemas
from pipelines.shop import warehouse

CLASSES = ("counted", "classes", "used")
# What the SQL `packed` finds where the shop states neither tare nor void fill.
PLAIN = (
    "select p.*, 0 as weight_key, 0 as void_cents, cast(null as double) as used_tare_lb, 0.0 as used_void_lb "
    "from cartons.parcels as p"
)
# Lanes that are priced on another day than their own: none.
OWN_DAYS = "select l.lane_key, l.shipped_on as priced_on from rating.lanes as l where false"
ROUNDS = 20
SCHEMAS = ("cartons", "carton_rating")


@dataclass(frozen=True)
class Demand:
    """What was shipped: contents by key, the catalogue with its learned bulges, cartons used by contents.

    telescoped: two cartons slid into one another, as entries of the catalogue. known: fits found so far. fill:
    the shop's void fill.
    """

    contents: dict[int, Contents]
    catalogue: pd.DataFrame
    used: pd.DataFrame
    telescoped: pd.DataFrame = field(default_factory=pd.DataFrame)
    known: Known = field(default_factory=Known)
    fill: VoidFill = field(default_factory=VoidFill)


@dataclass(frozen=True)
class Judged:
    """The demand, the offers made, the best per class and kind, and the usages with a price per step."""

    demand: Demand
    offered: Offers
    choices: pd.DataFrame
    usages: pd.DataFrame


@contextmanager
def working(connection: warehouse.Connection, judged_months: int = Cartons().judged_months) -> Iterator[None]:
    """The schemas for working tables, gone at the end.

    cartons.recent: the parcels of so many last months; cartons.parcels: those of them whose carton can be judged.
    """
    with working_schemas(connection, *SCHEMAS):
        _show_recent(connection, judged_months)
        yield


def _show_recent(connection: warehouse.Connection, months: int) -> None:
    first = first_judged(connection, months)
    parcels = f"select * from core.carton_demand where shipped_month >= date '{first}'"
    connection.execute(f"create or replace view cartons.recent as {parcels}")
    judged = "select * from cartons.recent where packed_contents_key is not null and conditions_key is not null"
    connection.execute(f"create or replace view cartons.parcels as {judged}")
    price_on(connection, OWN_DAYS)


def price_on(connection: warehouse.Connection, days: str) -> None:
    """Price lanes on these days from now on. days: a query for lane_key and priced_on; other lanes keep their own."""
    connection.execute(f"create or replace view cartons.days as {days}")


def demand(connection: warehouse.Connection, settings: Cartons | None = None) -> Demand:
    """Collapse the parcels to classes in the engine and read what they hold."""
    settings = settings or Cartons()
    for name in ("contents", "catalogue", "telescoped"):
        write(connection, name)
    known = contents_by_key(read(connection, "contents", "contents_key"), wrapped_items(connection))
    catalogue = read(connection, "catalogue", "carton_code, effective_from")
    _show_packed(connection, known, stated_fill(settings), bool(catalogue["tare_lb"].notna().any()))
    for name in CLASSES:
        write(connection, name)
    used, telescoped = read(connection, "used", "all"), read(connection, "telescoped", "carton_code, effective_from")
    effort, fill = Known(usual_effort(settings.solver)), stated_fill(settings)
    return Demand(looked_at(known), catalogue, used, telescoped, effort, fill)


def wrapped_items(connection: warehouse.Connection) -> dict[str, PackedItem]:
    """The shop's item types, with their bundles as far as the build has written analysis.bundles."""
    item_types = connection.execute("select * from accepted.item_types order by item_type").df()
    is_known = warehouse.has_table(connection, "analysis.bundles")
    bundles = connection.execute("select * from analysis.bundles order by all").df() if is_known else pd.DataFrame()
    return items_by_type(item_types, bundles)


def _show_packed(
    connection: warehouse.Connection, many: Mapping[int, Contents], fill: VoidFill, has_tare: bool
) -> None:
    """cartons.packed: the parcels judged with their void fill and weights, as far as these are stated."""
    put(connection, "fill", pd.DataFrame([asdict(fill)]))
    if not (fill.is_stated or has_tare):
        connection.execute(f"create or replace view cartons.packed as {PLAIN}")
        return
    put(connection, "filled", filled_rows(many))
    write(connection, "packed")


def write(connection: warehouse.Connection, name: str) -> None:
    """Write cartons.NAME by its SQL."""
    connection.execute(f"create or replace table cartons.{name} as {sql_texts('cartons')[name]}")


def put(connection: warehouse.Connection, name: str, rows: pd.DataFrame) -> None:
    """Write rows as cartons.NAME."""
    with warehouse.lent(connection, "incoming_rows", rows):
        connection.execute(f"create or replace table cartons.{name} as select * from incoming_rows")


def read(connection: warehouse.Connection, name: str, order: str) -> pd.DataFrame:
    """The rows of cartons.NAME in order."""
    return connection.execute(f"select * from cartons.{name} order by {order}").df()


def judge(connection: warehouse.Connection, settings: Cartons) -> Judged:
    """Price every class in the cartons from stock, whole or cut, and made to measure. Call it within `working`."""
    wanted, offered, choices, open_prices = choose(connection, settings)
    connection.execute(f"create or replace view cartons.parcel_usages as {sql_texts('cartons')['parcel_usages']}")
    write(connection, "usages")
    usages = read(connection, "usages", "all").merge(read(connection, "classes", "class_key"), on="class_key")
    usages = usages.rename(columns={"parcel_count_x": "parcel_count"})
    priced = ladder.with_open_fits(ladder.priced_usages(usages, choices), open_prices)
    return Judged(wanted, offered, choices, priced)


def choose(connection: warehouse.Connection, settings: Cartons) -> tuple[Demand, Offers, pd.DataFrame, pd.DataFrame]:
    """The demand, the offers made, the cheapest proved per class and kind (cartons.choices), prices of open ones."""
    wanted = demand(connection, settings)
    offered, pairs, open_pairs = offers_to(wanted, settings, cut_cents(connection, settings))
    open_prices = _open_prices(connection, offered, open_pairs, wanted)
    price(connection, offered, pairs, wanted)
    prove_choices(connection, wanted, offered)
    return wanted, offered, read(connection, "choices", "class_key, option_kind"), open_prices


def _open_prices(
    connection: warehouse.Connection, offered: Offers, open_pairs: pd.DataFrame, wanted: Demand
) -> pd.DataFrame:
    """class_key and price_cents of the cartons from stock of which nobody knows whether they hold the goods."""
    if open_pairs.empty:
        return pd.DataFrame({"class_key": [], "price_cents": []}, dtype=np.int64)
    price(connection, offered, open_pairs, wanted)
    return read(connection, "prices", "class_key, option_key")[["class_key", "price_cents"]]


def cut_cents(connection: warehouse.Connection, settings: Cartons) -> int:
    """What cutting one carton down costs at the shop's wage."""
    (wage,) = connection.execute("select wage_cents_per_hour from shop.settings").fetchall()[0]
    return round(settings.cut_minutes * int(wage) / 60)


def offers_to(wanted: Demand, settings: Cartons, cents_of_cut: int) -> tuple[Offers, pd.DataFrame, pd.DataFrame]:
    """Offers from stock and made to measure, the pairs of contents and offer that fit, and those that stay open."""
    stocked, answers, still_open = stocked_fits(wanted, settings, cents_of_cut)
    keys = list(wanted.contents)
    held, undecided = (fits.pairs(keys, fits.unbeaten(each, stocked.rows)) for each in (answers, still_open))
    measured, owners = _measured(wanted)
    own = pd.DataFrame({"contents_key": owners, "option_key": np.arange(len(owners)) + len(stocked)})
    return offers.joined(stocked, measured), pd.concat([held, own.astype(np.int64)], ignore_index=True), undecided


def stocked_fits(wanted: Demand, settings: Cartons, cents_of_cut: int) -> tuple[Offers, fits.Flags, fits.Flags]:
    """Offers from stock, whole and cut, which contents fit which, and where nobody knows: of cuts, the lowest."""
    keys, many = list(wanted.contents), list(wanted.contents.values())
    entries = pd.concat([wanted.catalogue, wanted.telescoped], ignore_index=True)
    stocked, geometry = offers.stocked_offers(entries, settings.cut_step_in, cents_of_cut)
    is_box = stocked.rows["is_rectangular"].to_numpy(dtype=np.bool_)
    lay = fits.lay_before(keys, stocked.rows, wanted.used)
    answers = fits.verdicts(many, stocked.insides_in, wanted.known)
    held = fits.without_needless(np.where(is_box, answers == Verdict.FITS, lay), stocked.rows)
    still_open = is_box & (answers == Verdict.UNDECIDED)
    return stocked, fits.useful(held, geometry), fits.useful(still_open, geometry)


def _measured(wanted: Demand) -> tuple[Offers, list[int]]:
    """A few cartons made to measure for each contents, and whose they are."""
    insides = [(key, row) for key, packed in wanted.contents.items() for row in fits.made_to_measure(packed)]
    rows = np.array([row for _, row in insides], dtype=float).reshape(-1, 3)
    made = offers.making(wanted.catalogue)
    return offers.new_offers(rows, ["made to measure"] * len(rows), made, "measured"), [key for key, _ in insides]


def price(connection: warehouse.Connection, offered: Offers, pairs: pd.DataFrame, wanted: Demand) -> None:
    """Price every pair for every class of its contents: cartons.prices; what the carrier refuses has no row.

    Classes that differ in fuel only are rated once; then the rating's last step is taken for each of them.
    """
    put(connection, "offers", offered.rows)
    put(connection, "pairs", with_void_fill(pairs, wanted.contents, offered.insides_in, wanted.fill))
    write(connection, "requests")
    rating.rate(connection, "cartons.requests", SCHEMAS[1], until=CLASS_PRICES)
    for name, sql in (("class_keys", sql_texts("cartons")["class_keys"]), ("priced", _fuelled())):
        connection.execute(f"create or replace view cartons.{name} as {sql}")
    write(connection, "prices")


def _fuelled() -> str:
    """The text of rating.priced over the keys of the classes: cells as rated here, lanes as the parcels have them."""
    sql = sql_texts("rating")["priced"]
    keys = sql.replace("rating.request_keys", "cartons.class_keys")
    return keys.replace("rating.class_prices", f"{SCHEMAS[1]}.class_prices")


def prove_choices(connection: warehouse.Connection, wanted: Demand, offered: Offers) -> None:
    """Write cartons.choices: the cheapest offer per class and kind, each held by a placement that stands the check."""
    for _ in range(ROUNDS):
        write(connection, "choices")
        asked = connection.execute("select distinct contents_key, option_key from cartons.choices order by all").df()
        struck = fits.unproved(asked, wanted.contents, offered, wanted.known)
        if struck.empty:
            return
        _strike_out(connection, "prices", struck)
    _strike_out(connection, "choices", struck)


def _strike_out(connection: warehouse.Connection, table: str, struck: pd.DataFrame) -> None:
    with warehouse.lent(connection, "struck", struck):
        connection.execute(
            f"delete from cartons.{table} where exists (select 1 from struck as s inner join cartons.classes as c "
            f"on c.contents_key = s.contents_key where c.class_key = {table}.class_key "
            f"and s.option_key = {table}.option_key)"
        )
