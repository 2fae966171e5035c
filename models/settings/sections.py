"""What a section of dunnage.toml derives from, and what refuses a value. Loads no library: readers start at once.

A setting that is a measure may be stated in the unit that is kept, or in the metric one under its own name.
"""

from collections.abc import Callable, Collection, Mapping
from dataclasses import fields
from typing import Any, ClassVar

from models.shop_units import METRIC, Units, kept_name, kept_value, measure_of, number

METRIC_NAMES = Units("", METRIC)
BOUND_PLACES = 3


class RefusedError(ValueError):
    """A value that a setting does not take.

    phrase: completes "NAME = VALUE ..."; where `at` leads from the checked table to the setting concerned, a sentence
    of its own.
    """

    def __init__(self, phrase: str, next_step: str, at: tuple[str | int, ...] = ()) -> None:
        self.phrase, self.next_step, self.at = phrase, next_step, at
        super().__init__(phrase)


class Section:
    """A table of dunnage.toml. `affected` says who suffers where it is wrong. Unknown names are refused.

    Types are strict: "5", true and 5.0 are not the number 5, and neither nan nor inf is a number.
    """

    affected: ClassVar[str] = "every command"
    __pydantic_config__: ClassVar[Any] = {"extra": "forbid", "strict": True, "allow_inf_nan": False}

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Callable[[Any], dict[str, Any]]) -> dict[str, Any]:
        """Strict fields, but read from a plain table: pydantic's strictness would ask for the finished dataclass.

        A measure may be stated in centimetres or kilograms: `reach_cm` in the place of `reach_in`.
        """
        from pydantic_core import core_schema

        schema = handler(source) | {"strict": False}
        measured = frozenset(each.name for each in fields(source) if measure_of(each.name))
        if not measured:
            return schema
        return dict(core_schema.no_info_before_validator_function(lambda stated: as_kept(measured, stated), schema))


def as_kept(measured: Collection[str], stated: object) -> object:
    """A section's table with its measures in the units kept. Raises RefusedError where one is stated twice."""
    return renamed(measured, stated, lambda name, value: kept_value(name, value) if _is_number(value) else value)


def renamed(measured: Collection[str], stated: object, value: Callable[[str, Any], object]) -> object:
    """The table with the metric names of measures replaced; `value(name, stated)` is what stands under the new one."""
    if not isinstance(stated, Mapping):
        return stated
    found: dict[object, object] = {}
    for name, said in stated.items():
        kept = kept_name(name) if isinstance(name, str) and kept_name(name) in measured else name
        if kept != name and kept in stated:
            raise RefusedError(f"states both {kept} and {name}", "keep one of them", at=(str(name),))
        found[kept] = said if kept == name else value(str(name), said)
    return found


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and value - value == 0


def as_stated(name: str, table: object) -> str:
    """The name under which a table states a setting: the metric one where it has no other."""
    metric = METRIC_NAMES.name(name)
    is_metric = isinstance(table, Mapping) and name not in table and metric in table
    return metric if is_metric else name


def bound_as_stated(name: str, bound: object) -> object:
    """A bound of a kept measure in the unit of the name it is stated under."""
    if kept_name(name) == name or not isinstance(bound, int | float):
        return bound
    return number(float(bound) * METRIC_NAMES.factor(name), BOUND_PLACES).replace(",", "")


def both_names(names: Collection[str]) -> list[str]:
    """The names of settings, with the metric ones of measures."""
    return list(dict.fromkeys([*names, *map(METRIC_NAMES.name, names)]))
