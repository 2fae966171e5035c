"""The parcels that lost most: where to look first."""

from dashboards.panels import Panel, Section, all_columns, month_by

TABLE = "marts.worst_parcels"

SECTION = Section(
    order=80,
    chapter="money",
    name="parcels",
    title="Parcels that lost most",
    lead=("margin.partly_billed", "margin.how_to_read_parcels"),
    parts=(
        Panel(
            "worst-parcels",
            "Parcels with the lowest margin",
            TABLE,
            all_columns(TABLE, but="shipped_month place channel"),
            month_by("place"),
            when_empty="margin.no_parcels",
        ),
    ),
)
