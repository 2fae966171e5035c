"""The command line. It parses, sets the shop's folder, calls one command and turns errors into three lines.

Exit codes: 0 done, 1 a user's mistake or a failed check, 2 wrong usage.
"""

from __future__ import annotations

import argparse
import atexit
import gc
import importlib
import io
import os
import shutil
import sys
import textwrap
from collections.abc import Sequence
from typing import NoReturn

from models.visible import wrapped
from pipelines import options

# What each command does, in groups: the help of all loads none of them.
GROUPS = {
    "to begin": {
        "demo": "Set up the invented demo shop and write its latest review",
        "init": "Start a shop's folder: settings, folders, files to fill in",
        "records": "Show which columns each kind of record has, with unit, example and limits",
        "map": "Propose how a file's columns become a record's, with reasons",
    },
    "each month": {
        "intake": "Take in source files: check each row, keep the good ones, set the others aside with their reason",
        "rejects": "List rejected rows by file and reason, correct them by one option, or export them to be corrected",
        "titles": "Make item types from the titles of sales: unknown titles, proposed rules, rules of your own",
        "charges": "List words of invoices of unknown kind, the most money first, and say what each is",
        "review": "Write a month's review: one page, and a workbook with the same tables",
        "send": "Mail a month's review to its recipients: each edition once, whatever fails",
        "watch": "Look for alarms: more damage claims, surcharges or carriage than usual; missing invoices; money "
        "still owed",
        "status": "Show what is imported, what is to be built, which letters wait, and the next runs",
    },
    "behind a figure": {
        "trace": "Lead from a figure of the review to its parcels, and from each parcel to file and row",
        "explain": "Tell the story of one parcel: what it made or lost, why its bill is what it is, how it was packed",
        "export": "Write a whole mart or analysis table to a CSV or Parquet file; a workbook's sheet ends at 5,000 "
        "rows",
        "bridge": "Say what changed the margin between any two months, or spans of months, to the cent",
    },
    "carriers": {
        "disputes": "List what was billed wrongly, export it for the carrier, and note what became of it",
        "claim": "Show or open the claim of one parcel: what is due, what to ask for, texts, evidence, the packet",
        "claims": "List what claims wait for, note what became of one, write the shop's own texts",
        "tariff": "Check a carrier's price list, show one, re-rate past parcels under an announced one, learn one from "
        "bills",
    },
    "packing bench": {
        "bench_list": "List the parcels to pack: boxes for carton and packing method on paper, and a file to fill in",
        "bench_sheets": "Write printable sheets for the packing bench: carton, cut height, where to score, weight, "
        "cautions",
        "cartons": "Choose the carton sizes to stock, with the saving on months held out and what to buy",
        "damage": "Say how often goods break in each packing method, which pays, and which claims are due",
        "decide": "Log a change of packing with what it should do, or judge the logged ones against goods left alone",
        "trial": "Try a packing method against the usual one: start a trial at the bench, list trials and offers, end "
        "one",
    },
    "keeping": {
        "schedule": "Do the scheduled runs until stopped: intake daily, watch weekly, review monthly with its letters, "
        "backups",
        "backup": "Write warehouse, archive, settings, tariffs and logs into one checked file; readers go on meanwhile",
        "restore": "Put a backup back into the shop's folder, checked first; nothing is overwritten without --force",
        "replay": "Import the whole archive once more beside the warehouse and compare the two, row by row",
        "completion": "Print what lets bash or zsh complete commands, options and choices",
    },
}
SUMMARIES = {name: summary for group in GROUPS.values() for name, summary in group.items()}
COMMANDS = tuple(SUMMARIES)
WIDEST = max(map(len, COMMANDS)) + 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    os.umask(0o077)  # what a shop's folder holds is its owner's business
    save_processor()
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")  # a file's name may hold bytes that are no text
    words = list(sys.argv[1:] if arguments is None else arguments)
    return _guarded(_parser(words).parse_args(words))


class _Parser(argparse.ArgumentParser):
    """Its errors keep within the terminal, too."""

    def error(self, message: str) -> NoReturn:
        self.print_usage(sys.stderr)
        said = f"{self.prog}: error: {message}"
        self.exit(2, f"{wrapped(said, _width()) if _is_read_by_a_person() else said}\n")


