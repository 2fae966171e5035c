"""What a section of dunnage.toml derives from. Without a library: the reader of single files starts at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar


class Section:
    """A table of dunnage.toml. `affected` says who suffers where it is wrong. Unknown names are refused.

    Types are strict: "5", true and 5.0 are not the number 5, and neither nan nor inf is a number.
    """

    affected: ClassVar[str] = "every command"
    __pydantic_config__: ClassVar[Any] = {"extra": "forbid", "strict": True, "allow_inf_nan": False}

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Callable[[Any], dict[str, Any]]) -> dict[str, Any]:
        """Strict fields, but read from a plain table: pydantic's strictness would ask for the finished dataclass."""
        return handler(source) | {"strict": False}
