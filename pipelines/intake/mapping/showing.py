"""A proposal as a table to read: what feeds what, how sure, why, and what the user should look at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from models.column_map import Pairing, Proposal
from models.reference import RECORDS
from models.shop_units import Units
from models.visible import LONGEST_NAME, visible
from pipelines.intake.mapping import FileProposal


def show(proposed: FileProposal, console: Console, units: Units) -> None:
    """Print the proposal: the table, what is missing, personal or unused, and the notes."""
    found, proposal = proposed.found, proposed.proposal
    console.print(escape(f"{visible(proposed.path.name)} as {proposal.kind}: {_how_read(proposed)}"))
    console.print(pairing_table(proposal, units))
    for line in (*found.notes, *closing_lines(proposal)):
        console.print(escape(visible(units.told(line))))


def _how_read(proposed: FileProposal) -> str:
    found, proposal = proposed.found, proposed.proposal
    said = [found.source.format]
    if found.source.format == "csv":
        said += [f"delimiter {_named(found.source.delimiter)}", found.source.read_as]
    if found.source.sheet:
        said.append(f"sheet {found.source.sheet}")
    if proposal.decimal:
        said.append(f"decimal {_named(proposal.decimal)}")
    if proposal.date_order:
        said.append(f"dates {proposal.date_order}")
    return f"{', '.join(said)}; {len(found.sample.rows)} rows looked at"


def _named(mark: str) -> str:
    return {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar", ".": "point"}.get(mark, mark)


def pairing_table(proposal: Proposal, units: Units) -> Table:
    """One line per contract column that has a source."""
    table = Table(box=None, pad_edge=False, header_style="bold")
    for title in ("column", "from", "sure", "why", "check"):
        table.add_column(title, no_wrap=title == "column", overflow="fold")
    for pairing in proposal.pairings:
        needed = "" if RECORDS[proposal.kind].columns[pairing.column].nullable else " *"
        cells = (
            f"{units.name(pairing.column)}{needed}",
            _origin(pairing),
            f"{pairing.score:.0%}",
            "; ".join(pairing.reasons),
        )
        table.add_row(*(escape(visible(cell)) for cell in (*cells, units.told("; ".join(pairing.doubts)))))
    return table


def _origin(pairing: Pairing) -> str:
    if pairing.is_row:
        return "the row's place in the file"
    if pairing.source is None:
        return f"always {pairing.constant}"
    source = visible(pairing.source, LONGEST_NAME)
    return f"{source} [{pairing.unit}]" if pairing.unit else source


def _named_all(headers: Sequence[str]) -> str:
    return ", ".join(visible(header, LONGEST_NAME) for header in headers)


def closing_lines(proposal: Proposal) -> Iterator[str]:
    """What the table does not show."""
    yield "* needed in every row"
    if proposal.missing:
        yield f"No column found for: {', '.join(proposal.missing)}. State them with --column or --constant."
    if proposal.personal:
        yield f"Look personal, never stored: {_named_all(tuple(proposal.personal))}"
    if proposal.unused:
        yield f"Not used: {_named_all(proposal.unused)}"
    yield from proposal.notes
