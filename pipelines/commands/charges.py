"""`dunnage charges`: what the words of carriers' invoices are."""

import argparse
from collections.abc import Sequence

from models.column_map import Question
from models.column_map.word_maps import map_words
from models.columns.billing import CHARGE_KINDS
from pipelines import options
from pipelines.build import charge_words
from pipelines.build.charge_words import UnknownWord, asked
from pipelines.build.shop_words import ChargeWord
from pipelines.printing import print_json, records, say
from pipelines.shop.settings import Settings

UNKNOWN_WORDS = "carrier charge_code line_count amount_cents"
EXAMPLE = 'dunnage charges --word "Fuel adj.=fuel" --word "Over length=surcharge: long side"'


def arguments(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    options.several(
        parser,
        "--word",
        "WORD=KIND",
        "base, fuel, surcharge, adjustment, tax or credit; behind a colon, a surcharge's name in the tariff",
    )
    parser.add_argument("--carrier", type=options.words, help="the carrier whose word it is (default: all that use it)")
    options.json_argument(parser)


def run(args: argparse.Namespace) -> None:
    """Write the answers, then show what is still unknown."""
    shop = options.shop_of(args)
    answered = charge_words.answer(shop, args.word, args.carrier) if args.word else []
    found = charge_words.unknown_of(shop)
    if args.json:
        rows = ((each.carrier, each.word, each.line_count, each.amount_cents) for each in found)
        print_json({"unknown_words": records(UNKNOWN_WORDS, rows)}, shop.shop.shown_units)
        return
    _say(shop, answered)
    if args.word:
        say("the next `dunnage review` applies this to all months")
    show(shop, found)


def ask(shop: Settings) -> None:
    """After invoices: which of their words are of unknown kind; nothing where none is."""
    if found := charge_words.unknown_of(shop):
        show(shop, found)


def questions(shop: Settings, found: Sequence[tuple[str, str, int, int]], said: Sequence[str]) -> list[Question]:
    """What `map` asks of a file's words that nothing says yet, the most money first."""
    answered = {each.rpartition("=")[0].strip() for each in said}
    unknown = [each for each in charge_words.unknown_among(shop, found) if each.word not in answered]
    likely = map_words([each.word for each in unknown], CHARGE_KINDS).words
    return [
        Question(
            f'What is "{each.word}" of {each.carrier}, {charge_words.amount(each, shop.shop.currency)}?',
            _with_first(likely.get(each.word), CHARGE_KINDS),
            f"--word {each.word}={{}}",
            is_needed=False,
            has_likely=each.word in likely,
        )
        for each in unknown[: charge_words.MOST]
    ]


def _with_first(likely: str | None, listed: Sequence[str]) -> tuple[str, ...]:
    return (*([likely] if likely else []), *(each for each in listed if each != likely))


def keep(shop: Settings, found: Sequence[tuple[str, str, int, int]], said: Sequence[str]) -> None:
    """Keep what was said of a file's words, and say so. Raises NotFoundError for a word that it does not have."""
    _say(shop, charge_words.answer_among(shop, said, [(carrier, word) for carrier, word, *_ in found]))


def _say(shop: Settings, answered: Sequence[ChargeWord]) -> None:
    """What was said of each word, and that tax is a cost unless the settings say that the shop gets it back."""
    for each in answered:
        say(f"{each.carrier}: {each.word} is {each.kind}{f' ({each.surcharge})' if each.surcharge else ''}")
    if any(each.kind == "tax" for each in answered) and not shop.shop.tax_reclaimed:
        say("tax counts as a cost; if you get it back, write `tax_reclaimed = true` under [shop] in dunnage.toml")


def show(shop: Settings, found: list[UnknownWord]) -> None:
    """What is still unknown, and how to say what it is."""
    for line in asked(found, shop.shop.currency):
        say(line)
