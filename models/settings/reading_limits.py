"""What no honest source file has: the section [reading] of the shop's settings.

The limits are on a file's shape, and on work and memory in proportion to its size. None of them is on its size itself.
"""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from annotated_types import Interval

from models.settings.sections import Section


@dataclass(frozen=True)
class Limits(Section):
    """max_columns, longest_header and longest_cell (characters), longest_line_mb: of one table. max_blank_rows: one
    after another. packed_ratio: how many times larger a packed file may be than its packing, where it is larger than
    free_unpacked_mb. seconds and memory_mb: of the reader for any file, and for each megabyte of it.
    """

    affected: ClassVar[str] = "every source file"

    max_columns: Annotated[int, Interval(ge=10, le=10**6)] = 5_000
    longest_header: Annotated[int, Interval(ge=100, le=10**6)] = 5_000
    # Contracts allow texts of 200 characters.
    longest_cell: Annotated[int, Interval(ge=1_000, le=10**8)] = 100_000
    longest_line_mb: Annotated[int, Interval(ge=1, le=1_000)] = 32
    max_blank_rows: Annotated[int, Interval(ge=1_000, le=10**10)] = 1_100_000
    packed_ratio: Annotated[int, Interval(ge=10, le=10**5)] = 200
    free_unpacked_mb: Annotated[int, Interval(ge=1, le=10**6)] = 100
    seconds: Annotated[float, Interval(ge=1, le=10**6)] = 15.0
    seconds_per_mb: Annotated[float, Interval(ge=0, le=10**4)] = 3.0
    # The reader itself takes some.
    memory_mb: Annotated[int, Interval(ge=100, le=10**6)] = 700
    memory_mb_per_mb: Annotated[float, Interval(ge=0, le=10**4)] = 5.0

    @property
    def longest_line(self) -> int:
        """Characters, or bytes, of a line."""
        return self.longest_line_mb * 1_000_000

    def processor_seconds(self, byte_count: int) -> float:
        """What reading a file of this size may take."""
        return self.seconds + self.seconds_per_mb * byte_count / 1e6

    def memory_bytes(self, byte_count: int) -> int:
        """What a reader of a file of this size may hold."""
        return int(1e6 * self.memory_mb + self.memory_mb_per_mb * byte_count)


DEFAULTS = Limits()
