"""What the chosen sizes cost under each demand of the year to come, and what sizes chosen for it alone would cost."""

from collections.abc import Callable

import numpy as np
import pandas as pd

from models.assortment import AssortmentProblem, Limits, serve
from models.assortment.curve import CURVE_GAP
from models.assortment.solve import choose_assortment
from models.carton_choice.choosing import Choice, size_problem
from models.settings.cartons import Cartons

COLUMNS = ("year_demand", "demand_parcels", "monthly_cents", "best_monthly_cents", "regret_month_cents")
# Share of the seconds of a choice that each demand may take.
TIME_SHARE = 1 / 8


def demand_costs(choice: Choice, settings: Cartons, clock: Callable[[], float]) -> pd.DataFrame:
    """One row per demand, of which the chosen sizes serve the mean; none where there is one demand only.

    best_monthly_cents: as many sizes chosen for that demand alone, within CURVE_GAP of the least as far as time goes.
    """
    limits = Limits(CURVE_GAP, settings.seconds * TIME_SHARE, clock)
    found = []
    for demand in choice.demands if choice.demands[1:] else ():
        count = max(1, len(choice.chosen.sizes))
        problem = size_problem(choice.sizes, choice.costs, demand, count, settings)
        cents = _total_cents(problem, choice.chosen.sizes)
        alone = choose_assortment(problem, limits, choice.chosen.sizes)
        best = min(cents, round(alone.total_cents))
        found.append((demand.name, demand.parcels, cents, best, cents - best))
    return pd.DataFrame(found, columns=list(COLUMNS))


def _total_cents(problem: AssortmentProblem, sizes: tuple[int, ...]) -> int:
    """What the demand costs a month with these sizes; without what none of them holds."""
    _, cents = serve(problem.costs_cents, sizes)
    return round(float(np.nansum(cents) + problem.fixed_cents[list(sizes)].sum()))
