"""Which k carton sizes to stock: candidates, choice with proof, spend curve, honest saving."""

from models.assortment.candidates import Candidates, candidate_sizes, closed_joins
from models.assortment.curve import SpendCurve, knee, spend_curve
from models.assortment.problem import Assortment, AssortmentProblem, Limits
from models.assortment.saving import LEAST_WEEKS, Saving, bootstrap_saving, drawn_savings, serve

__all__ = [
    "LEAST_WEEKS",
    "Assortment",
    "AssortmentProblem",
    "Candidates",
    "Limits",
    "Saving",
    "SpendCurve",
    "bootstrap_saving",
    "candidate_sizes",
    "closed_joins",
    "drawn_savings",
    "knee",
    "serve",
    "spend_curve",
]
