"""`dunnage tariff`: check a price list, show one, compare an announced one with history, learn or import prices."""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from dashboards import formats, sentences
from dashboards.review_tables import Records
from models.cells.currencies import minor_digits
from models.errors import TariffError
from models.shop_units import WEIGHT
from models.tariffs.price_sheets import Asked
from models.tariffs.reference import example
from pipelines import options, printing
from pipelines.build import price_sheets
from pipelines.printing import print_json, records
from pipelines.shop import settings, warehouse
from pipelines.shop.settings import Settings

if TYPE_CHECKING:
    import pandas as pd

EXAMPLE = "dunnage tariff compare announced/northline-2027.toml --months 12"


def arguments(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(dest="action", required=True, metavar="ACTION")
    check = actions.add_parser("check", help="name every gap and contradiction with file and line")
    check.add_argument("file", type=options.path, help="the tariff's TOML file; its prices lie beside it")
    options.json_argument(check)
    show = actions.add_parser("show", help="print the rules and prices of one of the shop's tariffs")
    show.add_argument("code", type=options.words, help="its tariff_code")
    options.json_argument(show)
    compare = actions.add_parser("compare", help="what an announced tariff, or terms of an offer, would change")
    compare.add_argument("file", type=options.path, nargs="?", help="the announced tariff's TOML file")
    options.several(
        compare,
        "--what-if",
        "TERM",
        "a term of an offer, such as divisor=166 or 'long side=-50%%', on FILE or the tariff in force",
        options.words,
    )
    compare.add_argument("--months", type=options.whole(1, 1200), default=12, help="months to look back (default 12)")
    options.json_argument(compare)
    actions.add_parser("format", help="print the tariff format by example")
    sheet = actions.add_parser("import", help="write a price file from a carrier's sheet of prices, XLSX or CSV")
    sheet.add_argument("sheet", type=options.path, help="a matrix of zones and weights, or columns zone, weight, price")
    sheet.add_argument("file", type=options.path, help="price file to write")
    sheet.add_argument("--service", type=options.words, required=True, help="the service, where the sheet names none")
    sheet.add_argument("--decimal", choices=(".", ","), help="decimal mark, where the figures do not prove it")
    sheet.add_argument("--money", choices=("major", "minor"), help="unit of the amounts: whole ones, or cents")
    sheet.add_argument("--weights", choices=("rows", "columns"), help="where the weights stand")
    sheet.add_argument("--page", type=options.words, help="the workbook's sheet; by default the first")
    zones = actions.add_parser(
        "zones", help="zones that no record states: by the chart or learned from bills, and contradictions"
    )
    options.json_argument(zones)
    learn = actions.add_parser("learn", help="write a tariff learned from what a carrier has billed")
    learn.add_argument("carrier", type=options.words)
    learn.add_argument(
        "file", type=options.path, help="price file to write (CSV); its rules, TOML, are written beside it"
    )
    learn.add_argument("--from", dest="first", type=options.day, required=True, help="first day of shipping")
    learn.add_argument("--to", dest="last", type=options.day, required=True, help="last day of shipping")
    learn.add_argument("--unit", choices=("lb", "oz", "kg", "g"), help="unit of the weights (default: the shop's)")
    learn.add_argument("--step", type=options.number(0, 1000), help="step of the weights (default: what bills show)")


def run(args: argparse.Namespace) -> int:
    known = {"check": _check, "show": _show, "compare": _compare, "learn": _learn, "format": _format, "import": _import}
    known |= {"zones": _zones}
    return known[args.action](args)


def _check(args: argparse.Namespace) -> int:
    from pipelines.build import tariffs

    tariff, findings = tariffs.check(args.file)
    folder = args.shop or Path()
    if tariff and (folder / settings.FILE_NAME).exists():
        findings += tariffs.check_beside_records(settings.load(folder), tariff)
    stops = sum(found.level == "stop" for found in findings)
    if args.json:
        rows = ((found.level, found.file, found.line, found.what, found.next_step) for found in findings)
        print_json({"findings": records("level file_name line what next_step", rows)}, settings.units_of(args.shop))
        return 1 if stops else 0
    for found in findings:
        print(f"{found.level}: {found.file}, line {found.line}: {found.what}\n  next: {found.next_step}")
    notes = len(findings) - stops
    print(f"{args.file.name}: {stops} error{'' if stops == 1 else 's'}, {notes} note{'' if notes == 1 else 's'}")
    return 1 if stops else 0


def _show(args: argparse.Namespace) -> int:
    from models.tariffs.showing import heading, price_grids, rule_tables
    from models.tariffs.stated import stated_tables
    from pipelines.build import tariffs

    shop = options.shop_of(args)
    tariff = tariffs.named(shop, args.code)
    if args.json:
        return _print_json(shop, stated_tables(tariff))
    money = partial(formats.fine_money, currency=tariff.currency)
    printing.show(printing.prose(heading(tariff)), "")
    for title, frame in (rule_tables(tariff, money) | price_grids(tariff, money)).items():
        printing.show(printing.rows(title, frame, shop.shop.shown_units), "")
    return 0


def _print_json(shop: Settings, tables: dict[str, pd.DataFrame]) -> int:
    printing.print_json(tables, shop.shop.shown_units)
    return 0


def _zones(args: argparse.Namespace) -> int:
    from pipelines.build import zones

    shop = options.shop_of(args)
    with warehouse.reading(shop) as connection:
        found, months = zones.known_otherwise(connection), connection.execute("from marts.coverage").df()
    if args.json:
        return _print_json(shop, found)
    units = shop.shop.shown_units
    known = Records(tables={**found, "marts.coverage": months})
    for sentence in sentences.lines(["zones.as_charted", "zones.no_parcel"], known, units):
        printing.say(sentence)
    for name, frame in found.items():
        if len(frame):
            printing.show(printing.rows(zones.TITLES[name], frame, units, most=zones.MOST), "")
    return 0


def _compare(args: argparse.Namespace) -> int:
    if args.what_if:
        return _offer(args)

    from pipelines.build import rating, tariffs
    from pipelines.review import runs

    if args.file is None:
        nothing = "names neither a file nor a term"
        raise TariffError("tariff compare", nothing, "this command", "give the announced tariff's file, or --what-if")
    shop = options.shop_of(args)
    tariff = tariffs.announced(shop, args.file)
    with warehouse.reading(shop) as connection:
        tariffs.write(connection, [tariff], schema="announced")
        tables = rating.compare(connection, rating.looked_back(connection, args.months))
    if args.json:
        return _print_json(shop, {f"comparison.{name}": frame for name, frame in tables.items()})
    for name, frame in tables.items():
        # Parcels are too many for a terminal; the page has them.
        if name != "crossing_parcels" and len(frame):
            printing.show(printing.either(name.replace("_", " "), frame, shop.shop.shown_units), "")
    last = tables["totals"]["last_on"].iloc[0].date()
    page = runs.write_comparison(shop, "tariff", tariff.tariff_code, tables, last)
    print(f"page  {page}")
    return 0


def _offer(args: argparse.Namespace) -> int:
    from pipelines.build import carrier_offers, rating
    from pipelines.review import runs

    shop = options.shop_of(args)
    with warehouse.reading(shop) as connection:
        last = rating.looked_back(connection, 0)
        tariff = carrier_offers.asked(shop, args.file, last)
        terms = carrier_offers.worth(connection, tariff, args.what_if, rating.looked_back(connection, args.months))
    if args.json:
        return _print_json(shop, {"comparison.terms": terms})
    printing.show(printing.either(f"an offer on {tariff.tariff_code}", terms, shop.shop.shown_units), "")
    page = runs.write_comparison(shop, "offer", tariff.tariff_code, {"terms": terms}, last)
    print(f"page  {page}")
    return 0


def _learn(args: argparse.Namespace) -> int:
    from pipelines.build import learning_prices

    shop = options.shop_of(args)
    unit = args.unit or shop.shop.shown_units.unit(WEIGHT).sign
    asked = learning_prices.Asked(args.carrier, args.first, args.last, unit, args.step)
    with warehouse.reading(shop) as connection:
        found = learning_prices.learn(connection, asked, shop.shop.currency, args.file.stem)
    rules, is_written = learning_prices.write(found, args.file.parent)
    title = f"{rules.with_suffix('.csv')}: the error is that of these prices on bills left out in turn"
    printing.show(printing.rows(title, learning_prices.report(found), shop.shop.shown_units))
    printing.say(f"{rules}: {'written' if is_written else 'left as it is'}. The bills do not tell")
    for sentence in learning_prices.unknown(found):
        printing.say(f"- {sentence}")
    return 0


def _import(args: argparse.Namespace) -> int:
    digits = minor_digits(options.shop_of(args).shop.currency)
    asked = Asked(args.service, digits, args.decimal, args.money, args.weights)
    count = price_sheets.import_sheet(args.sheet, asked, args.file, args.page)
    print(f"{args.file}: {count} prices; `dunnage tariff check` compares them with the rules")
    return 0


def _format(args: argparse.Namespace) -> int:
    print(example(settings.units_of(args.shop)), end="")
    return 0
