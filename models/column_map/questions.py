"""What a file leaves open: one question each, with its answers and the option that gives the answer to a script."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from models.cells.currencies import is_currency
from models.cells.decimal_marks import NUMBERS, ambiguous_numbers
from models.cells.units import offered
from models.column_map.answers import as_typed, as_words
from models.column_map.headers import header, named_currency
from models.column_map.pairing import LEAST_FIT, Pairing, Sample
from models.column_map.proposal import DATES, Proposal, cells_without_unit
from models.column_map.sale_amounts import LIKELY, OF_LINE, OF_SALE, PRICE, SaleAmounts
from models.column_map.sample_values import allowed_words, fitness, has_open_dates
from models.contracts import Contract
from models.fields import Column, Quantity

YES, NO = "yes", "no"
# What a file often leaves out because it is the same in every row: a carrier's export what stands in its letterhead, a
# list of goods how they may lie, a list of prices from when they are valid.
_ONCE_PER_FILE = frozenset(("carrier", "invoice_number", "invoiced_on", "turns", "effective_from"))
# A list of cartons states what a pack costs; trade words by which a header speaks of packs.
_OF_PACK = "is_price_of_several"
_PACKS = frozenset(("bundle", "packed"))
# What is the same in every row of one file and never in those of several.
_ONCE_PER_INVOICE, _FROM_NAME = "invoice_number", "--from-name"
# A column that holds what most rows share has fewer texts than rows, once there are so many rows.
_MANY_ROWS = 5


@dataclass(frozen=True)
class Question:
    """words: the question. choices: its usual answers. option: what an answer adds to the command; `{}` is the answer.

    NO as an answer leaves the column out. is_needed: whether no row could be read without an answer. has_likely:
    whether the first of its answers is likelier than the others. constant: the option that gives every row one
    value, taken where the answer is none of the choices.
    """

    words: str
    choices: tuple[str, ...]
    option: str
    column: str | None = None
    is_needed: bool = True
    has_likely: bool = True
    constant: str | None = None

    def answered(self, answer: str) -> list[str]:
        """The words that the answer adds to the command line."""
        if answer == NO and self.column is not None:
            return ["--without", self.column]
        is_stated = self.constant and answer not in self.choices
        return as_words(self.constant if self.constant and is_stated else self.option, answer)

    @property
    def example(self) -> str:
        """The option with its first answer, as it is typed, with dots where no answer is likelier than another; and the
        one that says no.
        """
        refused = " ".join(self.answered(NO)) if NO in self.choices and self.column else ""
        if self.choices[:1] == (NO,) and refused:
            return refused
        typed = as_typed(self.option, self.choices[0] if self.choices and self.has_likely else "...")
        if self.constant:
            is_named = self.constant.startswith(_FROM_NAME)
            where = "where * stands for it in the file's name" if is_named else "where it is the same in every row"
            return f"{typed}, or {as_typed(self.constant, '...')} {where}"
        return f"{typed}, or {refused}" if refused else typed


def open_questions(
    proposal: Proposal, schema: Contract, sample: Sample, is_metric: bool = False, files: str = ""
) -> tuple[Question, ...]:
    """All that the file and the user have left open, the columns without a source first.

    is_metric: whether the shop measures in centimetres and kilograms, which are then offered first. files: the pattern
    of the names of the files that the map is for.
    """
    columns = schema.columns
    return (
        *(_of_missing(name, schema, proposal, sample, files) for name in proposal.missing),
        *(_of_header(each, schema) for each in proposal.pairings if not each.is_sure),
        *_of_marks(proposal, columns, sample, is_metric),
        *_of_sales(proposal, sample),
        *_of_packs(proposal, sample),
        *(found for each in proposal.pairings for found in _of_words(each, columns[each.column])),
    )


def _of_missing(name: str, schema: Contract, proposal: Proposal, sample: Sample, files: str) -> Question:
    first = name.split()[0]
    column = schema.columns[first]
    choices = _offered(first, schema, proposal, sample)
    words, option = f"Which column is {name} ({_in_short(column)})?", f"--column {first}={{}}"
    is_one = len(choices) == 1
    if column.nullable and first == name:
        return Question(f"{words[:-1]}, or none?", (*choices, NO), option, first, has_likely=is_one)
    if first == _ONCE_PER_INVOICE and "*" in files:
        return _of_name(first, column, choices, files)
    stated = f"--constant {first}={{}}"
    if choices or (first in schema.key and first not in _ONCE_PER_FILE):
        constant = stated if first in _ONCE_PER_FILE else None
        return Question(words, choices, option, has_likely=is_one, constant=constant)
    words = f"No column gives {name} ({_in_short(column)}): what is it in every row?"
    return Question(words, allowed_words(column), stated, has_likely=False)


def _of_name(name: str, column: Column, choices: tuple[str, ...], files: str) -> Question:
    """No constant answers where several files come by the map: each would pass for a correction of the one before."""
    if choices:
        words, option = f"Which column is {name} ({_in_short(column)})?", f"--column {name}={{}}"
        return Question(words, choices, option, has_likely=len(choices) == 1, constant=f"{_FROM_NAME} {name}={{}}")
    words = f"No column gives {name} ({_in_short(column)}): what does * stand for it in, of the file's name?"
    return Question(words, (files,) if files.count("*") == 1 else (), f"{_FROM_NAME} {name}={{}}")


def _offered(name: str, schema: Contract, proposal: Proposal, sample: Sample) -> tuple[str, ...]:
    """Headers that may answer for a column: unused ones; of days else those of columns that a row may lack."""
    column = schema.columns[name]
    found = tuple(each for each in without_discounts(proposal.unused) if _could_be(name, column, sample.column(each)))
    if found or column.quantity not in DATES:
        return found
    lent = (each.source for each in proposal.pairings if each.source and schema.columns[each.column].nullable)
    return tuple(each for each in lent if _could_be(name, column, sample.column(each)))


def without_discounts(written: Iterable[str]) -> list[str]:
    """The headers that speak of no discount: what a buyer was let off answers for nothing that a record has."""
    return [each for each in written if not any("discount" in meanings for meanings in header(each).words)]


def _in_short(column: Column) -> str:
    """What the column means wherever it stands; what it means of one kind of record comes behind a semicolon."""
    return column.meaning.partition(";")[0]


def _could_be(name: str, column: Column, texts: Collection[str]) -> bool:
    """Whether a header of these texts may answer for a column: where not even half of them fit, it cannot."""
    if _holds_currencies(texts):
        return False
    if name in _ONCE_PER_FILE and column.quantity is Quantity.TEXT and len(texts) > _MANY_ROWS:
        return len(set(texts)) < len(texts)
    if allowed_words(column):
        return len(set(texts)) <= max(_MANY_ROWS, len(texts) // 2)
    return fitness(column, list(texts)) >= LEAST_FIT


def _holds_currencies(texts: Collection[str]) -> bool:
    """Whether all values are codes of currencies: no record asks for them, so they answer no question."""
    return bool(texts) and all(is_currency(text.strip().upper()) for text in texts)


def _of_header(pairing: Pairing, schema: Contract) -> Question:
    column = schema.columns[pairing.column]
    choices = (pairing.source or "", *([pairing.runner_up] if pairing.runner_up else []))
    no = (NO,) if column.nullable else ()
    words = f'Is "{pairing.source}" {pairing.column} ({_in_short(column)})?'
    return Question(words, (*choices, *no), f"--column {pairing.column}={{}}", pairing.column, not column.nullable)


def _of_marks(proposal: Proposal, columns: Mapping[str, Column], sample: Sample, is_metric: bool) -> Iterator[Question]:
    has_mark, has_order = False, False
    for pairing in proposal.pairings:
        wanted = columns[pairing.column].quantity
        texts = sample.column(pairing.source) if pairing.source else []
        is_open = (proposal.decimal or pairing.decimal) is None and wanted in NUMBERS
        if is_open and not has_mark and (unread := ambiguous_numbers(texts)):
            has_mark = True
            yield Question(f'Which decimal mark has "{unread[0]}" in "{pairing.source}"?', (".", ","), "--decimal {}")
        if wanted in DATES and not has_order and not (proposal.date_order or pairing.date_order):
            has_order = has_open_dates(texts)
            if has_order:
                words = f'In which order does "{texts[0]}" in "{pairing.source}" give day, month and year?'
                yield Question(words, ("dmy", "mdy", "ymd"), "--date-order {}")
        if bare := cells_without_unit(pairing, wanted, texts):
            words = f'In which unit is "{bare[0]}" in "{pairing.source}" ({pairing.column})?'
            yield Question(words, offered(wanted, is_metric), f"--unit {pairing.column}={{}}", pairing.column)


def _of_sales(proposal: Proposal, sample: Sample) -> Iterator[Question]:
    """Of an export of sales: what its amounts are of, where the rows do not prove it."""
    if proposal.kind != "sales":
        return
    pairings = {each.column: each for each in proposal.pairings}
    found = SaleAmounts(sample, pairings)
    if found.is_price_open():
        words = f'Is "{pairings[PRICE].source}" what all pieces of a line cost together, not the price of one?'
        yield Question(words, (YES, NO), f"--constant {OF_LINE}={{}}", has_likely=False)
    for name, flag in OF_SALE.items():
        if flag not in pairings and (sales := found.repeating(name)):
            shown = f'"{pairings[name].source}" is the same on all lines of a sale, in {sales:,} sales'
            words = f"{shown}: is it that of the whole sale?"
            yield Question(words, (YES, NO), f"--constant {flag}={{}}", has_likely=sales >= LIKELY)


def _of_packs(proposal: Proposal, sample: Sample) -> Iterator[Question]:
    """Of a list of cartons: whether a price whose header speaks of packs is that of a whole one."""
    pairings = {each.column: each for each in proposal.pairings}
    price, pack = (pairings.get(name) for name in ("unit_cost_cents", "pack_quantity"))
    if proposal.kind != "cartons" or _OF_PACK in pairings or not (price and price.source and pack and pack.source):
        return
    if any(meanings & _PACKS for meanings in header(price.source).words):
        words = f'Is "{price.source}" what all pieces of "{pack.source}" cost together, not the price of one carton?'
        yield Question(words, (YES, NO), f"--constant {_OF_PACK}={{}}", has_likely=False)


def _of_words(pairing: Pairing, column: Column) -> Iterator[Question]:
    listed = allowed_words(column) or ("yes", "no")
    for word in (*pairing.guessed, *pairing.unknown):
        likely = pairing.values.get(word)
        choices = (*([likely] if likely else []), *(each for each in listed if each != likely))
        words = f'What does "{word}" in "{pairing.source}" mean ({pairing.column})?'
        option = f"--word {pairing.column}:{word}={{}}"
        yield Question(words, choices, option, is_needed=False, has_likely=likely is not None)


def foreign_amounts(
    proposal: Proposal, schema: Contract, currency: str | None, stated: Collection[str] | None
) -> Iterator[Question]:
    """Amounts whose header names another currency than the shop's. A column that was `stated` is taken as it is."""
    for pairing in proposal.pairings:
        is_amount = schema.columns[pairing.column].quantity is Quantity.MONEY and pairing.source is not None
        named = named_currency(pairing.source or "") if is_amount else None
        if currency and named and named != currency and pairing.column not in (stated or ()):
            words = f'"{pairing.source}" names {named}, but the shop keeps {currency}: are the amounts {currency}?'
            yield Question(words, (pairing.source or "", NO), f"--column {pairing.column}={{}}", pairing.column)
