"""What an export of sales proves of its amounts: whether they are of a piece, of a line or of a whole sale."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from statistics import median

from models.column_map.headers import header
from models.column_map.pairing import SURE, Pairing, Sample
from models.column_map.whole_rows import amounts, texts

PRICE, SHIPPING, FEE = "item_price_cents", "shipping_charged_cents", "marketplace_fee_cents"
# What says that a price is of all pieces of a line, and that another amount is of the whole sale.
OF_LINE = "is_price_of_line"
OF_SALE = {SHIPPING: "is_shipping_of_sale", FEE: "is_fee_of_sale"}
# The first of them that a file has says which goods a line is of.
_GOODS = ("sku", "item_type", "title")
# A price this near to that of one piece, or to as many times that as there are pieces, speaks for it.
_NEAR = Decimal("0.15")
# Trade words by which a header may mean the whole line.
_OF_TOTALS = frozenset(("total", "amount", "line"))
# So many lines prove what a price is of, if nine in ten say the same.
_PROVING = 2
_AGREED = 0.9
# Sales with a line that was cancelled or given back may differ where others repeat; more than these do not repeat.
_FEW = 0.2
# Sales whose lines repeat an amount: so many make it likely that it is the sale's.
LIKELY = 3


@dataclass(frozen=True)
class SaleAmounts:
    """The sampled lines of sales, their amounts read. pairings: contract column -> where it comes from."""

    sample: Sample
    pairings: Mapping[str, Pairing]

    def proven(self) -> Iterator[Pairing]:
        """What the rows prove, as values that every row has."""
        if OF_LINE not in self.pairings and self._is_of_line:
            reason = f"{len(self._lines_of_many)} lines of several pieces cost as many times what one costs alone"
            yield Pairing(OF_LINE, None, SURE, (reason,), constant="yes")

    def is_price_open(self) -> bool:
        """Whether the header leaves open what a price is of, and lines of several pieces do not prove it."""
        if OF_LINE in self.pairings or self._is_of_line is not None or not {PRICE, "quantity"} <= set(self.pairings):
            return False
        written = header(self.pairings[PRICE].source or "").words
        says_total = any(meanings & _OF_TOTALS for meanings in written)
        return says_total and any(pieces and pieces > 1 for pieces in self._amounts("quantity"))

    def repeating(self, name: str) -> int:
        """Sales whose lines all repeat an amount, where few have lines that differ; of fees, on goods that do."""
        several = self._several(name)
        if self._differing(name) > _FEW * len(several):
            return 0
        return sum(1 for amounts, prices in several if _is_one(amounts) and not (name == FEE and _is_one(prices)))

    @cached_property
    def _is_of_line(self) -> bool | None:
        """Whether prices are of lines or of pieces; None where too few lines of several pieces say the same."""
        lines = self._lines_of_many
        if len(lines) < _PROVING or _AGREED * len(lines) > max(sum(lines), len(lines) - sum(lines)):
            return None
        return 2 * sum(lines) > len(lines)

    def _differing(self, name: str) -> int:
        return sum(1 for amounts, _ in self._several(name) if not _is_one(amounts))

    def _several(self, name: str) -> list[tuple[list[Decimal], list[Decimal | None]]]:
        """Amounts and prices of each sale of several lines that states any; an empty cell is nothing."""
        if not {"sale_id", name} <= set(self.pairings) or self.pairings[name].source in self.sample.joined:
            return []
        sales = defaultdict[str, list[tuple[Decimal, Decimal | None]]](list)
        prices = self._amounts(PRICE) if PRICE in self.pairings else [None] * len(self.sample.rows)
        for sale, stated, price in zip(self._written("sale_id"), self._amounts(name), prices, strict=True):
            sales[sale].append((stated or Decimal(0), price))
        found = ([*zip(*lines, strict=True)] for lines in sales.values() if len(lines) > 1)
        return [(list(amounts), list(prices)) for amounts, prices in found if any(amounts)]

    @cached_property
    def _lines_of_many(self) -> list[bool]:
        """Of each line of several pieces, whose goods are sold singly too, whether its price is that of all."""
        goods = next((name for name in _GOODS if name in self.pairings), None)
        if goods is None or not {PRICE, "quantity"} <= set(self.pairings):
            return []
        rows = [*zip(self._written(goods), self._amounts("quantity"), self._amounts(PRICE), strict=True)]
        singly = defaultdict[str, list[Decimal]](list)
        for text, pieces, price in rows:
            if pieces == 1 and price:
                singly[text].append(price)
        many = ((pieces, price / median(singly[text])) for text, pieces, price in rows if price and text in singly)
        judged = (_is_of_line(pieces, times) for pieces, times in many if pieces)
        return [each for each in judged if each is not None]

    def _amounts(self, name: str) -> list[Decimal | None]:
        return amounts(self.sample, self.pairings[name])

    def _written(self, name: str) -> list[str]:
        return [text.strip() for text in texts(self.sample, self.pairings[name])]


def _is_of_line(pieces: Decimal, times: Decimal) -> bool | None:
    """Whether so many pieces at so many times the price of one were paid with it; None where neither is near."""
    if pieces <= 1:
        return None
    if abs(times / pieces - 1) <= _NEAR:
        return True
    return False if abs(times - 1) <= _NEAR else None


def _is_one(amounts: Sequence[Decimal | None]) -> bool:
    return len(set(amounts)) == 1
