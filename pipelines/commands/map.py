"""`dunnage map`: propose a column map for a file and, on --write, put it into dunnage.toml."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console

from models.column_map import Question
from models.shop_units import Units, kept_name
from pipelines import options
from pipelines.commands import charges
from pipelines.printing import say
from pipelines.shop.settings import Settings

if TYPE_CHECKING:
    from pipelines.intake.mapping import FileProposal
    from pipelines.intake.mapping.trying import Trial

# The exit code where a file leaves questions open that nobody was there to answer.
OPEN = 3

EXAMPLE = (
    "dunnage map inbox/sales-2026-10.csv --as sales --write. Of a text file it also finds delimiter, encoding, quote, "
    "escape, skip (lines above the header), header_rows and end_of_table; change them in dunnage.toml if need be"
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    parser.add_argument(
        "file", type=options.path, help="a CSV, TSV, XLSX, JSON, JSON Lines or Parquet file, also zipped"
    )
    parser.add_argument(
        "--as", dest="kind", metavar="KIND", type=options.words, help="kind of record (default: the one that fits best)"
    )
    parser.add_argument(
        "--name", type=options.words, help="name of the source in dunnage.toml (default: from the file's name)"
    )
    parser.add_argument("--files", metavar="GLOB", type=options.words, help="which files in the inbox it stands for")
    options.several(
        parser,
        "--join",
        "FILE",
        "a file that is read together with it, as orders with their lines; may be repeated",
        options.path,
    )
    parser.add_argument("--by", metavar="HEADER", type=options.words, help="the column by which files are joined")
    parser.add_argument("--sheet", type=options.words, help="sheet of a workbook (default: the first)")
    _answers(parser)
    parser.add_argument(
        "--yes", action="store_true", help="take what is proposed where a header or word is only to be checked"
    )
    parser.add_argument("--write", action="store_true", help="write it into dunnage.toml, once nothing is open")
    parser.add_argument("--replace", action="store_true", help="replace the source of the same name")


def _answers(parser: argparse.ArgumentParser) -> None:
    """The arguments that answer what a file leaves open."""
    options.several(
        parser,
        "--column",
        "COLUMN=HEADER",
        "state a column yourself; a measure by its name in the shop's units, as `dunnage records` lists it, with "
        'the unit of its cells behind the header: "COLUMN=weight [g]"',
    )
    options.several(parser, "--constant", "COLUMN=VALUE", "state one value for every row")
    options.several(
        parser, "--from-name", "COLUMN=NAME", 'what * stands for in the file\'s name: "invoice_number=invoice-*.csv"'
    )
    options.several(parser, "--unit", "COLUMN=UNIT", "unit of a column's cells")
    options.several(
        parser,
        "--right-unit",
        "COLUMN",
        "the unit of this column is right for good: no file is held because other records suggest another",
        options.words,
    )
    parser.add_argument("--decimal", choices=[".", ","], help="the file's decimal mark")
    parser.add_argument("--date-order", choices=["dmy", "mdy", "ymd"], help="the file's order of day, month and year")
    options.several(
        parser,
        "--word",
        "COLUMN:TEXT=WORD",
        "what a cell's text means, as in charge_kind:Fracht=base; of an invoice also WORD=KIND, as in "
        '"Energy adj.=fuel" or "Over length=surcharge: long side"',
    )
    options.several(
        parser,
        "--amount",
        "HEADER[=WORD]",
        "a column of an invoice that has one for each charge, and its word where that is another",
        options.words,
    )
    parser.add_argument("--total", metavar="HEADER", type=options.words, help="the column of their sum")
    parser.add_argument(
        "--tax",
        metavar="HEADER=within",
        type=options.words,
        help="the column of an invoice that holds the tax of each row, within its amount; or HEADER=on top of it, or "
        "HEADER=no where it is to be left out",
    )
    options.several(parser, "--without", "COLUMN", "leave a column empty", options.words)


def run(args: argparse.Namespace) -> int:
    """Show the proposal, ask what is open, try it on the whole file; write it when asked.

    Returns 0, or OPEN where a question stays open.
    """
    from pipelines.intake.mapping import trying
    from pipelines.intake.mapping.writing import with_kept_files, write_source
    from pipelines.shown_maps import show, show_trial

    console = Console(highlight=False)
    shop = trying.settings_for(args.shop)
    units = shop.shop.shown_units
    proposed = _answered(args, units)
    if args.replace and not args.files:
        proposed = with_kept_files(args.shop or Path(), proposed)
    show(proposed, console, units)
    if proposed.questions:
        return _left_open(proposed, units)
    trial = trying.tried(shop, proposed)
    show_trial(trial, console, units)
    said = _charge_words(args, shop, trial)
    if not args.write:
        say("Nothing was written. Add --write to keep this map in dunnage.toml.")
        return 0
    written = write_source(args.shop or Path(), proposed, is_replacing=args.replace)
    say(f"Written to {written}: source {proposed.name}, files {proposed.files}.")
    if args.replace:
        say(
            "What was imported by the old map stays as it was read. To have it read by this one, take it back "
            "(`dunnage intake --list` gives its number, `dunnage intake --withdraw NUMBER`) and import it again."
        )
    if said:
        charges.keep(shop, trial.words, said)
    return 0


def _charge_words(args: argparse.Namespace, shop: Settings, trial: Trial) -> list[str]:
    """What was said of an invoice's words, after the others were asked: at a terminal, or with the option for each."""
    from pipelines.intake.mapping import asking, is_of_cells

    said = [word for word in args.word if not is_of_cells(word)]
    if open_words := charges.questions(shop, trial.words, said) if trial.words else []:
        where = " by `dunnage charges`" if args.write else ""
        say(f"Words of the invoice, the most money first, of unknown kind until you say{where} what each is:")
        if not _is_dialogue():
            for line in asking.as_options(open_words):
                say(line)
            return said
        answers = asking.answers(open_words, input, asking.UNKNOWN)
        said += [word for word in answers if word != "--word"]
        _say_unanswered(charges.questions(shop, trial.words, said))
    return said


