"""The page's sections. A module here with a constant SECTION is found by itself; `order` says where it stands."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from dashboards.parts import Section


def all_sections() -> list[Section]:
    """Every section, in order of the page."""
    modules = [import_module(f"{__name__}.{module.name}") for module in iter_modules(__path__)]
    found = [module.SECTION for module in modules if hasattr(module, "SECTION")]
    return sorted(found, key=lambda section: (section.order, section.name))
