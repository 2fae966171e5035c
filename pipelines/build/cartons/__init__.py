"""Judges the carton of every parcel for the review, and chooses the sizes to stock for `dunnage cartons`."""

import time
from dataclasses import replace
from functools import partial

import numpy as np
import pandas as pd

from models.carton_choice import advice, changed, choosing, chosen, fits, ladder, moves, offers, sheets
from models.carton_choice.choosing import Choice, is_bought
from models.carton_choice.demand import in_words, is_bounded, is_single
from models.carton_choice.demand_costs import demand_costs
from models.carton_choice.growth import growth_table
from models.carton_choice.held_out import changes_held_out
from models.carton_choice.offers import Offers
from models.carton_choice.sizes import Announced, CostTable, SizeList, cost_table, size_list
from models.carton_choice.supply import steps_by_code
from models.carton_choice.use import YEAR_DAYS, use_of
from models.errors import ContractError
from models.settings.cartons import Cartons
from models.shop_units import Units
from models.sql_texts import sql_texts
from models.tables import TABLES
from models.tables.cartons import CARTON_STOCK, CARTON_TABLES, CHOSEN
from models.tables.services import SERVICES
from pipelines.build.cartons.announced import announced_prices
from pipelines.build.cartons.classes import Demand, Judged, cut_cents, judge, price, read, stocked_fits, working, write
from pipelines.build.cartons.planning import chosen_sets, plan_table
from pipelines.build.cartons.standing_in import substitute_table
from pipelines.build.cartons.together import joint_tables
from pipelines.shop import warehouse

# What is read of packing methods.
METHODS = tuple(TABLES[name] for name in ("analysis.packing_decision", "analysis.method_carriage"))


def bundle_tables(connection: warehouse.Connection, settings: Cartons) -> dict[str, pd.DataFrame]:
    """Pieces wrapped together, by which goods are fitted wherever cartons are looked for, by the table's name."""
    with working(connection, settings.judged_months):
        write(connection, "bundles")
        rows = read(connection, "bundles", "parcel_count desc nulls last, item_type, bundled_count")
        return _in_form({"analysis.bundles": rows})


def review_tables(connection: warehouse.Connection, settings: Cartons) -> dict[str, pd.DataFrame]:
    """The tables that every review shows, by name; the ladder holds what the latest `dunnage cartons` chose."""
    with working(connection, settings.judged_months):
        _make_missing(connection)
        kept = connection.execute("select * from analysis.assortment_ladder").df()
        return _in_form(_reviewed(connection, settings, judge(connection, settings), kept))


def _reviewed(
    connection: warehouse.Connection, settings: Cartons, judged: Judged, kept: pd.DataFrame
) -> dict[str, pd.DataFrame]:
    contents = judged.demand.contents
    words = {key: in_words(packed) for key, packed in contents.items()}
    for name in ("coverage", "sheet_options", "sheet_weights", "sheet_carriers", "service_savings"):
        write(connection, name)
    single = {key: packed for key, packed in contents.items() if is_single(packed) and not is_bounded(packed)}
    bench = sheets.bench_sheets(
        read(connection, "sheet_options", "all"),
        read(connection, "sheet_weights", "all"),
        judged.offered.rows,
        judged.demand.catalogue,
        single,
    )
    saved = read(connection, "service_savings", "all")
    rungs = ladder.with_best_sizes(ladder.with_right_service(ladder.carton_ladder(judged.usages), saved), kept)
    found = {
        "analysis.carton_coverage": ladder.with_open_months(
            read(connection, "coverage", "shipped_month"), judged.usages
        ),
        "analysis.carton_ladder": rungs,
        "analysis.carton_ladder_months": ladder.ladder_months(rungs),
        "analysis.best_cartons": ladder.best_cartons(judged.usages, judged.choices, judged.offered.rows, words),
        "analysis.bench_sheets": bench,
        "analysis.bench_carriers": sheets.bench_carriers(bench, read(connection, "sheet_carriers", "all")),
    }
    moved = changed.changed_in_stock(judged.usages, judged.choices, judged.offered.rows)
    found["analysis.changes_held_out"] = changes_held_out(moved, judged.usages, settings.hold_out_months)
    pairs = joint_tables(connection, moved, judged.usages)
    found |= dict(zip(("analysis.joint_changes", "analysis.joint_methods"), pairs, strict=True))
    return found | {"analysis.carton_substitutes": substitute_table(connection, settings, judged, words)}


def chosen_tables(
    connection: warehouse.Connection, settings: Cartons, supplier: pd.DataFrame, made_at: pd.Timestamp, units: Units
) -> dict[str, pd.DataFrame]:
    """The tables of `dunnage cartons`, by name: the sizes to stock and what they save.

    Raises NotFoundError without parcels that have a price, InfeasibleError where the sizes allowed are too few.
    """
    with working(connection, settings.judged_months):
        _make_missing(connection)
        return _in_form(_chosen(connection, settings, supplier, made_at, units))


