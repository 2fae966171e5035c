"""Invoices with a column for each charge: known by amounts side by side that add up to a total in every row."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation

from models.cells.decimal_marks import decimal_marks
from models.column_map.headers import header
from models.column_map.pairing import SURE, Pairing, Sample
from models.column_map.sample_values import has_figure
from models.column_map.word_maps import is_tax
from models.settings.sources import AMOUNT, LINE_NUMBER, WORD

# Fewer rows with two charges or more prove nothing.
_FEWEST = 3
# What only a carrier charges for: no label history and no bench log splits its amounts so.
_CARRIERS_OWN = """
    surcharge fuel diesel treibstoff kraftstoff maut carburant gazole peage combustible peaje
    carburante pedaggio combustivel portagem toll
"""
_OWN = frozenset(_CARRIERS_OWN.split())
# A run of amounts without one of these words may be anything that adds up.
_CHARGES = _OWN | {"postage", "fee", "base"}


@dataclass(frozen=True)
class WideAmounts:
    """amounts: header -> word of the charge. total: the header of their sum, if there is one."""

    amounts: Mapping[str, str]
    total: str | None = None

    @property
    def pairings(self) -> dict[str, Pairing]:
        """What the rows that are made give."""
        made = {"charge_code": WORD, "amount_cents": AMOUNT, "line_number": LINE_NUMBER}
        return {name: Pairing(name, each, SURE, ("a row for each charge",)) for name, each in made.items()}

    @property
    def columns(self) -> tuple[str, ...]:
        """The headers of the amounts, and of their sum."""
        return (*self.amounts, *filter(None, [self.total]))

    @property
    def is_of_carrier(self) -> bool:
        """Whether one of them is what only a carrier charges for."""
        return _has_word(self.amounts, _OWN)

    def own(self, headers: Iterable[str]) -> tuple[str, ...]:
        """The headers that stay: neither an amount nor the total."""
        return tuple(each for each in headers if each not in self.columns)

    def headers(self, headers: Iterable[str]) -> tuple[str, ...]:
        """The headers of `amount_rows`."""
        return (*self.own(headers), WORD, AMOUNT, LINE_NUMBER)

    def unfolded(self, sample: Sample) -> Sample:
        """The sample with a row for each charge, as the import makes it."""
        rows = amount_rows(sample.headers, sample.rows, self)
        return replace(sample, headers=self.headers(sample.headers), rows=tuple(rows))


def amount_rows(headers: Sequence[str], rows: Sequence[Sequence[str]], said: WideAmounts) -> Iterator[tuple[str, ...]]:
    """Each row once for every charge that it has: its own cells, the word, the amount, the number."""
    places = {header: at for at, header in enumerate(headers)}
    own = [places[each] for each in said.own(headers)]
    for at, row in enumerate(rows):
        for number, (written, word) in enumerate(said.amounts.items()):
            amount = row[places[written]]
            if has_figure(amount):
                yield (*(row[each] for each in own), word, amount, str(at * len(said.amounts) + number + 1))


def found_amounts(sample: Sample, personal: Collection[str] = ()) -> WideAmounts | None:
    """The longest run of two amounts or more, with the column that is their sum in every sampled row; else None."""
    columns = {
        at: values
        for at, each in enumerate(sample.headers)
        if each not in personal and (values := _values([row[at] for row in sample.rows])) is not None
    }
    # Amounts have decimals; between two of them a column may be empty in the first rows.
    ends = [at for at in columns if decimal_marks(row[at] for row in sample.rows)]
    runs = sorted((run for total in ends for run in _runs(total, columns, ends)), key=lambda run: (-len(run[1]), run))
    for total, run in runs:
        named = [sample.headers[at] for at in run]
        if _is_sum(columns[total], [columns[at] for at in run]) and _has_word(named, _CHARGES):
            return _with_tax(WideAmounts(dict(zip(named, named, strict=True)), sample.headers[total]), sample, columns)
    return None


def _with_tax(found: WideAmounts, sample: Sample, columns: Mapping[int, Sequence[Decimal]]) -> WideAmounts:
    """The amounts with a tax on top of their sum, where a third column is both in every row."""
    net = columns[sample.headers.index(str(found.total))]
    left = {sample.headers[at]: values for at, values in columns.items() if sample.headers[at] not in found.amounts}
    for tax in (each for each in left if each != found.total and is_tax(each)):
        both = [sum(row) for row in zip(net, left[tax], strict=True)]
        for gross, values in left.items():
            if gross not in (tax, found.total) and list(values) == both:
                return WideAmounts({**found.amounts, tax: tax}, gross)
    return found


def _runs(
    total: int, columns: Mapping[int, Sequence[Decimal]], ends: Sequence[int]
) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Amounts side by side, without the total."""
    for begin in ends:
        end = begin + 1
        while end in columns and total not in (begin, end):
            if end in ends:
                yield total, tuple(range(begin, end + 1))
            end += 1


def _is_sum(total: Sequence[Decimal], parts: Sequence[Sequence[Decimal]]) -> bool:
    rows = zip(total, *parts, strict=True)
    if any(sum(row) != stated for stated, *row in rows):
        return False
    return sum(1 for row in zip(*parts, strict=True) if sum(1 for amount in row if amount) > 1) >= _FEWEST


def _has_word(headers: Iterable[str], charges: Collection[str]) -> bool:
    written = (word for each in headers for meanings in header(each).words for word in meanings)
    # German joins them: Dieselzuschlag.
    return any(word in charges or any(charge in word for charge in charges if len(charge) > 4) for word in written)


def _values(texts: Sequence[str]) -> list[Decimal] | None:
    """The amounts of a column, empty cells as nothing; None where it holds anything else."""
    marks = decimal_marks(texts)
    if len(marks) > 1:
        return None
    mark = next(iter(marks), ".")
    other = "," if mark == "." else "."
    try:
        return [_value(text.strip(), mark, other) for text in texts]
    except InvalidOperation:
        return None


def _value(text: str, mark: str, other: str) -> Decimal:
    plain = "".join(each for each in text if each not in " '’$€£" and not each.isspace())
    return Decimal(plain.replace(other, "").replace(mark, ".") or 0)