def _say_unanswered(left: Sequence[Question]) -> None:
    """Which words stay of unknown kind, and how to say later what they are."""
    from pipelines.intake.mapping import asking

    if left:
        say(f"left open: {len(left)} {'word' if len(left) == 1 else 'words'}; answer later, after `dunnage charges`:")
        for line in asking.as_options(left):
            say(line)


def _is_dialogue() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _proposed(args: argparse.Namespace, units: Units) -> FileProposal:
    from pipelines.intake.mapping import answers_of, is_of_cells, propose_for, stated_pairings
    from pipelines.intake.mapping.amounts import stated_amounts
    from pipelines.intake.mapping.trying import settings_for

    answers = answers_of(
        args.unit,
        [word for word in args.word if is_of_cells(word)],
        decimal=args.decimal,
        date_order=args.date_order,
        without=frozenset(map(kept_name, args.without)),
        right_units=frozenset(map(kept_name, args.right_unit)),
        takes_proposed=args.yes,
    )
    stated = stated_pairings(args.column, args.constant, args.from_name)
    proposed = propose_for(
        args.file,
        args.kind,
        name=args.name,
        files=args.files,
        sheet=args.sheet,
        stated=stated,
        answers=answers,
        currency=units.currency,
        is_metric=units.is_metric,
        join=args.join,
        by=args.by,
        amounts=stated_amounts(args.amount, args.total),
        tax=args.tax,
        records=settings_for(args.shop),
    )
    if proposed.proposal.kind != "charges":
        answers_of((), args.word)  # only an invoice has words that are no cell's
    return proposed


def _answered(args: argparse.Namespace, units: Units) -> FileProposal:
    """The proposal. At a terminal each question is asked, until nothing is open or an answer changes nothing more."""
    from pipelines.intake.mapping import asking

    proposed = _proposed(args, units)
    while proposed.questions and _is_dialogue():
        said = asking.answers(proposed.questions, input)
        if not said:
            break
        print(f"the same without a dialogue: {asking.typed(said)}")
        parser = argparse.ArgumentParser()
        _answers(parser)
        args = parser.parse_args(said, args)
        proposed = _proposed(args, units)
    return proposed


def _left_open(proposed: FileProposal, units: Units) -> int:
    from pipelines.intake.mapping.asking import as_options

    count = len(proposed.questions)
    are = "question is" if count == 1 else "questions are"
    say(f"{count} {are} open; nothing was written. Run the command again and answer, or add:")
    for line in as_options(proposed.questions):
        say(units.converted(line))
    if any(not question.is_needed for question in proposed.questions):
        say("--yes takes what is proposed for headers and words that are only to be checked.")
    return OPEN
