"""The command line. It parses, sets the shop's folder, calls one command and turns errors into three lines.

Exit codes: 0 done, 1 a user's mistake or a failed check, 2 wrong usage.
"""

from __future__ import annotations

import argparse
import importlib
import io
import os
import sys
from collections.abc import Sequence
from types import ModuleType

from pipelines import options

COMMANDS = (
    "demo",
    "init",
    "records",
    "map",
    "intake",
    "rejects",
    "titles",
    "charges",
    "review",
    "send",
    "status",
    "schedule",
    "trace",
    "export",
    "explain",
    "bridge",
    "disputes",
    "claim",
    "claims",
    "tariff",
    "cartons",
    "bench_sheets",
    "bench_list",
    "damage",
    "decide",
    "watch",
    "backup",
    "restore",
    "replay",
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    os.umask(0o077)  # what a shop's folder holds is its owner's business
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")  # a file's name may hold bytes that are no text
    args = _parser().parse_args(arguments)
    return _guarded(args)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="dunnage",
        description="Parcel history and damage analysis: what shipping cost, what broke, which cartons to change.",
        epilog="`dunnage COMMAND --help` shows each command with an example. Start with `dunnage demo`.",
    )
    parser.add_argument(
        "--shop", type=options.path, metavar="FOLDER", help="the shop's folder (default: the current one)"
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name in COMMANDS:
        _add(commands, name)
    return parser


def _add(commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str) -> None:
    module = _command(name)
    parser = commands.add_parser(
        name.replace("_", "-"),
        help=module.SUMMARY,
        description=module.SUMMARY,
        epilog=f"example: {module.EXAMPLE}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    module.arguments(parser)
    parser.set_defaults(run=module.run)


def _command(name: str) -> ModuleType:
    return importlib.import_module(f"pipelines.commands.{name}")


def _guarded(args: argparse.Namespace) -> int:
    try:
        return int(args.run(args))
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
    told = f"{mistake.where}: {mistake.what}\n  affected: {mistake.affected}\n  next: {mistake.next_step}"
    print(visible(_in_its_units(told, args)), file=sys.stderr)
    return 1


def _in_its_units(text: str, args: argparse.Namespace) -> str:
    """The text as the shop names and bounds its measures; as it is where the shop's settings cannot be read."""
    from models.errors import DunnageError
    from pipelines.shop import settings

    try:
        return settings.units_of(args.shop).told(text)
    except (DunnageError, OSError):
        return text


if __name__ == "__main__":
    sys.exit(main())
