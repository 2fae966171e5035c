"""One box in place of every section that the records cannot fill."""

from dashboards.panels import Section

SECTION = Section(
    order=890,
    chapter="records",
    name="missing",
    title="What more records would tell",
    lead=(),
    points="missing.charges missing.sales missing.goods missing.tariff missing.tax missing.claims missing.weights "
    "missing.cartons missing.packing_methods missing.item_types missing.labels missing.returns",
)
