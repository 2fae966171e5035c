"""`dunnage tariff`: check a price list, show one of the shop's, or compare an announced one with history."""

from __future__ import annotations

import argparse
from pathlib import Path

SUMMARY = "Check a carrier's price list, show one, or re-rate past parcels under an announced one"
EXAMPLE = "dunnage tariff compare announced/northline-2027.toml --months 12"


def arguments(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(dest="action", required=True, metavar="ACTION")
    check = actions.add_parser("check", help="name every gap and contradiction with file and line")
    check.add_argument("file", type=Path, help="the tariff's TOML file; its prices lie beside it")
    show = actions.add_parser("show", help="print the rules and prices of one of the shop's tariffs")
    show.add_argument("code", help="its tariff_code")
    compare = actions.add_parser("compare", help="what an announced tariff would change for past parcels")
    compare.add_argument("file", type=Path, help="the announced tariff's TOML file")
    compare.add_argument("--months", type=int, default=12, help="months to look back (default 12)")


def run(args: argparse.Namespace) -> int:
    return {"check": _check, "show": _show, "compare": _compare}[args.action](args)


def _check(args: argparse.Namespace) -> int:
    from pipelines import tariffs

    _, findings = tariffs.check(args.file)
    for found in findings:
        print(f"{found.level}: {found.file}, line {found.line}: {found.what}\n  next: {found.next_step}")
    stops = sum(found.level == "stop" for found in findings)
    print(f"{args.file.name}: {stops} to mend, {len(findings) - stops} to know")
    return 1 if stops else 0


def _show(args: argparse.Namespace) -> int:
    from rich.console import Console

    from models.tariffs.showing import heading, price_grids, rule_tables
    from pipelines import printing, settings, tariffs

    console = Console()
    tariff = tariffs.named(settings.load_from(args.shop), args.code)
    console.print(heading(tariff), markup=False, soft_wrap=True)
    for title, frame in (rule_tables(tariff) | price_grids(tariff)).items():
        console.print(printing.rows(title, frame))
    return 0


def _compare(args: argparse.Namespace) -> int:
    from rich.console import Console

    from models.tariffs.format import fault
    from pipelines import printing, rating, settings, tariffs, warehouse

    tariff, findings = tariffs.check(args.file)
    if tariff is None or any(found.level == "stop" for found in findings):
        raise fault(findings)
    console = Console()
    with warehouse.reading(settings.load_from(args.shop)) as connection:
        tariffs.write(connection, [tariff], schema="announced")
        for title, frame in rating.compare(connection, rating.looked_back(connection, args.months)).items():
            console.print(printing.rows(title, frame))
    return 0
