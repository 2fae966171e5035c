"""What a section of dunnage.toml derives from, and what refuses a value. Loads no library: readers start at once."""

from collections.abc import Callable
from dataclasses import fields
from typing import Any, ClassVar

from models.shop_units import measure_of


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

        from models.settings.measures import as_kept

        schema = handler(source) | {"strict": False}
        measured = frozenset(each.name for each in fields(source) if measure_of(each.name))
        if not measured:
            return schema
        return dict(core_schema.no_info_before_validator_function(lambda stated: as_kept(measured, stated), schema))
