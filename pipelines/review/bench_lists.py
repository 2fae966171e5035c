"""The bench list: what is still to be packed, on paper and as a file to fill in and import."""

from dataclasses import dataclass
from fnmatch import fnmatchcase
from pathlib import Path

from models.damage.trials import assignments
from models.sql_texts import sql_texts
from pipelines.build.up_to_date import build_changed
from pipelines.review import month_review
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, now_at


@dataclass(frozen=True)
class BenchList:
    """The page and the CSV file written, how many parcels they list and how many of them a trial assigns a method;
    the source that reads the file, if any, and whether it reads the assigned method."""

    page: Path
    file: Path
    parcel_count: int
    assigned_count: int
    source: str | None
    reads_assigned: bool


def write_bench_list(settings: Settings, days: int) -> BenchList:
    """List the labels and sales of so many last days that the bench log does not know. Raises DunnageError."""
    from dashboards.bench_list import render, typed

    queries, made_at = sql_texts("queries"), now_at(settings)
    with warehouse.writing(settings, "bench-list") as connection:
        build_changed(connection, settings)
        parcels = connection.execute(queries["bench_list"], {"days": days}).df()
        codes = connection.execute(queries["bench_codes"]).df()
        trials = connection.execute("from analysis.trials where trial_state = 'running' order by trial_id").df()
    parcels = parcels.assign(assigned_method=assignments(parcels, trials, made_at.date()))
    name = f"bench-list-{made_at:%Y-%m-%d}"
    files = {
        f"{name}.html": render(settings.shop.name, made_at, parcels, codes).encode(),
        f"{name}.csv": typed(parcels).encode(),
    }
    page, file = month_review.written(settings.path("reviews"), files)
    source = next((each for each in settings.sources if fnmatchcase(file.name, each.files)), None)
    return BenchList(
        page,
        file,
        len(parcels),
        int(parcels["assigned_method"].notna().sum()),
        source.name if source else None,
        bool(source and "assigned_method" in source.columns),
    )
