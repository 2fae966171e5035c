"""Whether the tables that stand are those of the records and settings, and their build where they are not.

What builds is loaded only then: statistics and solvers take seconds, and most commands find everything built.
"""

from collections.abc import Callable
from dataclasses import replace

from models.settings.cartons import Cartons
from pipelines.build import acknowledgements, decisions, last_build, shop_words, tariff_files, trials
from pipelines.build.last_build import Inputs
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

Progress = Callable[[str], None]


def build_changed(connection: warehouse.Connection, settings: Settings, progress: Progress = lambda name: None) -> None:
    """Build every table that records or settings have changed since the last build; nothing where none has."""
    if not is_current(connection, settings):
        from pipelines.build import building

        building.build(connection, settings, progress)


def is_current(connection: warehouse.Connection, settings: Settings) -> bool:
    """Whether the tables of the review were built from the records and settings as they are."""
    return last_build.is_current(connection, settings, inputs(settings))


def inputs(settings: Settings) -> Inputs:
    """What a build depends on beside records, models and the shop.

    Every month depends on tariffs and what words mean; other tables on the logs and how cartons and damage are judged,
    but none on how long a choice of sizes is searched for.
    """
    judged = replace(settings.cartons, seconds=Cartons().seconds)
    logs = f"{decisions.LOG.digest(settings)} {acknowledgements.LOG.digest(settings)} {trials.LOG.digest(settings)}"
    grounds = f"{tariff_files.digest(settings)} {shop_words.LOG.digest(settings)}"
    return Inputs(grounds, f"{logs} {judged!r} {settings.damage!r} {settings.advice!r}")
