"""The assortment of one problem, made ready and chosen: what the spend curve does for each number of sizes."""

from __future__ import annotations

from math import nan

from models.assortment import Assortment, AssortmentProblem, Limits
from models.assortment.instance import make_ready
from models.assortment.solve import Start, choose_ready


def choose_assortment(
    problem: AssortmentProblem, limits: Limits | None = None, start: tuple[int, ...] = ()
) -> Assortment:
    """As choose_ready; the seconds count from here, so that making ready is in them."""
    limits = limits or Limits()
    began = limits.clock() if limits.clock else nan
    instance, unserved = make_ready(problem)
    return choose_ready(instance, unserved, limits, Start(start), began)[0]
