"""The page's sections. Those that modules here hold are found by themselves; `order` says where one stands.

To add one: write it with a `lead` (ids of dashboards/sentences; no text stands here but titles), a chooser per
panel (it picks and orders rows, it changes none) and, where a picture helps, a drawer made of dashboards/figures.py,
curves.py, intervals.py or stacks.py. Labels, meanings and displays come from models/columns; `all_columns`
takes a panel's columns from its table's contract. The tests of the page then walk the new section as they walk the
others.
"""

from importlib import import_module
from pkgutil import iter_modules

from dashboards.panels import Section


def all_sections() -> list[Section]:
    """Every section, in order of the page."""
    modules = [import_module(f"{__name__}.{module.name}") for module in iter_modules(__path__)]
    found = [each for module in modules for each in vars(module).values() if isinstance(each, Section)]
    return sorted(found, key=lambda section: (section.order, section.name))
