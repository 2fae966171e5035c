"""The analyses: pure computation on marts, each giving tables of analysis.*.

An analysis says what it reads and what it writes; pipelines/build/analysing.py fetches, calls and stores. Nothing here
knows the clock: `as_of` is the last day that the records know.
"""

from models.analyses import (
    actions,
    alarms,
    billing,
    bridge,
    carton_orders,
    causes,
    claim_steps,
    comparisons,
    completed,
    damage,
    damage_changes,
    damage_decision,
    guidance,
    insurance,
    margin_band,
    missing_invoices,
    patterns,
    rate_curves,
    services,
    trials,
    waterfall,
)
from models.analyses.question import Analysis, Question, Tables

__all__ = ["ANALYSES", "Analysis", "Question", "Tables"]

# In order: an analysis may read what those before it wrote.
ANALYSES: tuple[Analysis, ...] = (
    Analysis("margin bridge", ("bridge_cells",), ("analysis.margin_bridge",), bridge.compute),
    Analysis("months completed", completed.READS, completed.WRITES, completed.compute),
    Analysis("margin band", margin_band.READS, margin_band.WRITES, margin_band.compute),
    Analysis("waterfall", waterfall.READS, waterfall.WRITES, waterfall.compute),
    Analysis("causes", causes.READS, causes.WRITES, causes.compute, causes.MAY_READ),
    Analysis("comparisons", comparisons.READS, comparisons.WRITES, comparisons.compute),
    Analysis(
        "shipping guidance",
        guidance.READS,
        ("analysis.shipping_guidance",),
        guidance.compute,
        {guidance.FORWARD: (guidance.FORWARD,)},
    ),
    Analysis("damage", damage.READS, damage.WRITES, damage.compute),
    Analysis("packing decisions", damage_decision.READS, damage_decision.WRITES, damage_decision.compute),
    Analysis("services", services.READS, services.WRITES, services.compute),
    Analysis("changes judged", damage_changes.READS, damage_changes.WRITES, damage_changes.compute),
    Analysis("trials", trials.READS, trials.WRITES, trials.compute),
    Analysis("claim steps", claim_steps.READS, claim_steps.WRITES, claim_steps.compute),
    Analysis("patterns", patterns.READS, patterns.WRITES, patterns.compute),
    Analysis("insurance", insurance.READS, insurance.WRITES, insurance.compute),
    Analysis("alarms", alarms.READS, alarms.WRITES, alarms.compute),
    Analysis("learned sides", ("marts.carton_bulges",), ("analysis.learned_sides",), billing.learned_sides),
    Analysis("surcharge rates", ("marts.surcharge_year",), ("analysis.surcharge_rates",), billing.surcharge_rates),
    Analysis("rate curves", rate_curves.READS, rate_curves.WRITES, rate_curves.compute),
    Analysis("invoices missing", missing_invoices.READS, missing_invoices.WRITES, missing_invoices.compute),
    Analysis("carton orders", carton_orders.READS, carton_orders.WRITES, carton_orders.compute),
    # Last: it reads what the others found.
    Analysis("actions", (), actions.WRITES, actions.compute, actions.MAY_READ),
)
