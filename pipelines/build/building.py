"""The build as a plain list of steps: the tables of the SQL models, then all that is computed on them."""

from dataclasses import asdict
from typing import Any

import pandas as pd

from models.analyses import ANALYSES
from models.settings.cartons import Cartons
from pipelines.build import analysing, cartons, forward_costs, repacking, services, tariffs
from pipelines.build.rebuilding import rebuilt
from pipelines.build.up_to_date import Progress, build_changed, inputs
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, now_at

# What `dunnage cartons` shows beside its own tables.
SHOWN_BESIDE = ("analysis.carton_orders", "analysis.carton_substitutes")
# What is left to analyse when cartons are judged, for which it must be known which services are advised.
LAST = [each for each in ANALYSES if each.name in ("carton orders", "actions")]
FIRST = [each for each in ANALYSES if each not in LAST]


def build(connection: warehouse.Connection, settings: Settings, progress: Progress = lambda name: None) -> None:
    """Build the tables, judge services, packing methods and cartons, run the analyses.

    Raises TariffError, or as `rebuilt`.
    """
    with rebuilt(connection, settings, tariffs.tariffs_of(settings), inputs(settings), progress):
        compare_services(connection, settings, progress)
        wrap(connection, settings)
        repack(connection, settings, progress)
        price_forward(connection, progress)
        analysing.analyse(connection, options(settings), FIRST, progress)
        judge_cartons(connection, settings, progress)
        analysing.analyse(connection, options(settings), LAST, progress)


def options(settings: Settings) -> dict[str, Any]:
    """What of the shop's settings the analyses read: sections, and the units in which sentences write measures."""
    return {
        "damage": asdict(settings.damage),
        "advice": asdict(settings.advice),
        "cartons": asdict(settings.cartons),
        "units": settings.shop.shown_units,
    }


def compare_services(
    connection: warehouse.Connection, settings: Settings, progress: Progress = lambda name: None
) -> None:
    """What each parcel would have cost on the other services of the tariffs."""
    progress("other services")
    services.compare(connection, settings.cartons.judged_months)


def wrap(connection: warehouse.Connection, settings: Settings) -> None:
    """Pieces wrapped together: both packing methods and cartons are fitted by them."""
    for name, rows in cartons.bundle_tables(connection, settings.cartons).items():
        analysing.store(connection, name, rows)


def repack(connection: warehouse.Connection, settings: Settings, progress: Progress = lambda name: None) -> None:
    """Carton and postage of the same parcels in every packing method: what the packing decision adds up."""
    progress("packing methods")
    rows = repacking.method_carriage(connection, settings.damage.sampled_parcels, settings.cartons)
    analysing.store(connection, "analysis.method_carriage", rows)


def price_forward(connection: warehouse.Connection, progress: Progress = lambda name: None) -> None:
    """What past parcels would cost under the latest tariff: what to charge is based on it."""
    progress("latest tariff")
    rows = forward_costs.forward_costs(connection, analysing.as_of(connection))
    analysing.store(connection, "analysis.forward_costs", rows)


def judge_cartons(connection: warehouse.Connection, settings: Settings, progress: Progress = lambda name: None) -> None:
    """What each parcel would have cost in another carton: the carton tables that every review shows."""
    progress("cartons")
    for name, rows in cartons.review_tables(connection, settings.cartons).items():
        analysing.store(connection, name, rows)


def choose_sizes(
    settings: Settings, wanted: Cartons, supplier: pd.DataFrame, progress: Progress = lambda name: None
) -> dict[str, pd.DataFrame]:
    """Choose the sizes to stock and keep the choice for the reviews to show; returns its tables as they are stored.

    wanted: settings.cartons, or what a command says in its place. supplier: sizes that could be bought
    (pipelines/build/suppliers.py), or none. Raises NotFoundError, InfeasibleError.
    """
    with warehouse.writing(settings, "cartons") as connection:
        build_changed(connection, settings, progress)
        progress("choosing sizes; Ctrl-C ends the search with the best so far")
        made_at = pd.Timestamp(now_at(settings))
        with warehouse.transaction(connection):
            found = cartons.chosen_tables(connection, wanted, supplier, made_at, settings.shop.shown_units)
            for name, rows in found.items():
                analysing.store(connection, name, rows)
            judge_cartons(connection, settings, progress)
            analysing.analyse(connection, options(settings), LAST)  # what to do next depends on the sizes, too
        return {name: connection.execute(f"select * from {name}").df() for name in (*found, *SHOWN_BESIDE)}
