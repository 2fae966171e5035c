"""The text of a new shop's dunnage.toml: every setting with its meaning, those that matter later as comments."""

from pathlib import Path

import tomlkit

from models.settings.cartons import Cartons
from models.settings.near_misses import NearMisses
from models.settings.shop import Folders, Shop
from models.shop_units import Units, measure_of
from pipelines.shop.starting.templates import template_sources

TEMPLATES = "templates"
_SETTINGS = Path(__file__).with_name("dunnage.toml.txt")


def settings_text(shop: Shop) -> str:
    """The whole dunnage.toml of a new shop."""
    filled = _SETTINGS.read_text(encoding="utf-8").format(
        name=tomlkit.item(shop.name).as_string(),
        currency=tomlkit.item(shop.currency).as_string(),
        time_zone=tomlkit.item(shop.time_zone).as_string(),
        units=shop.shown_units,
        **_measures(shop.shown_units),
        wage=shop.wage_cents_per_hour,
        folders=Folders(),
        templates=TEMPLATES,
    )
    return f"{filled}\n{template_sources(shop.shown_units)}"


def _measures(units: Units) -> dict[str, str]:
    """Settings that are measures, as lines in the shop's units, by the name under which they are kept."""
    kept = vars(NearMisses()) | vars(Cartons())
    return {name: f"{units.name(name)} = {units.value(name, kept[name])}" for name in kept if measure_of(name)}