def _chosen(
    connection: warehouse.Connection, settings: Cartons, supplier: pd.DataFrame, made_at: pd.Timestamp, units: Units
) -> dict[str, pd.DataFrame]:
    judged = judge(connection, settings)
    sizes, offered, costs = _costs(connection, settings, supplier, judged.demand, units)
    write(connection, "sent")
    sent = read(connection, "sent", "all")
    tested, final = choosing.tested_and_final(judged.usages, sent, sizes, costs, settings, time.process_time)
    contents_of_class = read(connection, "classes", "class_key")["contents_key"]
    for choice in (tested, final):
        _require_proof(judged.demand, choice, offered, contents_of_class)
    rows = choosing.served(judged.usages, final)
    moved = changed.changed_to_sizes(rows, final, offered)
    joint, _ = joint_tables(connection, moved, judged.usages)
    borne_out = changes_held_out(moved, judged.usages, settings.hold_out_months)
    stocked = advice.size_rows(final, rows)
    words = {key: in_words(packed) for key, packed in judged.demand.contents.items()}
    sets = chosen_sets(final, judged.demand.catalogue, settings, cut_cents(connection, settings))
    return {
        "analysis.parcel_plans": plan_table(connection, judged.demand, sets),
        "analysis.assortment_runs": chosen.run_row(final, tested, settings, made_at, int(rows["parcel_count"].sum())),
        "analysis.assortment": stocked,
        "analysis.assortment_curve": chosen.curve_table(final),
        "analysis.assortment_demands": demand_costs(final, settings, time.process_time),
        "analysis.assortment_growth": growth_table(sent),
        "analysis.assortment_saving": chosen.saving_table(choosing.served(judged.usages, tested)),
        "analysis.assortment_ladder": chosen.chosen_ladder(rows),
        "analysis.assortment_cartons": moves.chosen_cartons(rows, final, offered, words),
        "analysis.assortment_joint_changes": joint,
        "analysis.assortment_changes_held_out": borne_out,
        "analysis.purchase_advice": _advice(connection, settings, final, stocked),
    }


def _advice(connection: warehouse.Connection, settings: Cartons, final: Choice, stocked: pd.DataFrame) -> pd.DataFrame:
    """What to buy of the sizes chosen, by the season that their months do not show."""
    use = use_of(connection.execute("select * from marts.carton_days").df())
    steps = steps_by_code(connection.execute(sql_texts("queries")["carton_price_steps"]).df())
    last_on = final.chosen_on[-1] + pd.offsets.MonthEnd()
    season = use.against(final.chosen_on[0], last_on, YEAR_DAYS)
    return advice.purchase_advice(final, stocked, settings, steps, season)


def _costs(
    connection: warehouse.Connection, settings: Cartons, supplier: pd.DataFrame, wanted: Demand, units: Units
) -> tuple[SizeList, Offers, CostTable]:
    """Every size that comes into question, priced for every class."""
    made = offers.making(wanted.catalogue)
    sizes = size_list(wanted.catalogue, supplier, wanted.contents.values(), made, settings, units)
    cents_of_cut = cut_cents(connection, settings)
    stocked, held, _ = stocked_fits(replace(wanted, telescoped=wanted.telescoped.iloc[:0]), settings, cents_of_cut)
    others = sizes.rows[is_bought(sizes.rows)]
    new, geometry = offers.cuttable_offers(others, made, settings.new_lowest_in, settings.cut_step_in, cents_of_cut)
    answers = fits.useful(fits.fits(list(wanted.contents.values()), new.insides_in, wanted.known), geometry)
    keys = list(wanted.contents)
    pairs = pd.concat([fits.pairs(keys, held), fits.pairs(keys, answers, len(stocked))], ignore_index=True)
    offered = offers.joined(stocked, new)
    number = {code: at for at, code in enumerate(sizes.rows["size_code"])}
    codes = zip(offered.rows.index, offered.rows["carton_code"], strict=True)
    size_of_option = {int(row): number[code] for row, code in codes if code in number}
    (classes,) = connection.execute("select count(*) from cartons.classes").fetchall()[0]
    table = partial(cost_table, size_of_option=size_of_option, classes=int(classes), sizes=len(sizes.rows))
    later = announced_prices(connection, offered, pairs, wanted)
    price(connection, offered, pairs, wanted)
    costs = table(connection.execute("select class_key, option_key, price_cents from cartons.prices").df())
    announced = later and Announced(table(later[0]).cents, later[1])
    return sizes, offered, replace(costs, announced=announced)


def _require_proof(wanted: Demand, choice: Choice, offered: Offers, contents_of_class: pd.Series) -> None:
    """Raises ContractError where a parcel was given to a size without a placement that stands the check."""
    rows = np.flatnonzero(choice.size >= 0)
    given = pd.DataFrame(
        {
            "contents_key": contents_of_class.to_numpy(dtype=np.int64)[rows],
            "option_key": choice.costs.option[rows, choice.size[rows]],
        }
    )
    struck = fits.unproved(given, wanted.contents, offered, wanted.known)
    if len(struck):
        named = ", ".join(in_words(wanted.contents[key]) for key in struck["contents_key"])
        raise ContractError("a chosen size", f"does not provably hold {named}", "this choice", "report this")


def _in_form(found: dict[str, pd.DataFrame]) -> dict[str, pd.DataFrame]:
    """The tables with the columns of their contracts only."""
    stated = {str(contract.name): list(contract.columns) for contract in (*CARTON_TABLES, *CARTON_STOCK)}
    return {name: rows[stated[name]] for name, rows in found.items()}


def _make_missing(connection: warehouse.Connection) -> None:
    """Make the tables that are read here where they are missing or of another form."""
    for contract in (*CHOSEN, *SERVICES, *METHODS):
        stated = {name: column.sql_type for name, column in contract.columns.items()}
        schema, table = str(contract.name).split(".")
        found = connection.execute(
            "select column_name, data_type from information_schema.columns where table_schema = ? and table_name = ?",
            [schema, table],
        ).fetchall()
        if dict(found) != stated:
            typed = ", ".join(f"{name} {kind}" for name, kind in stated.items())
            connection.execute(f"create or replace table {contract.name} ({typed})")
