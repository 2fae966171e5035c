"""A proposal as a table to read: what feeds what, how sure, why, and what the user should look at."""

import shlex
from collections.abc import Iterator, Mapping, Sequence

from rich.console import Console

from models.cells.decimal_marks import NUMBERS
from models.column_map import Pairing, Proposal, Question, RowTax, WideAmounts, stock_numbers
from models.column_map.headers import stated_unit
from models.column_map.questions import without_discounts
from models.fields import MEASURED, Quantity
from models.reference import RECORDS
from models.shop_units import Units
from models.visible import LONGEST_NAME, visible
from pipelines.intake.mapping import FileProposal
from pipelines.intake.mapping.trying import Trial
from pipelines.printing import Column, Listing, Prose

MOST_REASONS = 8
_ORDERS = {"dmy": "day, month, year (dmy)", "mdy": "month, day, year (mdy)", "ymd": "year, month, day (ymd)"}


def show(proposed: FileProposal, console: Console, units: Units) -> None:
    """Print the proposal: the table, how cells are read, what is missing, personal or unused, and the notes."""
    found, proposal = proposed.found, proposed.proposal
    for each in proposed.joined:
        console.print(Prose(f"together with {each.path.name}, by {each.by}"))
    if proposed.amounts is not None:
        console.print(Prose(_spoken_amounts(proposed.amounts)))
    if proposed.tax is not None and proposed.tax.is_within is not None:
        console.print(Prose(_spoken_tax(proposed.tax)))
    title = f"{visible(proposed.path.name)} as {proposal.kind}: {_how_read(proposed)}"
    console.print(Listing(title, _pairing_columns(proposal, units)))
    closing = (*closing_lines(proposal), *_stock_number_lines(proposed))
    for line in (*reading_lines(proposed, units.currency), *found.notes, *closing):
        console.print(Prose(units.converted(line)))


def _stock_number_lines(proposed: FileProposal) -> Iterator[str]:
    """That a list of goods can be read a second time, for the stock numbers that sales name."""
    goods = proposed.proposal.kind == "item_types"
    if goods and (header := stock_numbers(proposed.found.sample, proposed.proposal.unused)):
        yield f'"{header}" says which item type each stock number stands for. To take that in as well:'
        yield f"    dunnage map {shlex.quote(str(proposed.path))} --as skus --name {proposed.name}-skus --write"


def _spoken_amounts(found: WideAmounts) -> str:
    listed = _named_all(tuple(found.amounts))
    held = f"; a row whose {visible(found.total)} is not their sum is rejected" if found.total else ""
    return f"a row for each charge of {listed}{held}"


def _spoken_tax(found: RowTax) -> str:
    tax, amount = visible(found.tax), visible(found.amount)
    where = f"taken out of {amount}, which contains it" if found.is_within else f"on top of {amount}"
    return f"a row for each charge and one for its {tax}, {where}"


def show_trial(trial: Trial, console: Console, units: Units) -> None:
    """Print how many rows would be accepted, and why not the others."""
    for line in trial_lines(trial):
        console.print(Prose(units.converted(line)))


def trial_lines(trial: Trial) -> Iterator[str]:
    """The dry run in words: counts, then each reason with its most frequent cell texts."""
    if trial.refused is not None:
        yield f"Dry run: the file would be refused: {trial.refused.what}. Next: {trial.refused.next_step}."
        return
    yield f"Dry run: {trial.accepted_count:,} of {trial.row_count:,} rows would be accepted."
    for each in trial.rejections[:MOST_REASONS]:
        where = f"first line {each.first_line:,}"
        yield f"  {each.rows:,} rejected: {each.spoken}{spoken_texts(each.texts)}; {where}"
    if len(trial.rejections) > MOST_REASONS:
        yield f"  and {len(trial.rejections) - MOST_REASONS} more reasons"


def spoken_texts(texts: Sequence[tuple[str, int]]) -> str:
    """`: "1.2.3" 40 times, "x" 2 times`; nothing where the cells are empty."""
    filled = [
        f'"{visible(text, LONGEST_NAME)}"' + (f" {count:,} times" if count > 1 else "") for text, count in texts if text
    ]
    return f": {', '.join(filled)}" if filled else ""