def save_processor() -> None:
    """Most commands are over within a second. To search what libraries load for garbage, again and again and once more
    at the end, takes a fifth of it; threads that wait for work on matrices of ten rows, a twentieth."""
    gc.set_threshold(100_000, 20, 20)
    atexit.unregister(gc.freeze)
    atexit.register(gc.freeze)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def _parser(words: Sequence[str] | None = None) -> argparse.ArgumentParser:
    """The parser of these words: of all commands only the one that they name knows its arguments; all of them
    without words."""
    named = _named(words or ())
    parser = _Parser(
        prog="dunnage",
        usage="dunnage [-h] [--shop FOLDER] COMMAND ...",
        description=_description() if named is None else None,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "--shop", type=options.path, metavar="FOLDER", help="the shop's folder (default: the current one)"
    )
    commands = parser.add_subparsers(
        dest="command", required=True, metavar="COMMAND", help=argparse.SUPPRESS, prog="dunnage"
    )
    for name in COMMANDS if named is None else (named,):
        if named or words is None:
            _add(commands, name)
        else:
            commands.add_parser(name.replace("_", "-"), add_help=False)
    return parser


def parser_of_all() -> argparse.ArgumentParser:
    """The parser with the arguments of every command."""
    return _parser()


def _named(words: Sequence[str]) -> str | None:
    """The command that the words name; None where they name none, or more than that may be asked."""
    rest = iter(words)
    for word in rest:
        option, is_whole, _ = word.partition("=")
        if len(option) > len("--") and "--shop".startswith(option):
            next(iter([word] if is_whole else rest), None)
        elif word != "--":
            return word.replace("-", "_") if word in {name.replace("_", "-") for name in COMMANDS} else None
    return None


def _description() -> str:
    """What the program is for, and its commands in groups, as wide as the terminal."""
    width = _width()
    lines = textwrap.wrap("Shipping costs, damage and cartons of a shop: imported, checked and reviewed.", width)
    for group, names in GROUPS.items():
        lines += ["", f"{group}:"]
        for name, summary in names.items():
            first = f"  {name.replace('_', '-'):<{WIDEST}}"
            lines += textwrap.wrap(summary, width, initial_indent=first, subsequent_indent=" " * len(first))
    lines += ["", *textwrap.wrap("`dunnage COMMAND --help` shows each command with an example.", width)]
    return "\n".join(lines)


def _width() -> int:
    return max(40, min(shutil.get_terminal_size().columns - 2, 100))


def _add(commands: argparse._SubParsersAction[_Parser], name: str) -> None:
    module = importlib.import_module(f"pipelines.commands.{name}")
    parser = commands.add_parser(
        name.replace("_", "-"),
        description=wrapped(SUMMARIES[name], _width()),
        epilog=wrapped(f"example: {module.EXAMPLE}", _width()),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    module.arguments(parser)
    parser.set_defaults(run=module.run)


def _guarded(args: argparse.Namespace) -> int:
    try:
        return int(args.run(args) or 0)
    except KeyboardInterrupt:
        print("stopped; nothing half done was kept", file=sys.stderr)
        return 130
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except Exception as broken:
        return _reported(broken, args)


def _reported(broken: Exception, args: argparse.Namespace) -> int:
    from models.errors import DunnageError
    from models.visible import visible
    from pipelines.shop import machine_errors

    mistake = broken if isinstance(broken, DunnageError) else machine_errors.named(broken)
    if mistake is None:
        raise broken
    message = f"{mistake.where}: {mistake.what}\n  affected: {mistake.affected}\n  next: {mistake.next_step}"
    lines = visible(_in_its_units(message, args)).split("\n")
    if _is_read_by_a_person():  # what a script reads stays on its three lines
        lines = [wrapped(line, shutil.get_terminal_size().columns) for line in lines]
    print("\n".join(lines), file=sys.stderr)
    return 1


def _is_read_by_a_person() -> bool:
    return sys.stderr.isatty()


def _in_its_units(text: str, args: argparse.Namespace) -> str:
    """The text as the shop names and bounds its measures; as it is where the shop's settings cannot be read."""
    from models.errors import DunnageError
    from pipelines.shop import settings

    try:
        return settings.units_of(args.shop).converted(text)
    except (DunnageError, OSError):
        return text


if __name__ == "__main__":
    sys.exit(main())
