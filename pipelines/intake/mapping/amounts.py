"""Columns of charges and of tax of an invoice: stated, or found by what their amounts add up to."""

from collections.abc import Collection, Mapping, Sequence

from models.column_map import (
    Pairing,
    Proposal,
    RowTax,
    Sample,
    WideAmounts,
    found_amounts,
    found_tax,
    nearest_kind,
    stated_tax,
)
from models.errors import ColumnMapError
from pipelines.intake.mapping.sample import FileSample

# Kinds of records that share their columns with an invoice, and have no fuel or surcharge of their own.
OF_PARCELS = ("labels", "weights")


def stated_amounts(columns: Sequence[str], total: str | None) -> WideAmounts | None:
    """Columns of charges given as HEADER or HEADER=WORD, and the header of their sum."""
    named = [(header.strip(), word.strip()) for header, _, word in (each.partition("=") for each in columns)]
    return WideAmounts({header: word or header for header, word in named}, total) if named else None


def proposed_amounts(
    sample: Sample, kind: str | None, stated: Mapping[str, Pairing], personal: Collection[str]
) -> WideAmounts | None:
    """The columns of charges of an invoice, where it has them and no column for their words or amounts was stated."""
    if kind not in (None, "charges") or {"charge_code", "amount_cents"} & set(stated):
        return None
    found = found_amounts(sample, personal)
    if found is None:
        return None
    as_it_is = nearest_kind(sample, personal)
    is_invoice = as_it_is.kind == "charges" or (as_it_is.kind in OF_PARCELS and found.is_of_carrier)
    if "charge_code" in as_it_is.found or (as_it_is.is_one and not is_invoice and kind is None):
        return None
    nearest = nearest_kind(found.unfolded(sample), personal)
    return found if kind == "charges" or (nearest.kind == "charges" and nearest.is_one) else None


def refuse_unknown_amounts(amounts: WideAmounts, found: FileSample) -> None:
    """Raises ColumnMapError for a column of charges that the file does not have."""
    for each in amounts.columns:
        if each not in found.sample.headers:
            raise ColumnMapError(
                each, "is no header of this file", "the amounts", f"use one of {', '.join(found.sample.headers)}"
            )


def row_tax_of(sample: Sample, proposal: Proposal, said: str | None, amounts: WideAmounts | None) -> RowTax | None:
    """The column of each row's tax, as stated or as the rows show it; none beside a column for each charge.

    Raises ColumnMapError for a statement that does not suit the file.
    """
    pairings = {each.column: each for each in proposal.pairings}
    if said is None:
        is_narrow = proposal.kind == "charges" and not amounts
        return found_tax(sample, pairings, proposal.unused, proposal.decimal or ".") if is_narrow else None
    if proposal.kind != "charges":
        raise ColumnMapError(said, f"is of an invoice, not of {proposal.kind}", "the tax", "leave --tax out")
    if amounts:
        then = "state it as one more --amount, and with --total the column of the sum of all"
        raise ColumnMapError(said, "is of an invoice without a column for each charge", "the tax", then)
    if said.rpartition("=")[0] not in sample.headers:
        raise ColumnMapError(said, "names no header of this file", "the tax", f"use one of {', '.join(sample.headers)}")
    return stated_tax(said, pairings)