def reading_lines(proposed: FileProposal, currency: str) -> Iterator[str]:
    """Unit, decimal mark, date order and currency: always shown, whether the file has such cells or not."""
    proposal = proposed.proposal
    columns = RECORDS[proposal.kind].columns
    kinds = {pairing.column: columns[pairing.column].quantity for pairing in proposal.pairings}
    yield f"units: {'; '.join(_units(proposal, kinds)) or 'no lengths or weights'}"
    yield f"decimal mark: {_mark(proposal, proposed.questions, kinds)}"
    yield f"date order: {_order(proposal, proposed.questions, kinds)}"
    amounts = any(kind is Quantity.MONEY for kind in kinds.values())
    yield f"currency: {currency}, the shop's" if amounts else "currency: no amounts"


def _units(proposal: Proposal, kinds: Mapping[str, Quantity]) -> Iterator[str]:
    for pairing in proposal.pairings:
        if pairing.source and kinds[pairing.column] in MEASURED:
            unit = pairing.unit or stated_unit(pairing.source, kinds[pairing.column])
            yield f"{pairing.column} {unit or 'as each cell states'}"


def _mark(proposal: Proposal, questions: Sequence[Question], kinds: Mapping[str, Quantity]) -> str:
    if any(question.option.startswith("--decimal") for question in questions):
        return "not known"
    own = {each.column: each.decimal for each in proposal.pairings if each.decimal}
    said = [f"{name} {_named(mark)}" for name, mark in own.items()]
    if proposal.decimal:
        return ", ".join([_named(proposal.decimal), *said])
    return ", ".join(said) or ("no cell needs one" if set(kinds.values()) & set(NUMBERS) else "no numbers")


def _order(proposal: Proposal, questions: Sequence[Question], kinds: Mapping[str, Quantity]) -> str:
    if any(question.option.startswith("--date-order") for question in questions):
        return "not known"
    own = [f"{each.column} {each.date_order}" for each in proposal.pairings if each.date_order]
    if proposal.date_order:
        return ", ".join([_ORDERS[proposal.date_order], *own])
    has_dates = {Quantity.DATE, Quantity.INSTANT} & set(kinds.values())
    return ", ".join(own) or ("every date states it itself" if has_dates else "no dates")


def _how_read(proposed: FileProposal) -> str:
    found = proposed.found
    said = [found.source.format]
    if found.source.format == "csv":
        said += [f"delimiter {_named(found.source.delimiter)}", found.source.read_as]
    if found.source.sheet:
        said.append(f"sheet {found.source.sheet}")
    return f"{', '.join(said)}; {len(found.sample.rows)} rows looked at"


def _named(mark: str) -> str:
    return {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar", ".": "point"}.get(mark, mark)


def _pairing_columns(proposal: Proposal, units: Units) -> list[Column]:
    """One row per contract column that has a source: its source, how sure, why, and what to check."""
    rows = [
        (
            units.name(each.column) + ("" if RECORDS[proposal.kind].columns[each.column].nullable else " *"),
            _origin(each),
            f"{each.score:.0%}",
            "; ".join([*each.reasons, *(f"CHECK {units.converted(doubt)}" for doubt in each.doubts)]),
        )
        for each in proposal.pairings
    ]
    heads = zip(("column", "from", "sure", "why"), zip(*rows, strict=True), strict=True) if rows else ()
    return [Column(head, list(map(visible, cells)), head == "sure", head in ("from", "why")) for head, cells in heads]


def _origin(pairing: Pairing) -> str:
    if pairing.is_row:
        return "the row's place in the file"
    if pairing.within is not None:
        return f"its place within {visible(pairing.within, LONGEST_NAME)}"
    if pairing.name is not None:
        return f"the file's name, * in {visible(pairing.name, LONGEST_NAME)}"
    if pairing.source is None:
        return f"always {pairing.constant}"
    source = visible(pairing.source, LONGEST_NAME)
    if pairing.before is not None:
        return f"{source}, before the last {pairing.before}"
    return f"{source} [{pairing.unit}]" if pairing.unit else source


def _named_all(headers: Sequence[str]) -> str:
    return ", ".join(visible(header, LONGEST_NAME) for header in headers)


def closing_lines(proposal: Proposal) -> Iterator[str]:
    """What the table does not show."""
    yield "* needed in every row"
    if proposal.missing:
        yield f"No column found for: {', '.join(proposal.missing)}"
    if proposal.personal:
        yield f"Look personal, never stored: {_named_all(tuple(proposal.personal))}"
    if proposal.unused:
        yield f"Not used: {_named_all(proposal.unused)}"
    kept = without_discounts(proposal.unused)
    if proposal.kind == "sales" and (let_off := [each for each in proposal.unused if each not in kept]):
        yield f"No column keeps a discount ({_named_all(let_off)}): prices of goods count as the file states them."
    yield from proposal.notes
