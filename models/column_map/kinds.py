"""The kind of record that a file suits best, by the columns that its headers and values give; or none."""

from collections.abc import Collection
from dataclasses import dataclass

from models.column_map.pairing import SURE, Sample, assign, assign_by_values, score_pairs
from models.column_map.whole_rows import missing_columns, nearest_shape, wanted_columns
from models.contracts import Contract
from models.reference import RECORDS

# What a file need not hold: each row can be its own line, and a carrier's file need not name the carrier.
_FILLED = frozenset(("line_number", "carrier"))


@dataclass(frozen=True)
class Fit:
    """How well a sample suits a kind of record. found, missing: columns of the nearest way to keep such records."""

    kind: str
    found: tuple[str, ...]
    missing: tuple[str, ...]
    worth: float

    @property
    def is_one(self) -> bool:
        """Whether the file can be of this kind: it has two needed columns or more, and at least half of them."""
        return len(self.found) >= max(2, len(self.missing))


def nearest_kind(sample: Sample, personal: Collection[str] = ()) -> Fit:
    """The kind that the sample suits best. Sure columns count for it, missing needed ones against it.

    An invoice is known by its own marks: the number on the label, the weight billed, amounts by kind of charge.
    """
    headers = [written for written in sample.headers if written not in personal]
    return max((_fit(schema, sample, headers) for schema in RECORDS.values()), key=lambda fit: (fit.is_one, fit.worth))


def stock_numbers(sample: Sample, unused: Collection[str]) -> str | None:
    """The unused header of a list of goods by which it says, too, which item type each stock number stands for."""
    scores = score_pairs(RECORDS["skus"], sample, unused)
    sure = [written for written in unused if scores["sku", written].value >= SURE]
    return sure[0] if len(sure) == 1 else None


def _fit(schema: Contract, sample: Sample, headers: list[str]) -> Fit:
    scores = score_pairs(schema, sample, headers)
    paired = assign(list(schema.columns), headers, scores)
    free = [written for written in headers if written not in paired.values()]
    by_values = assign_by_values(wanted_columns(schema), sample, paired, free)
    there = {*paired, *by_values, *_FILLED}
    missing = missing_columns(schema, there)
    needed = set(nearest_shape(schema, there)) - _FILLED
    found = tuple(name for name in schema.columns if name in needed and name in paired)
    worth = sum(scores[name, written].value ** 2 for name, written in paired.items()) - len(missing)
    return Fit(str(schema.name), found, missing, worth)
