"""The runs as Prefect flows: the same steps, with names, retries and a record of each run. The only user of Prefect.

They run without a server (Prefect starts one for the run) and under one (PREFECT_API_URL).
"""

from __future__ import annotations

from pathlib import Path

from prefect import flow, task

from pipelines import runs
from pipelines.intake import take_in
from pipelines.settings import load

land_files = task(take_in, name="land files", cache_policy=None)
gather_month = task(runs.month_tables, name="build and gather", cache_policy=None)
draw_review = task(runs.draw, name="draw", cache_policy=None)


@flow(name="intake", flow_run_name="intake of {shop}", validate_parameters=False)
def intake(shop: Path) -> dict[str, int]:
    """Land every new file of the shop's inbox. Returns rows landed by outcome."""
    settings = load(Path(shop))
    deliveries = land_files(settings, now=runs.now_at(settings))
    return {
        "files": len(deliveries),
        "accepted": sum(delivery.accepted_count for delivery in deliveries),
        "rejected": sum(delivery.rejected_count for delivery in deliveries),
    }


@flow(name="review", flow_run_name="review {month} of {shop}", validate_parameters=False)
def review(shop: Path, month: str | None = None) -> str:
    """Build what changed and write the month's page. Returns the page's path."""
    settings = load(Path(shop))
    chosen, tables = gather_month(settings, month)
    return str(draw_review(settings, chosen, tables).page)
