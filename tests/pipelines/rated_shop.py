"""A shop whose parcels are rated by the demo's tariffs, with so many that cartons can be chosen for them."""

from __future__ import annotations

import shutil
from pathlib import Path

from pipelines.review import runs
from tests.pipelines.parcels import DEMO
from tests.pipelines.small_shop import land, with_mail

BOXED = {
    **{"carton_code": "WIDE", "packing_method": "foam", "scale_weight_lb": 13, "is_residential": True},
    **{"length_in": 49.0, "width_in": 13.0, "height_in": 13.0},
}
WIDE = {"carton_code": "WIDE", "inside_width_in": 12, "inside_height_in": 12, "unit_cost_cents": 400}


def rated_shop(folder: Path) -> None:
    """A shop with the demo's tariffs and parcels in five months, so that there are cartons to choose from."""
    folder.mkdir()
    settings = with_mail(folder)
    shutil.copytree(DEMO, folder / "tariffs")
    days = [f"2026-{month:02}-{day:02}" for month in range(6, 11) for day in (5, 6, 19)]
    land(settings, "sales", [{"sale_id": f"S{n}", "sold_at": f"{day} 09:00:00"} for n, day in enumerate(days)])
    packed = [{"parcel_id": f"P{n}", "sale_id": f"S{n}", "shipped_on": day} for n, day in enumerate(days)]
    land(settings, "weights", [BOXED | row for row in packed])
    land(settings, "cartons", [{"carton_code": "C-48"}, WIDE])
    land(settings, "packing_methods", [{"packing_method": "foam"}])
    land(settings, "item_types", [{"item_type": "tripod"}])
    runs.run_review(settings)
