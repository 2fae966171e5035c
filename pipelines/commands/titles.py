"""`dunnage titles`: item types from the titles of sales."""

import argparse
from collections.abc import Iterable, Sequence

from dashboards.formats import money
from models.errors import NotFoundError
from models.sql_texts import sql_texts
from models.titles import Proposal, TitleCount, proposals
from pipelines import options
from pipelines.build import shop_words
from pipelines.build.up_to_date import build_changed
from pipelines.printing import Listing, listed, print_json, records, say, show
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

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


def run(args: argparse.Namespace) -> None:
    """Write what was said, then show rules, unknown titles and proposals."""
    shop = options.shop_of(args)
    if args.remove is not None:
        _remove(shop, args.remove)
    if args.rule:
        shop_words.add_rules(shop, [_parted(each) for each in args.rule])
    if args.confirm is not None:
        _confirm(shop, args.confirm)
    _print_json(shop) if args.json else _show(shop)


def _print_json(shop: Settings) -> None:
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
    with warehouse.writing(shop, "titles") as connection:
        build_changed(connection, shop)
        found = connection.execute(sql_texts("queries")["unknown_titles"]).fetchall()
    return [TitleCount(str(title), int(lines), int(cents)) for title, lines, cents in found]


def _remove(shop: Settings, number: int) -> None:
    there = len(shop_words.said(shop).titles)
    if number > there:
        raise NotFoundError(f"rule {number}", f"is not among the {there} rules", "nothing", "see `dunnage titles`")
    removed = shop_words.remove_rule(shop, number)
    print(f"removed: {removed.words} = {removed.item_type}")


def _confirm(shop: Settings, numbers: list[int]) -> None:
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
    unknown = _unknown(shop)
    if rules := [(place, each.words, each.item_type) for place, each in enumerate(shop_words.said(shop).titles, 1)]:
        heads = ("rule", "words", "item type")
        show(listed("rules, the first that fits counts", heads, rules, figures=heads[:1], worded=heads[1:]))
    _list_proposals(shop, list(proposals(unknown))[:MOST])
    _list_unknown(shop, unknown)


def _list_proposals(shop: Settings, proposed: list[Proposal]) -> None:
    if not proposed:
        return
    rows = [(each.item_type, each.line_count, each.money_cents) for each in proposed]
    show(_counted("proposed, by shared words", shop, "words", rows))
    say("confirm all: dunnage titles --confirm; some: dunnage titles --confirm 1 3")
    say('or write a rule of your own: dunnage titles --rule "words=item type"')


def _list_unknown(shop: Settings, unknown: list[TitleCount]) -> None:
    if not unknown:
        say("No title is without an item type.")
        return
    rows = [(each.title, each.line_count, each.money_cents) for each in unknown[:MOST]]
    lines = sum(each.line_count for each in unknown)
    title = f"titles without an item type: {len(unknown):,}, on {lines:,} sale lines; the most money first"
    show(_counted(title, shop, "title", rows))


def _counted(title: str, shop: Settings, head: str, rows: list[tuple[str, int, int]]) -> Listing:
    heads, currency = ("number", head, "sale lines", "money"), shop.shop.currency
    shown = [(at, text, f"{lines:,}", money(cents, currency)) for at, (text, lines, cents) in enumerate(rows, 1)]
    return listed(title, heads, shown, figures=("number", "sale lines", "money"), worded=(head,))
