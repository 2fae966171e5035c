"""Invoices whose rows state their tax in a column beside the amount: contained in it, or on top of it."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from models.column_map.pairing import SURE, Pairing, Sample
from models.column_map.questions import Question
from models.column_map.sample_values import amount, has_figure
from models.column_map.whole_rows import amounts, texts
from models.column_map.word_maps import is_tax, plain_word
from models.errors import ColumnMapError
from models.settings.sources import LINE_NUMBER

AMOUNT, WORD = "amount_cents", "charge_code"
PLACES = WITHIN, ON_TOP, NO_TAX = "within", "on top", "no"
# So many rows with tax, of which nine in ten bear one share of it, prove that a column is their tax.
_FEWEST = 3
_AGREED = 0.9
# Most rates of tax are whole percents; of the others none is one where its share is read the other way.
_STEP = Decimal("0.01")
# What rounding to cents may add to a sum, for each amount: four times the deviation of an even spread over one cent.
_SPREAD = Decimal("0.0116")
# Amount and tax are rounded each.
_ROUNDED = Decimal("0.011")
# Trade words of a header by which its amount contains the tax, or does not.
_CONTAINS = frozenset(("inc", "incl", "inclusive", "including", "gross", "brutto", "ttc", "inkl", "ivato", "lordo"))
_LACKS = frozenset(("ex", "excl", "exclusive", "excluding", "net", "netto", "ht", "exkl", "zzgl", "imponibile"))

Pairings = Mapping[str, Pairing]


@dataclass(frozen=True)
class RowTax:
    """tax, word, amount: headers of a row's tax, of its charge's word and amount. is_within: whether the amount
    contains the tax; None where nothing proves it.
    """

    tax: str
    word: str
    amount: str
    is_within: bool | None

    def unfolded(self, sample: Sample, decimal: str) -> Sample:
        """The sample with a row of its own for each tax, as the import makes it."""

        def less(whole: str, part: str) -> str:
            found = amount(whole, decimal), amount(part, decimal)
            return whole if None in found else str(found[0] - found[1]).replace(".", decimal)  # type: ignore[operator]

        rows = tax_rows(sample.headers, sample.rows, self, less)
        return replace(sample, headers=self.headers(sample.headers), rows=tuple(rows))

    def headers(self, own: Iterable[str]) -> tuple[str, ...]:
        """The headers of `tax_rows`."""
        return (*(each for each in own if each != self.tax), LINE_NUMBER)

    @property
    def pairings(self) -> dict[str, Pairing]:
        """What the rows that are made give: the number of each."""
        return {"line_number": Pairing("line_number", LINE_NUMBER, SURE, ("a row, and its tax",))}

    @property
    def question(self) -> Question:
        """Asked where nothing proves where the tax stands."""
        words = f'Does "{self.amount}" contain the tax in "{self.tax}", or does the tax come on top of it?'
        return Question(words, PLACES, f"--tax {self.tax}={{}}", has_likely=False)


def tax_rows(
    headers: Sequence[str], rows: Sequence[Sequence[str]], said: RowTax, less: Callable[[str, str], str]
) -> Iterator[tuple[str, ...]]:
    """Each row, then one of its tax where it has any: the header of the tax as the charge's word, the tax as the
    amount; without the column of the tax, with the number of each at the end. less: an amount without the tax that it
    contains, both as text."""
    tax, word, whole = (headers.index(each) for each in (said.tax, said.word, said.amount))
    for at, row in enumerate(rows):
        is_taxed = has_figure(row[tax])
        charge = {whole: less(row[whole], row[tax])} if is_taxed and said.is_within else {}
        for number, own in enumerate((charge, {word: said.tax, whole: row[tax]})[: 1 + is_taxed]):
            cells = (own.get(place, cell) for place, cell in enumerate(row) if place != tax)
            yield (*cells, str(2 * at + number + 1))


def stated_tax(said: str, pairings: Pairings) -> RowTax | None:
    """What was stated as HEADER=within, HEADER=on top or HEADER=no; None where it says no. Raises ColumnMapError for
    anything else, and for a file without a column for the words or the amounts of charges."""
    header, _, place = said.rpartition("=")
    if place not in PLACES:
        raise ColumnMapError(
            said, f"states none of {', '.join(PLACES)}", "the tax", f'write "{header or said}={WITHIN}"'
        )
    if place == NO_TAX:
        return None
    if (found := _of(header, pairings, place == WITHIN)) is None:
        next_step = "state them: --column charge_code=HEADER and --column amount_cents=HEADER"
        raise ColumnMapError(said, "stands beside no column for words and amounts of charges", "the tax", next_step)
    return found


def found_tax(sample: Sample, pairings: Pairings, unused: Sequence[str], decimal: str) -> RowTax | None:
    """The unused column that holds a share of every row's amount and is named as tax, where no row is of tax itself."""
    if not _has_amounts(pairings) or is_tax(*texts(sample, pairings[WORD])):
        return None
    stated = str(pairings[AMOUNT].source)
    whole, columns = _amounts(sample, stated, decimal), {each: _amounts(sample, each, decimal) for each in unused}
    named = [each for each in unused if is_tax(each) and _is_share(columns[each], whole)]
    if len(named) != 1:
        return None
    tax = columns[named[0]]
    others = [columns[each] for each in unused if each not in named]
    return _of(named[0], pairings, _by_third(whole, tax, others, stated))


