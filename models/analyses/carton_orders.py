"""What to order of each carton, and when."""

import pandas as pd

from models.analyses.question import Question
from models.carton_choice.orders import carton_orders
from models.carton_choice.use import use_of
from models.settings.cartons import Cartons

READS = ("marts.carton_stock", "marts.carton_days", "carton_price_steps", "analysis.carton_substitutes")
WRITES = ("analysis.carton_orders",)


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.carton_orders."""
    stock, days, steps, substitutes = (question.table(name) for name in READS)
    settings = Cartons(**question.options.get("cartons", {}))
    return {WRITES[0]: carton_orders(stock, steps, use_of(days), settings, substitutes)}
