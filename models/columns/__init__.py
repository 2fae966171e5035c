"""Every column, defined once: meaning, unit, example, label, header words, and how it is displayed.

One file for each topic. The contracts of records and of built tables name their columns and take all else from here;
so do the data dictionary, the templates, the column map, the page, the workbook and the terminal.
"""

import re
from enum import Enum, auto

from models.columns.actions import ACTIONS, WRITTEN
from models.columns.billing import BILLING
from models.columns.carton_choice import CARTON_CHOICE
from models.columns.carton_stock import CARTON_STOCK
from models.columns.cartons import CARTONS
from models.columns.changes import CHANGES_MADE
from models.columns.claims import CLAIMS
from models.columns.completed_months import COMPLETION
from models.columns.damage import DAMAGE
from models.columns.goods import GOODS
from models.columns.learned import LEARNED
from models.columns.margin import MARGIN
from models.columns.parcels import PARCELS
from models.columns.services import SERVICES
from models.columns.tariffs import TARIFFS
from models.columns.time import TIMES
from models.columns.trials import TRIALS
from models.fields import Column, Definition, Quantity
from models.shop_units import LENGTH, WEIGHT, Units, measure_of

TOPICS: tuple[dict[str, Definition], ...] = (
    *(GOODS, TIMES, PARCELS, CARTONS, CLAIMS, MARGIN, ACTIONS, COMPLETION),
    *(BILLING, LEARNED, CARTON_CHOICE, CARTON_STOCK, DAMAGE, CHANGES_MADE),
    *(TARIFFS, TRIALS, SERVICES, WRITTEN),
)
COLUMNS: dict[str, Definition] = {name: column for topic in TOPICS for name, column in topic.items()}

# A column of a listing that stands in no contract still says by its suffix what it measures.
_SUFFIXES = {
    "_cents": Quantity.MONEY,
    "_count": Quantity.COUNT,
    "_lb": Quantity.WEIGHT,
    "_in": Quantity.LENGTH,
    "_rate": Quantity.FRACTION,
    "_share": Quantity.FRACTION,
    "_minutes": Quantity.MINUTES,
    "_on": Quantity.DATE,
    "_month": Quantity.DATE,
    "_at": Quantity.INSTANT,
    "_ratio": Quantity.NUMBER,
    "_days": Quantity.NUMBER,
}
_WITH_UNIT = (Quantity.MONEY, Quantity.LENGTH, Quantity.WEIGHT, Quantity.MINUTES)
_WORDLESS_SUFFIXES = ("_cents", "_lb", "_in", "_on")


class Display(Enum):
    """How a value is written; follows from what the column measures and from its suffix."""

    TEXT, COUNT, MONEY, CHANGE, LENGTH, WEIGHT, NUMBER, RATE, FLAG, DAY, MONTH, INSTANT = (auto() for _ in range(12))


_DISPLAYS = {
    Quantity.TEXT: Display.TEXT,
    Quantity.COUNT: Display.COUNT,
    Quantity.MONEY: Display.MONEY,
    Quantity.LENGTH: Display.LENGTH,
    Quantity.WEIGHT: Display.WEIGHT,
    Quantity.MINUTES: Display.NUMBER,
    Quantity.NUMBER: Display.NUMBER,
    Quantity.FRACTION: Display.RATE,
    Quantity.FLAG: Display.FLAG,
    Quantity.DATE: Display.DAY,
    Quantity.INSTANT: Display.INSTANT,
}
_BY_SUFFIX = {
    **{(Display.MONEY, f"change_{part}cents"): Display.CHANGE for part in ("", "low_", "high_")},
    (Display.DAY, "_month"): Display.MONTH,
}


def built_columns(names: str) -> dict[str, Column]:
    """The columns of a built table, named in one string and parted by blanks; `name?` may be unknown there."""
    return {name: COLUMNS[name].in_table(optional=optional) for name, optional in _named(names)}


def record_columns(names: str, kind: str) -> dict[str, Column]:
    """The columns of a kind of record, named the same way."""
    return {name: COLUMNS[name].in_record(kind, optional=optional) for name, optional in _named(names)}


def _named(names: str) -> list[tuple[str, bool]]:
    return [(name.rstrip("?"), name.endswith("?")) for name in names.split()]


def quantity(name: str) -> Quantity:
    """What the column measures: by its definition, else by its suffix, else text."""
    if name in COLUMNS:
        return COLUMNS[name].quantity
    if name.startswith(("is_", "has_")):
        return Quantity.FLAG
    return next((kind for suffix, kind in _SUFFIXES.items() if name.endswith(suffix)), Quantity.TEXT)


def display(name: str) -> Display:
    """How the column's values are written."""
    plain = _DISPLAYS[quantity(name)]
    return next((own for (of, suffix), own in _BY_SUFFIX.items() if of is plain and name.endswith(suffix)), plain)


def label(name: str) -> str:
    """Words for a column header."""
    if name in COLUMNS and COLUMNS[name].label:
        return COLUMNS[name].label
    bare = next((name.removesuffix(end) for end in _WORDLESS_SUFFIXES if name.endswith(end)), name)
    return bare.removeprefix("is_").removeprefix("has_").replace("_", " ").capitalize()


def meaning(name: str, units: Units) -> str:
    """The sentence on the column, as a shop of these units reads it; empty where it stands in no contract."""
    return units.converted(re.sub(r"`([^`]*)`", r"“\1”", COLUMNS[name].meaning)) if name in COLUMNS else ""


def unit(name: str, units: Units) -> str:
    """The unit as shown to the reader: amounts in the currency, measures in the shop's units, rates in percent."""
    kind = quantity(name)
    if kind is Quantity.MONEY:
        return units.currency
    return "percent" if kind is Quantity.FRACTION else units.sign(name) or kind.unit


def unsaid_unit(name: str, units: Units) -> str:
    """The unit of an amount, length, weight or time, where the label does not say it already; empty for all else."""
    shown = unit(name, units)
    return shown if quantity(name) in _WITH_UNIT and shown not in label(name).replace(",", " ").split() else ""


def head(name: str, units: Units) -> str:
    """The label with the unit of a measure: what stands over cells that are written without one."""
    return f"{label(name)}, {units.sign(name)}" if is_measure(name) else label(name)


def is_measure(name: str) -> bool:
    """Whether it is a length or a weight, which each shop sees in its own units."""
    return measure_of(name) in (LENGTH, WEIGHT)


def is_figure(name: str) -> bool:
    """Whether the column holds numbers, set to the right in a table."""
    return quantity(name) not in (Quantity.TEXT, Quantity.FLAG, Quantity.DATE, Quantity.INSTANT)
