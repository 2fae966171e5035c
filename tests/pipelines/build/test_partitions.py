"""How tables are kept: by parcel, sale or month where their SQL allows it, else built whole."""

from __future__ import annotations

from models.tables import TABLES
from models.tables.incremental_rules import LOOKUPS
from pipelines.build.partitions import parts, parts_of
from pipelines.build.sql_models import Model, models


def test_every_table_kept_by_part_is_built_and_reads_only_such() -> None:
    found, kept = models(), parts()
    for name in sorted(kept.every & set(found)):
        strangers = {
            each for each in found[name].references - kept.every if not each.startswith(("accepted.", "shop."))
        }
        assert strangers == set(), name
        if name in kept.by_month:
            assert found[name].references <= {*kept.by_parcel, *kept.row_by_row}, name
        elif name not in LOOKUPS:
            assert found[name].references.isdisjoint(kept.by_month), name


def test_a_table_that_nobody_thought_of_is_built_every_time() -> None:
    """It is kept by part only where all that it reads is, whatever its columns promise."""
    reads = {
        "parcels": ("core.parcels", "by_parcel"),
        "months": ("core.parcels", "by_month"),
        "ranks": ("marts.shipping_margin", None),
        "of_months": ("marts.margin_cells", None),
        "of_intake": ("intake.deliveries", None),
    }
    keys = {"months": "marts.coverage", "of_months": "marts.coverage"}
    added = {f"marts.{name}": Model(f"marts.{name}", "", frozenset({read})) for name, (read, _) in reads.items()}
    contracts = {f"marts.{name}": TABLES[keys.get(name, "marts.claim_losses")] for name in reads}
    kept = parts_of({**models(), **added}, {**TABLES, **contracts})
    for name, (_, how) in reads.items():
        assert (f"marts.{name}" in kept.merged) == (how is not None), name
        assert how is None or f"marts.{name}" in getattr(kept, how), name
    assert set(models()) - kept.merged >= {"marts.shipping_margin", "marts.billing_disputes", "core.learned_sides"}