def _of(header: str, pairings: Pairings, is_within: bool | None) -> RowTax | None:
    if not _has_amounts(pairings):
        return None
    return RowTax(header, str(pairings[WORD].source), str(pairings[AMOUNT].source), is_within)


def _has_amounts(pairings: Pairings) -> bool:
    return all(name in pairings and pairings[name].source for name in (WORD, AMOUNT))


def _amounts(sample: Sample, header: str, decimal: str) -> list[Decimal]:
    """The amounts of a column; a cell without one is nothing."""
    return [each or Decimal(0) for each in amounts(sample, Pairing(AMOUNT, header, SURE, decimal=decimal))]


def _is_share(tax: Sequence[Decimal], whole: Sequence[Decimal]) -> bool:
    taxed = [(part, each) for part, each in zip(tax, whole, strict=True) if part and each]
    if len(taxed) < _FEWEST or any(part and not each for part, each in zip(tax, whole, strict=True)):
        return False
    share = _total(part for part, _ in taxed) / _total(each for _, each in taxed)
    fitting = sum(abs(part - share * each) <= _ROUNDED for part, each in taxed)
    return 0 < share < 1 and fitting >= _AGREED * len(taxed)


def _by_third(
    whole: Sequence[Decimal], tax: Sequence[Decimal], others: Sequence[Sequence[Decimal]], stated: str
) -> bool | None:
    """Whether the amount contains the tax: by a third column that is one of both with or without it, by the words of
    the amount's header, or by the share, which is a rate of tax in one way only; None where nothing tells.
    """
    signed = [(sum(row), row[0] - row[1]) for row in zip(whole, tax, strict=True)]
    for other in others:
        for is_within in (True, False):
            if list(other) == [row[is_within] for row in signed]:
                return is_within
    said = frozenset(plain_word(stated).split())
    if bool(said & _CONTAINS) != bool(said & _LACKS):
        return bool(said & _CONTAINS)
    taxed = [(part, each) for part, each in zip(tax, whole, strict=True) if part]
    part, base = _total(part for part, _ in taxed), _total(each for _, each in taxed)
    near = _SPREAD * Decimal(len(taxed)).sqrt()
    is_rate = [_is_rate(part / of, near / of) for of in (base, base - part) if of > 0]
    return is_rate[1] if len(set(is_rate)) > 1 else None


def _total(amounts: Iterable[Decimal]) -> Decimal:
    return sum(map(abs, amounts), Decimal(0))


def _is_rate(share: Decimal, near: Decimal) -> bool:
    return abs(share - round(share / _STEP) * _STEP) <= near
