"""`dunnage titles`: item types from the titles of sales."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from pipelines import options

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from models.titles import Proposal, TitleCount
    from pipelines.shop.settings import Settings

SUMMARY = "Make item types from the titles of sales: unknown titles, proposed rules, rules of your own"
EXAMPLE = 'dunnage titles --rule "60mm refractor=small refractor"      (or: dunnage titles --confirm 1 3)'
MOST = 20
PRINTED = {
    "rules": "words item_type",
    "proposals": "words line_count money_cents",
    "unknown_titles": "title line_count money_cents",
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    options.several(
        parser,
        "--rule",
        "WORDS=ITEM TYPE",
        "titles with all these words are of this item type; the first rule that fits counts; may be repeated",
    )
    parser.add_argument(
        "--confirm",
        nargs="*",
        type=options.whole(1, 10_000),
        metavar="NUMBER",
        help="make rules of the proposals with these numbers, or of all that are proposed",
    )
    parser.add_argument(
        "--remove", type=options.whole(1, 100_000), metavar="NUMBER", help="remove a rule by its number"
    )
    options.json_argument(parser)


def run(args: argparse.Namespace) -> int:
    """Write what was said, then show rules, unknown titles and proposals. Returns 0."""
    from pipelines.build import shop_words
    from pipelines.shop import settings

    shop = settings.load_from(args.shop)
    if args.remove is not None:
        _remove(shop, args.remove)
    if args.rule:
        shop_words.add_rules(shop, [_parted(each) for each in args.rule])
    if args.confirm is not None:
        _confirm(shop, args.confirm)
    _print_json(shop) if args.json else _show(shop)
    return 0


def _print_json(shop: Settings) -> None:
    from models.titles import proposals
    from pipelines.build import shop_words
    from pipelines.printing import print_json, records

    unknown = _unknown(shop)
    found: dict[str, Iterable[Sequence[str | int]]] = {
        "rules": ((each.words, each.item_type) for each in shop_words.said(shop).titles),
        "proposals": ((each.item_type, each.line_count, each.money_cents) for each in list(proposals(unknown))[:MOST]),
        "unknown_titles": ((each.title, each.line_count, each.money_cents) for each in unknown),
    }
    print_json({name: records(PRINTED[name], rows) for name, rows in found.items()}, shop.shop.shown_units)


def _parted(rule: str) -> tuple[str, str]:
    said, _, item_type = rule.partition("=")
    return said, item_type


def _unknown(shop: Settings) -> list[TitleCount]:
    from models.sql_texts import sql_texts
    from models.titles import TitleCount
    from pipelines.build.up_to_date import build_changed
    from pipelines.shop import warehouse

    with warehouse.writing(shop, "titles") as connection:
        build_changed(connection, shop)
        found = connection.execute(sql_texts("queries")["unknown_titles"]).fetchall()
    return [TitleCount(str(title), int(lines), int(cents)) for title, lines, cents in found]


def _remove(shop: Settings, number: int) -> None:
    from models.errors import NotFoundError
    from pipelines.build import shop_words

    there = len(shop_words.said(shop).titles)
    if number > there:
        raise NotFoundError(f"rule {number}", f"is not among the {there} rules", "nothing", "see `dunnage titles`")
    removed = shop_words.remove_rule(shop, number)
    print(f"removed: {removed.words} = {removed.item_type}")


def _confirm(shop: Settings, numbers: list[int]) -> None:
    from models.errors import NotFoundError
    from models.titles import proposals
    from pipelines.build import shop_words

    proposed = list(proposals(_unknown(shop)))[:MOST]
    if numbers and max(numbers) > len(proposed):
        raise NotFoundError(
            f"proposal {max(numbers)}",
            f"is not among the {len(proposed)}",
            "nothing was written",
            "see `dunnage titles`",
        )
    chosen = [proposed[number - 1] for number in numbers] if numbers else proposed
    shop_words.add_rules(shop, [(each.item_type, each.item_type) for each in chosen])


def _show(shop: Settings) -> None:
    from rich.console import Console

    from models.titles import proposals
    from pipelines.build import shop_words

    unknown = _unknown(shop)
    console = Console()
    rules = shop_words.said(shop).titles
    _list(console, "rules, the first that fits counts", [(n, r.words, r.item_type) for n, r in enumerate(rules, 1)])
    proposed = list(proposals(unknown))[:MOST]
    _list_proposals(console, shop, proposed)
    _list_unknown(console, shop, unknown)


def _list(console: Any, title: str, rows: list[tuple[int, str, str]]) -> None:
    from models.visible import visible
    from pipelines.printing import Column, Listing

    if not rows:
        return
    numbers, said, item_types = zip(*rows, strict=True)
    shown = [
        Column("rule", [str(number) for number in numbers], is_figure=True, is_worded=False),
        Column("words", [visible(each) for each in said], is_figure=False, is_worded=True),
        Column("item type", [visible(each) for each in item_types], is_figure=False, is_worded=True),
    ]
    console.print(Listing(title, shown))


def _list_proposals(console: Any, shop: Settings, proposed: list[Proposal]) -> None:
    from pipelines.printing import prose

    if not proposed:
        return
    rows = [(each.item_type, each.line_count, each.money_cents) for each in proposed]
    console.print(_counted("proposed, by shared words", shop, "words", rows))
    console.print(prose("confirm all: dunnage titles --confirm; some: dunnage titles --confirm 1 3"))
    console.print(prose('or write a rule of your own: dunnage titles --rule "words=item type"'))


def _list_unknown(console: Any, shop: Settings, unknown: list[TitleCount]) -> None:
    from pipelines.printing import prose

    if not unknown:
        console.print(prose("No title is without an item type."))
        return
    rows = [(each.title, each.line_count, each.money_cents) for each in unknown[:MOST]]
    lines = sum(each.line_count for each in unknown)
    title = f"titles without an item type: {len(unknown):,}, on {lines:,} sale lines; the most money first"
    console.print(_counted(title, shop, "title", rows))


def _counted(title: str, shop: Settings, head: str, rows: list[tuple[str, int, int]]) -> Any:
    from dashboards.formats import money
    from models.visible import visible
    from pipelines.printing import Column, Listing

    texts, lines, cents = zip(*rows, strict=True)
    shown = [
        Column("number", [str(n) for n in range(1, len(rows) + 1)], is_figure=True, is_worded=False),
        Column(head, [visible(each) for each in texts], is_figure=False, is_worded=True),
        Column("sale lines", [f"{each:,}" for each in lines], is_figure=True, is_worded=False),
        Column("money", [money(each, shop.shop.currency) for each in cents], is_figure=True, is_worded=False),
    ]
    return Listing(title, shown)
